// What washer to take and how far to turn a screw, as the bench's page tells it.
#include <fmt/format.h>

#include <cmath>

#include "engine/render/text.h"

namespace gearwhy {
namespace {

std::string SayLength(double length) { return SayRounded(length, 2, Dimension::kLength); }

std::string SaySize(const ChoiceFit& fit, const Speaker& speaker) {
  const std::string part = speaker.SayName(fit.part, "part");
  if (!fit.take) return fmt::format(" Measure how thick {} is that was in, and it can be chosen.", part);
  const Fit& best = fit.take->best;
  std::string text = fmt::format(" With {} of {} in place of {} it is {} ± {}.", part, SayLength(best.ring),
                                 SayLength(*fit.fitted), SayLength(best.clearance), SayLength(best.doubt));
  if (!best.serves)
    text += fmt::format(" No size at hand serves, and one of {} would be right: measure both again.",
                        SayLength(fit.take->ideal));
  else if (!best.sure)
    text += " By the tolerances that is not sure: build it and measure.";
  if (fit.take->as_near)
    text += fmt::format(" One of {} is as near, and leaves {}.", SayLength(fit.take->as_near->ring),
                        SayLength(fit.take->as_near->clearance));
  return text;
}

std::string SayTurns(const ChoiceFit& fit, const Speaker& speaker) {
  const ScrewTurns& turns = *fit.turns;
  const auto way = [](double turn) { return turn < 0 ? "out" : "in"; };
  return fmt::format(
      " {}crew {} {} by {:.2f} ± {:.2f} turns for the middle; {:.2f} {} to {:.2f} {} is within.",
      turns.serves ? "It may stay as it stands; s" : "S", speaker.SayName(fit.part, "part"), way(turns.ideal),
      std::abs(turns.ideal), turns.doubt, std::abs(turns.least), way(turns.least), std::abs(turns.most),
      way(turns.most));
}

}  // namespace

void SayChoices(const std::vector<ChoiceFit>& choices, const Speaker& speaker, Page& page) {
  if (choices.empty()) return;
  page.Heading("Washers, pins and screws");
  for (const ChoiceFit& fit : choices) {
    std::string line = Capitalised(speaker.SayWith(fit.sets, SayLength(fit.measured.is)));
    if (!fit.only_in.empty()) line += fmt::format("; if {}", SayVariants(fit.only_in, "or", speaker));
    line += fmt::format("; {} to {} is wanted.", SayLength(fit.least), SayLength(fit.most));
    line += fit.by_size ? SaySize(fit, speaker) : SayTurns(fit, speaker);
    page.Paragraph("   ", line);
  }
  page.Blank();
}

}  // namespace gearwhy
