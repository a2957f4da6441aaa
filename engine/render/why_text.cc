// The reasoning as text.
#include <fmt/format.h>

#include <cmath>

#include "engine/render/pieces.h"

namespace gearwhy {
namespace {

// "Because" of a rule or a line, in words, if there is one.
std::string Why(const Phrase& because, const Speaker& speaker) {
  return because.IsEmpty() ? "" : " " + AsSentence(speaker.Say(because));
}

void Facts(const std::vector<FactReason>& facts, int depth, const Speaker& speaker, Page& page) {
  const std::string indent(static_cast<std::size_t>(6 + 2 * depth), ' ');
  for (const FactReason& fact : facts) {
    page.Paragraph(indent + "· ",
                   AsSentence(speaker.Say(fact.statement, fact.present)) + Why(fact.because, speaker));
    page.Aside(indent + "  ", speaker.SayOrigin(fact.origin) + (fact.shown_before ? "; shown above" : ""));
    Facts(fact.premises, depth + 1, speaker, page);
  }
}

void Step(const ChainStep& step, const Speaker& speaker, Page& page) {
  // The chance of what is no more than a case of something else is not worked out (belief/chances.h).
  const std::string here =
      std::isnan(step.chance_effect) ? "" : fmt::format(" ({} here)", ShowChance(step.chance_effect));
  page.Paragraph("    ", fmt::format("{}; this brings it about {} times: {}{}.",
                                     Capitalised(speaker.Say(step.cause_statement)),
                                     ShowChance(step.how_often), speaker.Say(step.effect_statement), here));
  if (!step.because.IsEmpty()) page.Paragraph("      ", AsSentence(speaker.Say(step.because)));
  page.Aside("      ", speaker.SayOrigin(step.origin));
  Facts(step.facts, 0, speaker, page);
}

void Item(const char* lead, const EvidenceItem& item, const Speaker& speaker, Page& page) {
  page.Paragraph(
      lead, fmt::format("{} {}.", AsSentence(EvidenceText(item, speaker)), Capitalised(MovesText(item))));
  page.Aside("    ",
             fmt::format("{}; {}", speaker.SayTrust(item.origin), speaker.SayPlace(item.origin.place)));
}

void Head(const std::string& title, const std::string& case_id, Page& page) {
  page.Heading(title);
  page.Aside("", fmt::format("case {}", case_id));
  page.Blank();
}

void Base(const BaseChance& base, bool all_have_it, const Speaker& speaker, Page& page) {
  page.Heading("Before anything was looked at");
  page.Paragraph("  ", fmt::format("In units that come in{}: {}.{}", all_have_it ? "" : " and have it",
                                   ShowChance(base.base), Why(base.because, speaker)));
  page.Aside("    ", speaker.SayOrigin(base.origin));
  for (const BaseChance::Moved& moved : base.moved) {
    page.Paragraph("  ",
                   fmt::format("History: {}.{}", ShowOddsFactor(moved.odds), Why(moved.because, speaker)));
    page.Aside("    ", speaker.SayOrigin(moved.origin));
    Facts(moved.facts, 0, speaker, page);
  }
  if (!base.moved.empty())
    page.Paragraph("  ", fmt::format("With this history: {}.", ShowChance(base.with_history)));
  page.Blank();
}

void Predictions(const std::vector<Prediction>& predictions, const Speaker& speaker, Page& page) {
  if (predictions.empty()) return;
  page.Heading("If it is so, expect to find (nobody has looked yet)");
  for (const Prediction& prediction : predictions) {
    page.Pair("  ", AsSentence(speaker.Say(prediction.statement)),
              fmt::format("{}, else {}", ShowChance(prediction.chance_if_so),
                          ShowChance(prediction.chance_if_not)));
    if (!prediction.check.empty()) page.Aside("    ", "by " + speaker.Say(prediction.check_says));
  }
  page.Blank();
}

}  // namespace

std::string MovesText(const EvidenceItem& item) {
  const bool tells = std::abs(std::log(item.odds_factor)) >= kLeastStrength;
  return tells ? ShowMoved(item) : "other causes explain it as well";
}

std::string WhyText(const WhyReport& report, const Speaker& speaker, const TextStyle& style) {
  Page page(style);
  const Suspect& suspect = report.suspect;
  SayExactness(report.exactness, speaker, page);
  Head(fmt::format("Why {}", speaker.Say(suspect.statement)),
       fmt::format("{} · {}", report.case_id, suspect.fault), page);
  if (std::isnan(suspect.chance)) {
    page.Paragraph(
        "", fmt::format("Its chance is not worked out; {} before looking.", ShowChance(suspect.before)));
  } else {
    page.Paragraph("",
                   fmt::format("{} {}, number {} of this case; {} before looking.", Bar(suspect.chance, 30),
                               ShowChance(suspect.chance), report.rank, ShowChance(suspect.before)));
  }
  if (!suspect.only_in.empty()) page.Paragraph("", OnlyInText(suspect.only_in, speaker));
  page.Blank();
  if (report.base) Base(*report.base, suspect.only_in.empty(), speaker, page);
  if (!report.speaks_for.empty()) page.Heading("What speaks for it");
  for (const ReasonChain& chain : report.speaks_for) {
    Item("  + ", chain.evidence, speaker, page);
    for (const ChainStep& step : chain.steps) Step(step, speaker, page);
    if (!chain.direct) {
      page.Paragraph("    ",
                     "It does not follow from the suspect; it speaks for something that goes with it, or "
                     "against a rival.");
    }
    page.Blank();
  }
  if (!report.speaks_against.empty()) {
    page.Heading("What speaks against it");
    for (const EvidenceItem& item : report.speaks_against) Item("  - ", item, speaker, page);
    page.Blank();
  }
  if (report.speaks_for.empty() && report.speaks_against.empty()) {
    page.Paragraph("", "Nothing that was observed bears on it.");
    page.Blank();
  }
  if (!report.brought_about_by.empty()) {
    page.Heading("What may have brought it about");
    for (const ChainStep& step : report.brought_about_by) Step(step, speaker, page);
    page.Blank();
  }
  Predictions(report.predicts, speaker, page);
  return page.text();
}

std::string WhyNotText(const WhyNotReport& report, const Speaker& speaker, const TextStyle& style) {
  Page page(style);
  Head(fmt::format("Why not: {}", speaker.Say(report.statement)), report.case_id, page);
  switch (report.kind) {
    case WhyNotReport::Kind::kSuspected:
      page.Paragraph(
          "", fmt::format("It is suspected: {}, number {} of this case. Ask `gearwhy why` for the reasons.",
                          ShowChance(report.chance), report.rank));
      break;
    case WhyNotReport::Kind::kNotHere:
      page.Paragraph("", "This transmission cannot have it: no line of the rulebook gives it a chance here.");
      break;
    case WhyNotReport::Kind::kNotTouched:
      page.Paragraph(
          "",
          fmt::format(
              "Nothing that was observed bears on it, either way. Its chance is what it was before looking: "
              "{}.",
              ShowChance(report.chance)));
      break;
    case WhyNotReport::Kind::kSpokenAgainst:
      page.Paragraph("", fmt::format("What was observed speaks against it: {}, down from {} before looking.",
                                     ShowChance(report.chance), ShowChance(report.before)));
      break;
    case WhyNotReport::Kind::kOutweighed:
      page.Paragraph(
          "", fmt::format("It is possible ({}, up from {}), but other faults explain what was seen better.",
                          ShowChance(report.chance), ShowChance(report.before)));
      break;
  }
  page.Blank();
  for (const WhyNotReport::Failed& failed : report.failed) {
    page.Paragraph(
        "  ", fmt::format("The line `{}` would give it a chance if {}; nothing says so.", failed.origin.id,
                          speaker.SayCondition(*failed.condition, failed.bindings)));
    page.Aside("    ", speaker.SayPlace(failed.condition->place));
  }
  if (!report.better.empty()) page.Heading("Better explanations");
  for (const Statement& better : report.better) page.Paragraph("  · ", AsSentence(speaker.Say(better)));
  if (!report.speaks_for.empty()) page.Heading("What speaks for it");
  for (const EvidenceItem& item : report.speaks_for) Item("  + ", item, speaker, page);
  if (!report.speaks_against.empty()) page.Heading("What speaks against it");
  for (const EvidenceItem& item : report.speaks_against) Item("  - ", item, speaker, page);
  return page.text();
}

}  // namespace gearwhy
