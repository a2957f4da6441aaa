// gearwhy rules schema: what a file may hold, as a JSON Schema for editors.
#include "cli/commands.h"
#include "engine/files/load_case.h"
#include "engine/files/load_rulebook.h"
#include "engine/files/load_unit.h"
#include "engine/render/json.h"

namespace gearwhy {

int RunRulesSchema(const std::string& file) {
  const FileShape shape = file == "unit" ? UnitShape() : file == "case" ? CaseShape() : RulebookShape();
  WriteData(SchemaJson(shape, 2) + "\n");
  return Finish(kDone);
}

}  // namespace gearwhy
