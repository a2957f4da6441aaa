// gearwhy rules find: what somebody says, as the statements of the rulebook.
#include <fmt/format.h>

#include <algorithm>

#include "cli/commands.h"
#include "engine/render/rules_text.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

constexpr int kMost = 4;  // findings that are shown

struct InUnit {
  const Unit* unit = nullptr;
  std::vector<FoundWord> found;
};

InUnit FindIn(Session& session, const std::string& unit, const std::string& text, Diagnostics& diagnostics) {
  InUnit in;
  Case nothing;
  nothing.id = "find";
  nothing.unit = unit;
  const auto diagnosis = session.GroundCase(nothing, diagnostics);
  if (!diagnosis) return in;
  const Speaker speaker(*diagnosis, session.sources());
  in.unit = diagnosis->unit;
  in.found = FindWords(
      text, *diagnosis, [&](const Value& value, const Slot& slot) { return speaker.SayValue(value, slot); },
      kMost);
  return in;
}

}  // namespace

int RunRulesFind(const RulesFindArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  std::vector<std::string> units = {arguments.unit};
  if (arguments.unit.empty() && !session->shelf().Names().empty()) units = session->shelf().Names();
  Diagnostics diagnostics;
  InUnit best;
  for (const std::string& unit : units) {
    InUnit in = FindIn(*session, unit, arguments.text, diagnostics);
    const bool better = !in.found.empty() && (best.found.empty() || in.found[0].score > best.found[0].score);
    if (better) best = std::move(in);
  }
  session->Print(diagnostics);
  if (diagnostics.HasErrors()) return kInputErrors;
  if (best.found.empty()) {
    WriteErr(fmt::format("error: nothing in the rulebook sounds like {} [not-understood]\n",
                         InTicks(arguments.text)));
    return kInputErrors;
  }
  const Speaker speaker(session->book().words, best.unit, session->sources());
  WriteOut(FoundText(best.found, best.unit, session->book(), speaker, StyleOfStdout()));
  return Finish(kDone);
}

}  // namespace gearwhy
