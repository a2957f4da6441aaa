// How steady the answer of a case is, as text.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/render/rules_text.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr int kShown = 3;                // lines of the rulebook
constexpr double kNextToNothing = 0.02;  // on the logarithm of odds

std::string SayLine(const RestsOn& one, const Speaker& speaker) {
  if (one.kind == "line")
    return fmt::format("how often this: {}, brings about that: {}", speaker.Say(one.cause),
                       speaker.Say(one.effect));
  if (one.kind == "chance") return "how common it is that " + speaker.Say(one.effect);
  return fmt::format("how often it is so with no known cause that {}", speaker.Say(one.effect));
}

}  // namespace

std::string SteadyText(const Steadiness& steady, const Diagnosis& diagnosis, const Speaker& speaker,
                       const TextStyle& style) {
  Page page(style);
  page.Blank();
  page.Heading("How steady this is");
  if (!steady.known) {
    page.Paragraph("",
                   "It cannot be told: the chances of this case are not exact, or its verdict is certain.");
    return page.text();
  }
  const Statement& verdict = diagnosis.ground.events[At(steady.verdict)].statement;
  page.Paragraph(
      "",
      fmt::format("With every number of the rulebook moved one step of its scale up or down at random, it "
                  "comes first in {} of {} trials that {}, at {} to {}.",
                  steady.same, steady.shakings, speaker.Say(verdict), ShowChance(steady.least),
                  ShowChance(steady.most)));
  if (steady.rests_on.empty()) {
    page.Paragraph("",
                   "That is worked out for the likeliest variant. On which numbers it rests can be told once "
                   "the variant is known.");
    return page.text();
  }
  page.Paragraph("", "It rests most on these numbers; by one step up of each:");
  for (int i = 0; i < kShown && At(i) < steady.rests_on.size(); ++i) {
    const RestsOn& one = steady.rests_on[At(i)];
    if (std::abs(one.slope) < kNextToNothing) break;
    page.Pair("  ", AsSentence(SayLine(one, speaker)), ShowOddsFactor(std::exp(one.slope)));
    page.Aside("    ", fmt::format("{} ({})", speaker.SayPlace(one.place), one.id));
  }
  return page.text();
}

}  // namespace gearwhy
