// gearwhy rules schema: what a file may hold, as a JSON Schema for editors.
#include "cli/commands.h"
#include "engine/files/load_case.h"
#include "engine/files/load_rulebook.h"
#include "engine/files/load_unit.h"
#include "engine/render/json.h"

namespace gearwhy {

int RunRulesSchema(const RulesSchemaArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  const FileShape shape = arguments.kind == "unit"   ? UnitShape()
                          : arguments.kind == "case" ? CaseShape()
                                                     : RulebookShape();
  WriteData(SchemaJson(shape, session->book(), session->shelf().Names(), 2) + "\n");
  return Finish(kDone);
}

}  // namespace gearwhy
