// gearwhy unit show, unit check: a unit as a transmission, and what is wrong with its file.
#include <fmt/format.h>

#include <filesystem>

#include "cli/commands.h"
#include "engine/advise/sheet_report.h"
#include "engine/files/load_unit.h"
#include "engine/render/json.h"
#include "engine/render/sheet_html.h"
#include "engine/render/text.h"
#include "engine/text/read_file.h"

namespace gearwhy {
namespace {

// A unit by name from the shelf, or from a file of the reader's own.
class NamedUnit {
 public:
  NamedUnit(Session& session, const std::string& name, Diagnostics& diagnostics) {
    std::error_code error;
    if (!name.ends_with(".yaml") && !name.ends_with(".yml") &&
        !std::filesystem::is_regular_file(name, error)) {
      known_ = session.Know(name, {}, diagnostics);
      return;
    }
    const auto source = ReadSource(name, name, kMaxBookBytes, session.sources(), diagnostics);
    if (!source) return;
    const auto root = ParseYaml(session.sources(), *source, diagnostics);
    if (root) unit_ = LoadUnit(*root, session.book().words, diagnostics);
    if (unit_) own_ = KnowUnit(*unit_, diagnostics);
    if (own_) known_ = &*own_;
  }

  const UnitKnowledge* known() const { return known_; }

 private:
  std::optional<Unit> unit_;
  std::optional<UnitKnowledge> own_;
  const UnitKnowledge* known_ = nullptr;
};

}  // namespace

int RunUnitShow(const UnitArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  Diagnostics diagnostics;
  const NamedUnit named(*session, arguments.unit, diagnostics);
  session->Print(diagnostics);
  if (named.known() == nullptr) return kInputErrors;
  if (arguments.html) {
    const Speaker speaker(session->book().words, named.known()->unit, session->sources());
    WriteData(UnitHtml(MakeGearsReport(*named.known()), speaker));
    return Finish(kDone);
  }
  const UnitTable table = MakeUnitTable(*named.known()->unit, named.known()->behaviour);
  if (arguments.format == Format::kText) {
    WriteOut(UnitText(table, StyleOfStdout()));
  } else {
    WriteData(UnitJson(table, arguments.format == Format::kJson ? 2 : -1) + "\n");
  }
  return Finish(kDone);
}

int RunUnitCheck(const UnitArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  Diagnostics diagnostics;
  const NamedUnit named(*session, arguments.unit, diagnostics);
  // The facts of a unit can clash with the words even where the unit itself is sound.
  if (named.known() != nullptr) {
    const Unit& unit = *named.known()->unit;
    const auto check = [&](const std::string& variant) {
      UnitFacts(unit, variant, named.known()->behaviour, session->book().words, diagnostics);
    };
    if (unit.variants.empty()) check("");
    for (const Variant& variant : unit.variants) check(variant.name);
  }
  session->Print(diagnostics);
  if (diagnostics.HasErrors() || named.known() == nullptr) return kInputErrors;
  WriteOut(fmt::format("{}: every range drives at its stated ratio, and every element has its use.\n",
                       named.known()->unit->name));
  return Finish(kDone);
}

}  // namespace gearwhy
