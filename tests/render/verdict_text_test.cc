// The verdict: at most five lines, and the numbers of the pages that it stands on.
#include "engine/render/interview_text.h"
#include "engine/render/text.h"
#include "tests/support/shipped.h"

namespace gearwhy {
namespace {

TEST_CASE("the verdict has at most five lines, and leaves out where before anything else") {
  ShippedBook shipped;
  const Unit& unit = shipped.UnitNamed("ravigneaux-simple-five-speed");
  const Speaker speaker(shipped.book->words, &unit, shipped.sources);
  CaseVerdict verdict;
  CHECK(VerdictText(verdict, speaker, {}).empty());
  verdict.known = true;
  WherePlace where;
  where.statement = {"cannot_hold", {std::string("E")}};
  where.chance = 0.96;
  verdict.where = where;
  Suspect lead;
  lead.statement = {"lip_cracked", {std::string("E.piston")}};
  lead.chance = 0.77;
  lead.needs_unit_out = true;
  verdict.lead = lead;
  verdict.pull.advice = PullAdvice::kPull;
  CHECK(VerdictText(verdict, speaker, {}) ==
        "Where Brake E (first and reverse brake) cannot hold.                   96 in 100\n"
        "What  The rubber lip of the piston of brake E is cracked.              77 in 100\n"
        "Next  Nothing that is left to look at is likely to change this.\n"
        "Unit  Take it out.\n");
  for (int width = 40; width <= 100; ++width) {
    INFO(width);
    CHECK(LinesOf(VerdictText(verdict, speaker, {width})) <= 5);
  }
  CHECK(VerdictText(verdict, speaker, {40}).find("Where") == std::string::npos);
  verdict.lead->needs_unit_out = false;
  CHECK(VerdictText(verdict, speaker, {}).find("Take it out, though not for this fault.") != std::string::npos);
}

TEST_CASE("no chance is shown to move where both read the same") {
  CHECK(ShowMove(0.184, 0.176) == "");
  CHECK(ShowMove(0.18, 0.2) == "18 → 20 in 100");
  CHECK(ShowMove(0.9996, 0.9999) == "");
}

}  // namespace
}  // namespace gearwhy
