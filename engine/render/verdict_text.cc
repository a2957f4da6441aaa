// The verdict as text, in five lines at most: they are what somebody reads who reads nothing else.
#include <fmt/format.h>

#include "engine/render/text.h"

namespace gearwhy {
namespace {

constexpr int kMostLines = 5;

std::string SayPull(const PullDecision& pull) {
  const std::string needs =
      pull.outcome ? fmt::format(" Repair with the unit out: {}.", ShowOutcome(pull.outcome->marked)) : "";
  switch (pull.advice) {
    case PullAdvice::kUnknown:
      return "whether it must come out cannot be told yet.";
    case PullAdvice::kNothing:
      return "leave it in.";
    case PullAdvice::kLeaveIn:
      return "leave it in." + needs;
    case PullAdvice::kLookFirst:
      return "look first, with it in." + needs;
    case PullAdvice::kPull:
      return "take it out." + needs;
    case PullAdvice::kIsOut:
      return "it is out.";
  }
  return "";
}

}  // namespace

std::string VerdictText(const CaseVerdict& verdict, const Speaker& speaker, const TextStyle& style) {
  if (!verdict.known) return "";
  const auto pair = [&](std::string_view lead, const std::string& left, const std::string& right) {
    Page page(style);
    page.Pair(lead, left, right);
    return page.text();
  };
  std::string where, rest;
  const bool nothing = verdict.pull.advice == PullAdvice::kNothing && verdict.pull.outcome.has_value();
  if (verdict.where && !nothing)
    where =
        pair("Where ", AsSentence(speaker.Say(verdict.where->statement)), ShowChance(verdict.where->chance));
  // The likeliest cause of what has none would be believed.
  rest =
      nothing
          ? pair("What  ", "So far nothing has to be broken.", ShowOutcome(verdict.pull.outcome->nothing()))
      : verdict.lead
          ? pair("What  ", AsSentence(speaker.Say(verdict.lead->statement)), ShowChance(verdict.lead->chance))
          : "What  The rulebook knows no fault that this could be.\n";
  if (verdict.next)
    rest += pair("Next  ", AsSentence(speaker.Say(verdict.next->says)), ShowMinutes(verdict.next->minutes));
  else
    rest += "Next  No check that is left tells anything about this case.\n";
  Page unit(style);
  unit.Paragraph("Unit  ", Capitalised(SayPull(verdict.pull)));
  rest += unit.text();
  // Where it happens goes without saying once what it is has been said.
  return LinesOf(where + rest) <= kMostLines ? where + rest : rest;
}

std::string InShortText(const CaseVerdict& verdict, const Speaker& speaker, const TextStyle& style) {
  const std::string text = VerdictText(verdict, speaker, style);
  if (text.empty()) return "";
  Page page(style);
  page.Heading("In short");
  return page.text() + text;
}

std::string BriefText(const std::string& title, const std::string& case_id, const ExactnessNote& exactness,
                      const CaseVerdict& verdict, const Speaker& speaker, const TextStyle& style) {
  Page page(style);
  page.Heading(title.empty() ? case_id : fmt::format("{} ({})", title, case_id));
  SayExactness(exactness, speaker, page);
  return page.text() + VerdictText(verdict, speaker, style);
}

}  // namespace gearwhy
