// The verdict as text, in five lines at most: they are what somebody reads who reads nothing else.
#include <fmt/format.h>

#include "engine/model/policy.h"
#include "engine/render/pieces.h"

namespace gearwhy {
namespace {

constexpr int kMostLines = 5;

std::string SayPull(const CaseVerdict& verdict) {
  const PullDecision& pull = verdict.pull;
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
    case PullAdvice::kOpen:
      return "no look with it in is likely to tell." + needs;
    case PullAdvice::kPull:
      // What comes first may be mended with the unit in, and something else need it out.
      if (verdict.lead && verdict.lead->chance >= kLikely && !verdict.lead->needs_unit_out)
        return "take it out, though not for this fault." + needs;
      return "take it out." + needs;
    case PullAdvice::kIsOut:
      return "it is out.";
  }
  return "";
}

}  // namespace

std::vector<VerdictLine> VerdictLines(const CaseVerdict& verdict, const Speaker& speaker) {
  std::vector<VerdictLine> lines;
  if (!verdict.known) return lines;
  const bool nothing = verdict.pull.advice == PullAdvice::kNothing && verdict.pull.outcome.has_value();
  if (verdict.where && !nothing)
    lines.push_back(
        {"Where", AsSentence(speaker.Say(verdict.where->statement)), ShowChance(verdict.where->chance)});
  // The likeliest cause of what has none would be believed.
  if (nothing)
    lines.push_back(
        {"What", "So far nothing has to be broken.", ShowOutcome(verdict.pull.outcome->nothing())});
  else if (verdict.lead)
    lines.push_back(
        {"What", AsSentence(speaker.Say(verdict.lead->statement)), ShowChance(verdict.lead->chance)});
  else
    lines.push_back({"What", "The rulebook knows no fault that this could be.", ""});
  if (verdict.next)
    lines.push_back(
        {"Next", AsSentence(speaker.Say(verdict.next->says)), ShowMinutes(verdict.next->minutes)});
  else
    lines.push_back({"Next", "Nothing that is left to look at is likely to change this.", ""});
  lines.push_back({"Unit", Capitalised(SayPull(verdict)), ""});
  return lines;
}

std::string VerdictText(const CaseVerdict& verdict, const Speaker& speaker, const TextStyle& style) {
  std::string where, rest;
  for (const VerdictLine& line : VerdictLines(verdict, speaker)) {
    Page page(style);
    const std::string lead = fmt::format("{:<6}", line.label);
    if (!line.value.empty())
      page.Pair(lead, line.text, line.value);
    else if (line.label == "Unit")
      page.Paragraph(lead, line.text);
    else
      page.Line(lead, line.text);
    (line.label == "Where" ? where : rest) += page.text();
  }
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
