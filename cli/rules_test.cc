// gearwhy rules test: whether the cases that say what they expect get it.
#include <fmt/format.h>

#include "cli/commands.h"
#include "engine/render/text.h"
#include "engine/text/number.h"

namespace gearwhy {

int RunRulesTest(const RulesTestArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  Diagnostics naming;
  std::vector<std::string> named = arguments.cases;
  if (named.empty()) named.push_back(ShippedFolder("cases"));
  std::size_t passed = 0, failed = 0, silent = 0;
  for (const std::string& path : ExpandCases(named, naming)) {
    Diagnostics diagnostics;
    const std::optional<Case> c = session->ReadCase(path, diagnostics);
    std::optional<Diagnosis> diagnosis;
    if (c) diagnosis = session->DiagnoseCase(*c, {}, diagnostics);
    session->Print(diagnostics);
    if (!diagnosis) {
      ++failed;
      WriteOut(fmt::format("{}: could not be read\n", path));
      continue;
    }
    if (c->expect.empty()) ++silent;
    bool good = true;
    for (const UnmetExpectation& unmet : UnmetExpectations(*diagnosis)) {
      WriteOut(UnmetText(unmet, session->sources()) + "\n");
      good = false;
    }
    (good ? passed : failed) += c->expect.empty() ? 0 : 1;
  }
  session->Print(naming);
  WriteOut(fmt::format("{} as expected, {} not", Counted(passed, "case"), failed));
  WriteOut(silent > 0 ? fmt::format(", {} without `expect`\n", silent) : "\n");
  return Finish(failed > 0 || naming.HasErrors() ? kInputErrors : kDone);
}

}  // namespace gearwhy
