// The reasoning as text.
#include <fmt/format.h>

#include <cmath>

#include "engine/model/say.h"
#include "engine/render/text.h"

namespace gearwhy {
namespace {

// "Because" of a rule or a line, in words, if there is one.
std::string Why(const std::string& because) { return because.empty() ? "" : " " + AsSentence(because); }

void Facts(const std::vector<FactReason>& facts, int depth, Page& page) {
  const std::string indent(static_cast<std::size_t>(6 + 2 * depth), ' ');
  for (const FactReason& fact : facts) {
    page.Paragraph(indent + "· ", fmt::format("{}{}", AsSentence(fact.says), Why(fact.because)));
    page.Aside(indent + "  ", fact.shown_before ? fact.source + "; shown above" : fact.source);
    Facts(fact.premises, depth + 1, page);
  }
}

void Step(const ChainStep& step, Page& page) {
  // The chance of what is no more than a case of something else is not worked out (belief/chances.h).
  const std::string here =
      std::isnan(step.chance_effect) ? "" : fmt::format(" ({} here)", ShowChance(step.chance_effect));
  page.Paragraph("    ", fmt::format("{}; this brings it about {} times: {}{}.", Capitalised(step.cause_says),
                                     ShowChance(step.how_often), step.effect_says, here));
  if (!step.because.empty()) page.Paragraph("      ", AsSentence(step.because));
  page.Aside("      ", fmt::format("{} (chart {})", step.source, step.chart));
  Facts(step.facts, 0, page);
}

void Item(const char* lead, const EvidenceItem& item, Page& page) {
  page.Paragraph(lead,
                 fmt::format("{} {}.", AsSentence(item.says), Capitalised(ShowOddsFactor(item.odds_factor))));
  page.Aside("    ", fmt::format("{}; {}", item.trust, item.source));
}

void Head(const std::string& title, const std::string& case_id, Page& page) {
  page.Heading(title);
  page.Aside("", fmt::format("case {}", case_id));
  page.Blank();
}

void Base(const BaseChance& base, Page& page) {
  page.Heading("Before anything was looked at");
  page.Paragraph("  ", fmt::format("In units that come in: {}.{}", ShowChance(base.base), Why(base.because)));
  page.Aside("    ", base.source);
  for (const BaseChance::Moved& moved : base.moved) {
    page.Paragraph("  ", fmt::format("History: {}.{}", ShowOddsFactor(moved.odds), Why(moved.because)));
    page.Aside("    ", fmt::format("{} (factor {})", moved.source, moved.id));
    Facts(moved.facts, 0, page);
  }
  if (!base.moved.empty())
    page.Paragraph("  ", fmt::format("With this history: {}.", ShowChance(base.with_history)));
  page.Blank();
}

void Predictions(const std::vector<Prediction>& predictions, Page& page) {
  if (predictions.empty()) return;
  page.Heading("If it is so, expect to find (nobody has looked yet)");
  for (const Prediction& prediction : predictions) {
    page.Pair("  ", AsSentence(prediction.says),
              fmt::format("{}, else {}", ShowChance(prediction.chance_if_so),
                          ShowChance(prediction.chance_if_not)));
    if (!prediction.check.empty()) page.Aside("    ", fmt::format("by {}", prediction.check));
  }
  page.Blank();
}

}  // namespace

std::string WhyText(const WhyReport& report, const TextStyle& style) {
  Page page(style);
  const Suspect& suspect = report.suspect;
  SayExactness(report.exactness, page);
  Head(fmt::format("Why {}", suspect.says), report.case_id, page);
  page.Paragraph("", fmt::format("{} {}, number {} of this case; {} before looking.", Bar(suspect.chance, 30),
                                 ShowChance(suspect.chance), report.rank, ShowChance(suspect.before)));
  page.Blank();
  if (report.base) Base(*report.base, page);
  if (!report.speaks_for.empty()) page.Heading("What speaks for it");
  for (const ReasonChain& chain : report.speaks_for) {
    Item("  + ", chain.evidence, page);
    for (const ChainStep& step : chain.steps) Step(step, page);
    if (!chain.direct) {
      page.Paragraph("    ",
                     "It does not follow from the suspect; it speaks for something that goes with it, or "
                     "against a rival.");
    }
    page.Blank();
  }
  if (!report.speaks_against.empty()) {
    page.Heading("What speaks against it");
    for (const EvidenceItem& item : report.speaks_against) Item("  - ", item, page);
    page.Blank();
  }
  if (report.speaks_for.empty() && report.speaks_against.empty()) {
    page.Paragraph("", "Nothing that was observed bears on it.");
    page.Blank();
  }
  if (!report.brought_about_by.empty()) {
    page.Heading("What may have brought it about");
    for (const ChainStep& step : report.brought_about_by) Step(step, page);
    page.Blank();
  }
  Predictions(report.predicts, page);
  return page.text();
}

std::string WhyNotText(const WhyNotReport& report, const TextStyle& style) {
  Page page(style);
  Head(fmt::format("Why not: {}", report.says), report.case_id, page);
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
    page.Paragraph("  ", fmt::format("The line `{}` would give it a chance if {}; nothing says so.",
                                     failed.id, failed.condition));
    page.Aside("    ", failed.condition_source);
  }
  if (!report.better.empty()) page.Heading("Better explanations");
  for (const std::string& better : report.better) page.Paragraph("  · ", AsSentence(better));
  if (!report.speaks_for.empty()) page.Heading("What speaks for it");
  for (const EvidenceItem& item : report.speaks_for) Item("  + ", item, page);
  if (!report.speaks_against.empty()) page.Heading("What speaks against it");
  for (const EvidenceItem& item : report.speaks_against) Item("  - ", item, page);
  return page.text();
}

}  // namespace gearwhy
