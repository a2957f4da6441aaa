// The sheet for whoever brought the vehicle: half a page, in whole sentences.
//
// The chances are those of the other pages. What the trade calls a part stays, because it stands on the bill,
// too; what kind of thing it is is said beside it.
#include <fmt/format.h>

#include "engine/render/html.h"
#include "engine/render/pieces.h"
#include "engine/render/sheet_html.h"
#include "engine/render/sheet_parts.h"

namespace gearwhy {
namespace {

constexpr double kVeryLikely = 0.9, kLikely = 0.6, kMayBe = 0.25;

const char* HowSure(double chance) {
  return chance >= kVeryLikely ? "We are nearly sure of it"
         : chance >= kLikely   ? "This is likely"
         : chance >= kMayBe    ? "This is possible, but not settled"
                               : "This is only the likeliest of many";
}

// What such a thing is for, in plain words.
const char* WhatItIs(ElementType type) {
  switch (type) {
    case ElementType::kClutch:
      return "A clutch in the transmission couples two of its shafts, so that they turn together.";
    case ElementType::kBrake:
      return "A brake in the transmission holds one of its shafts still; it has nothing to do with the "
             "brakes of "
             "the wheels.";
    case ElementType::kBand:
      return "A band is wound round a drum in the transmission and holds it still.";
    case ElementType::kOneWayClutch:
      return "A one-way clutch lets a shaft of the transmission turn one way only.";
  }
  return "";
}

std::string Complaints(const SheetReport& report, const Speaker& speaker) {
  HtmlPage page(3);
  for (const Observation& complaint : report.complaints)
    page.Paragraph("·", AsSentence(speaker.Say(complaint.event, complaint.present)));
  return page.Html();
}

bool NothingToBlame(const SheetReport& report) {
  return report.next.verdict.pull.advice == PullAdvice::kNothing &&
         report.next.verdict.pull.outcome.has_value();
}

std::string WhatIsWrong(const SheetReport& report, const Unit* unit, const Speaker& speaker) {
  const CaseVerdict& verdict = report.next.verdict;
  HtmlPage page(3);
  if (!report.rank.exactness.known || !verdict.known) {
    page.Paragraph("",
                   "That cannot be said yet: what is known so far does not fit together, or is too little.");
    return page.Html();
  }
  if (NothingToBlame(report)) {
    page.Paragraph("", "So far nothing has to be broken.");
    page.Paragraph("", fmt::format("That nothing is: {}.", ShowOutcome(verdict.pull.outcome->nothing())));
    return page.Html();
  }
  if (!verdict.lead) {
    page.Paragraph("", "We know no fault yet that this could be.");
    return page.Html();
  }
  page.Paragraph("", fmt::format("Most likely: {}", AsSentence(speaker.Say(verdict.lead->statement))));
  page.Paragraph("", fmt::format("{}: {}.", HowSure(verdict.lead->chance), ShowChance(verdict.lead->chance)));
  if (verdict.where)
    page.Paragraph("",
                   fmt::format("Where it is: {} {}: {}.", AsSentence(speaker.Say(verdict.where->statement)),
                               HowSure(verdict.where->chance), ShowChance(verdict.where->chance)));
  const Element* element = unit == nullptr || verdict.lead->place.kind != FaultPlace::Kind::kElement
                               ? nullptr
                               : unit->FindElement(verdict.lead->place.name);
  if (element != nullptr) page.Aside("", WhatItIs(element->type));
  return page.Html();
}

// What becomes of the unit, as a customer is told it.
const char* OutOrIn(PullAdvice advice) {
  switch (advice) {
    case PullAdvice::kUnknown:
      return "Whether the transmission has to come out cannot be told yet.";
    case PullAdvice::kNothing:
    case PullAdvice::kLeaveIn:
      return "The transmission can most likely stay in the vehicle.";
    case PullAdvice::kLookFirst:
      return "We look first with the transmission in the vehicle; whether it has to come out is open.";
    case PullAdvice::kOpen:
      return "Whether the transmission has to come out is open, and only a look at it out of the vehicle "
             "would tell.";
    case PullAdvice::kPull:
      return "The transmission has to come out of the vehicle and be opened.";
    case PullAdvice::kIsOut:
      return "The transmission is out of the vehicle.";
  }
  return "";
}

std::string WhatNext(const SheetReport& report, const Speaker& speaker) {
  HtmlPage page(3);
  switch (report.stage) {
    case CaseStage::kReady:
      page.Paragraph(
          "", "It is mended, and what you came with is explained by what was found. You can have it back.");
      return page.Html();
    case CaseStage::kNotReady:
      page.Paragraph(
          "", "Work on it has begun. Before you get it back it is tried, and what is open still is settled.");
      return page.Html();
    case CaseStage::kOpen:
      break;
  }
  const CaseVerdict& verdict = report.next.verdict;
  if (verdict.known) page.Paragraph("", OutOrIn(verdict.pull.advice));
  if (verdict.next)
    page.Paragraph("",
                   fmt::format("Next: {} That takes about {}.", AsSentence(speaker.Say(verdict.next->says)),
                               ShowMinutes(verdict.next->minutes)));
  page.Paragraph("", "What is found may change this. We tell you before we do more than was agreed.");
  return page.Html();
}

}  // namespace

std::string CustomerHtml(const SheetReport& report, const Unit* unit, const Speaker& speaker) {
  const std::string title = report.rank.title.empty() ? report.rank.case_id : report.rank.title;
  std::string html =
      "<header>\n" + Tagged("h1", "Your transmission") + Tagged("p", title, "aside") + "</header>\n<main>\n";
  html += Section("told", "What you told us", Complaints(report, speaker));
  html += Section("wrong", "What is wrong", WhatIsWrong(report, unit, speaker));
  html += Section("next", "What is done next", WhatNext(report, speaker));
  html += Tagged("p",
                 "\"77 in 100\" means: of a hundred vehicles with this history and these signs, about so "
                 "many have it. It is "
                 "advice from what is known so far, and no promise.",
                 "aside");
  html += Section("agreed", "Agreed", NoteLines(2)) + "</main>\n" + Foot(report.rank.case_id, {});
  return HtmlDocument("Your transmission: " + title, html, "customer");
}

}  // namespace gearwhy
