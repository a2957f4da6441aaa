// The ranking as text.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/render/pieces.h"

namespace gearwhy {
namespace {

constexpr int kBarWidth = 30;
constexpr double kWorthAThought = 0.1;  // of a state of *where*
constexpr double kLeastRest = 0.005;    // of what no account tells: less is not worth a line
constexpr int kMostFollows = 2;
constexpr int kManyAlike = 3;
constexpr std::size_t kMostLeftOutShown = 3;
constexpr const char* kNoFaultKnown = "The rulebook knows no fault that this transmission could have.";

void ComesTo(const RankReport& report, const LookNext& next, Page& page) {
  if (!next.outcome || report.nothing_observed) return;
  if (next.outcome->nothing() >= kNothingFrom)
    page.Paragraph("", "So far no fault is needed to explain what was reported.");
  page.Paragraph("", OutcomeText(*next.outcome));
  page.Blank();
}

void Where(const RankReport& report, const Speaker& speaker, Page& page) {
  if (report.where.empty()) return;
  page.Heading("Where");
  int shown = 0;
  for (const WherePlace& place : report.where) {
    // The likeliest place, and others while they are worth a thought.
    if (shown > 0 && (place.chance < kWorthAThought || shown >= 3)) break;
    page.Pair("   ", AsSentence(speaker.Say(place.statement)), ShowChance(place.chance));
    ++shown;
  }
  page.Blank();
}

void Evidence(const Suspect& suspect, const Speaker& speaker, const RankTextOptions& options, Page& page) {
  for (const EvidenceItem& item :
       options.details ? suspect.evidence : StrongestEvidence(suspect.evidence, options.evidence)) {
    page.Paragraph(item.odds_factor > 1 ? "   + " : "   - ", EvidenceLine(item, speaker));
    if (options.details)
      page.Aside("     ", fmt::format("{} at {}", item.event, speaker.SayPlace(item.origin.place)));
  }
}

std::string RoleSentence(Role role) {
  switch (role) {
    case Role::kRoot:
      return "";
    case Role::kConsequence:
      return "If so, it is a consequence: something else brought it about.";
    case Role::kOpen:
      return "Root or consequence: still open.";
  }
  return "";
}

std::string WhatFollows(const Suspect& suspect, const Speaker& speaker, bool details) {
  std::string line;
  int shown = 0;
  for (const Consequence& one : suspect.follows) {
    if (!details && (shown >= kMostFollows || one.chance < kWorthAThought)) break;
    line += fmt::format("{}{} ({})", shown++ == 0 ? "" : "; ", speaker.Say(one.statement),
                        ShowChance(one.chance));
  }
  return line.empty() ? "" : fmt::format("Then look whether {}.", line);
}

void OneSuspect(const Suspect& suspect, int number, const Speaker& speaker, const RankTextOptions& options,
                Page& page) {
  page.Paragraph(fmt::format("{:>2} ", number), AsSentence(speaker.Say(suspect.statement)));
  page.Paragraph("   ", fmt::format("{} {}, {} before looking", Bar(suspect.chance, kBarWidth),
                                    ShowChance(suspect.chance), ShowChance(suspect.before)));
  for (const std::string& note : SuspectNotes(suspect, speaker, options.details)) page.Paragraph("   ", note);
  Evidence(suspect, speaker, options, page);
  if (options.details)
    page.Aside("     ", fmt::format("{}; ask: gearwhy why CASE {}", suspect.fault, suspect.fault));
  page.Blank();
}

void Suspects(const RankReport& report, const Speaker& speaker, const RankTextOptions& options, Page& page) {
  page.Heading("What");
  const std::size_t most =
      options.details ? report.suspects.size() : static_cast<std::size_t>(options.suspects);
  for (std::size_t i = 0; i < std::min(most, report.suspects.size()); ++i) {
    OneSuspect(report.suspects[i], static_cast<int>(i) + 1, speaker, options, page);
  }
  if (report.suspects.empty()) {
    page.Paragraph("   ", kNoFaultKnown);
    page.Blank();
  }
}

// "Brake E alone", "brake E and the pump, both".
std::string SayAccount(const PlaceAccount& account, const Speaker& speaker) {
  if (account.places.empty()) return "nothing has broken that the reports speak for";
  const bool named = std::all_of(account.places.begin(), account.places.end(), [](const AccountPlace& told) {
    return told.place.kind != FaultPlace::Kind::kFault;
  });
  std::string places;
  for (const AccountPlace& told : account.places) {
    if (!places.empty()) places += named ? " and " : ", and ";
    places += SayPlaceName(told.place, told.statement, speaker);
  }
  if (account.places.size() > 1) return places + (named ? ", both" : "");
  return places + (named ? " alone" : ", and nothing else");
}

void OneAccount(const PlaceAccount& account, const Speaker& speaker, Page& page) {
  page.Pair("   ", AsSentence(SayAccount(account, speaker)), ShowChance(account.chance));
  for (const AccountPlace& told : account.places) {
    if (told.place.kind == FaultPlace::Kind::kFault) continue;
    std::string line =
        fmt::format("Then most likely {} ({})", speaker.Say(told.statement), ShowChance(told.chance));
    if (told.alike > 1) line += fmt::format(", one of {} about as likely", told.alike);
    page.Paragraph("     ", line + ".");
  }
}

std::string SayReport(const EvidenceItem& report, const Speaker& speaker) {
  return fmt::format("{} ({}; {})", EvidenceText(report, speaker), speaker.SayTrust(report.origin),
                     speaker.SayPlace(report.origin.place));
}

void Next(const LookNext& next, const Speaker& speaker, Page& page) {
  if (next.checks.empty()) return;
  page.Heading("Look at next");
  for (std::size_t i = 0; i < next.checks.size(); ++i) {
    const NextCheck& check = next.checks[i];
    page.Pair(fmt::format("{:>2} ", i + 1), AsSentence(speaker.Say(check.says)),
              fmt::format("{}, {}", speaker.SayAccess(check.access_name), ShowMinutes(check.minutes)));
    page.Paragraph("   ", speaker.Say(check.how));
    if (!check.only_in.empty()) page.Paragraph("   ", OnlyInText(check.only_in, speaker));
  }
  page.Blank();
  if (next.cautions.empty()) return;
  page.Heading("Take care");
  bool general = false;
  for (const std::string& caution : next.cautions) {
    const std::string says = speaker.SayCaution(caution);
    page.Paragraph("   ", says);
    general |= says.find("licensed practice") != std::string::npos;
  }
  if (!general) {
    page.Paragraph("   ", "The vehicle maker's procedure, local codes and licensed practice come first.");
  }
  page.Blank();
}

// What is said alike of several parts is said once.
void Parts(const RankReport& report, const Speaker& speaker, Page& page) {
  if (report.parts.empty()) return;
  page.Heading("Replace or reuse");
  SayParts(report.parts, true, speaker, page);
  page.Blank();
}

// "line pressure in reverse reads 14.9 bar, and the least is 15 bar: too close to tell, 52 in 100 that it is
// below".
std::string ReadingText(const ReadingSaid& reading, const Speaker& speaker) {
  const bool least = reading.limit.side == Side::kBelow;
  const std::string limit = fmt::format("the {} is {}", least ? "least" : "most",
                                        ShowQuantity(reading.limit.limit, reading.dimension));
  std::string text = fmt::format("{}, and {}", speaker.Say(reading.fact), limit);
  if (reading.stand == Stand::kCannotTell) {
    text += fmt::format(": too close to tell, {} that it is {}", ShowChance(reading.p_beyond),
                        least ? "below" : "above");
  }
  if (reading.contradicts) text += "; two instruments contradict each other there";
  return text;
}

}  // namespace

std::vector<EvidenceItem> StrongestEvidence(const std::vector<EvidenceItem>& evidence, int most) {
  std::vector<EvidenceItem> shown(evidence.begin(),
                                  evidence.begin() + std::min<std::ptrdiff_t>(most, std::ssize(evidence)));
  const auto against = [](const EvidenceItem& item) { return item.odds_factor < 1; };
  const auto first_against = std::find_if(evidence.begin(), evidence.end(), against);
  if (!shown.empty() && first_against != evidence.end() &&
      std::none_of(shown.begin(), shown.end(), against)) {
    shown.back() = *first_against;
  }
  return shown;
}

std::vector<std::string> SuspectNotes(const Suspect& suspect, const Speaker& speaker, bool details) {
  std::vector<std::string> notes;
  std::string line = RoleSentence(suspect.role);
  if (!suspect.repair.empty()) {
    line += fmt::format("{}Repair: {}{}.", line.empty() ? "" : " ", speaker.SayAccess(suspect.repair),
                        suspect.needs_unit_out ? "; the unit must come out" : "");
  }
  if (!suspect.only_in.empty()) line += (line.empty() ? "" : " ") + OnlyInText(suspect.only_in, speaker);
  if (!line.empty()) notes.push_back(line);
  if (suspect.alike >= kManyAlike)
    notes.push_back(
        fmt::format("One of {} there that are about as likely; which, only a look tells.", suspect.alike));
  if (std::string follows = WhatFollows(suspect, speaker, details); !follows.empty())
    notes.push_back(std::move(follows));
  return notes;
}

std::string EvidenceLine(const EvidenceItem& item, const Speaker& speaker) {
  return fmt::format("{} ({}): {}.", Capitalised(EvidenceText(item, speaker)), speaker.SayTrust(item.origin),
                     ShowMoved(item));
}

// What broke, told as places. Where the first account names another place than the first line of *where*, it
// says how the two go together.
void SayInPlaces(const RankReport& report, const Speaker& speaker, Page& page) {
  if (report.accounts.likeliest.empty()) return;
  page.Heading("One place or several");
  for (const PlaceAccount& account : report.accounts.likeliest) {
    OneAccount(account, speaker, page);
    const bool first = &account == &report.accounts.likeliest.front();
    if (first && !account.is_where && !report.where.empty() &&
        report.where.front().chance >= kWorthAThought && !std::isnan(account.chance_where))
      page.Paragraph("     ",
                     fmt::format("By this account {}: {}.", speaker.Say(report.where.front().statement),
                                 ShowChance(account.chance_where)));
  }
  if (report.accounts.rest >= kLeastRest)
    page.Pair("   ", "Anything else, or more at once.", ShowChance(report.accounts.rest));
  page.Blank();
}

void SayNotExplained(const RankReport& report, const Speaker& speaker, Page& page) {
  if (report.unexplained.empty() && report.contradictions.empty()) return;
  page.Heading("Not explained");
  for (const Contradiction& one : report.contradictions) {
    page.Paragraph(
        "   ",
        fmt::format("{}{}, but {}.{}", one.complaint ? "Complaint: " : "",
                    one.complaint ? SayReport(one.says, speaker) : Capitalised(SayReport(one.says, speaker)),
                    SayReport(one.denies, speaker),
                    one.refuted ? " It was not found again: ask when it comes."
                                : fmt::format(" That it is so: {}.", ShowChance(one.chance))));
  }
  for (const Unexplained& event : report.unexplained) {
    const std::string what = event.known ? fmt::format("only {} that a known cause brought it about",
                                                       ShowChance(event.chance_explained))
                                         : "the rulebook knows no cause of it in this unit";
    page.Paragraph("   ", fmt::format("{}{}: {}.", event.complaint ? "Complaint: " : "",
                                      speaker.Say(event.statement), what));
  }
  page.Blank();
}

std::string SayPlaceName(const FaultPlace& place, const Statement& fault, const Speaker& speaker) {
  if (place.kind == FaultPlace::Kind::kFault) return speaker.Say(fault);
  return speaker.SayName(place.name, FaultPlaceKindName(place.kind));
}

std::string ReservationText(const RankReport& report) {
  if (!report.possible)
    return "What was observed contradicts itself with certainty: no set of faults can bring it about. The "
           "chances "
           "below are those before looking. See which observation is less certain, and say so with `trust`.";
  if (report.nothing_observed)
    return "Nothing was observed that the rulebook speaks of, so these are the chances before looking.";
  return "";
}

std::string SubjectText(const std::string& case_id, const std::string& variant, const Speaker& speaker) {
  std::string text = fmt::format("case {}", case_id);
  if (const std::string unit = speaker.SayUnit(); !unit.empty()) text += fmt::format(" · {}", unit);
  if (!variant.empty()) text += fmt::format(" · {}", speaker.SayName(variant, "variant"));
  return text;
}

std::string SayVariants(const std::vector<std::string>& variants, std::string_view joint,
                        const Speaker& speaker) {
  std::string all;
  for (const std::string& one : variants)
    all += (all.empty() ? "" : fmt::format(" {} ", joint)) + speaker.SayName(one, "variant");
  return all;
}

void SayParts(const std::vector<PartDecision>& parts, bool with_sources, const Speaker& speaker, Page& page) {
  std::vector<const PartDecision*> left;
  for (const PartDecision& decision : parts) left.push_back(&decision);
  while (!left.empty()) {
    const PartDecision& first = *left.front();
    std::string because = speaker.Say(first.because);
    std::string named;
    std::erase_if(left, [&](const PartDecision* other) {
      if (other->origin.id != first.origin.id || other->only_in != first.only_in ||
          speaker.Say(other->because) != because)
        return false;
      named += (named.empty() ? "" : ", ") + speaker.SayName(other->part, "part");
      return true;
    });
    if (!first.only_in.empty()) because += " " + OnlyInText(first.only_in, speaker);
    page.Paragraph("   ", fmt::format("{}: {}. {}", Capitalised(VerdictName(first.verdict)), named, because));
    if (with_sources)
      page.Aside("     ", fmt::format("{} at {}", first.origin.id, speaker.SayPlace(first.origin.place)));
  }
}

std::string ShowMoved(const EvidenceItem& item) {
  const std::string factor = ShowOddsFactor(item.odds_factor);
  if (!item.by_rivals) return factor;
  return (item.present ? "other causes explain it better: " : "it speaks more against other causes: ") +
         factor;
}

std::string WhichVariantText(const WhichVariant& which, const Speaker& speaker) {
  constexpr std::size_t kMostSigns = 2;
  std::vector<std::string> each;
  bool with_comma = false;  // "light duty, early valve body"
  for (const VariantChance& one : which.may_be) {
    each.push_back(speaker.SayName(one.variant, "variant"));
    with_comma |= each.back().find(',') != std::string::npos;
    each.back() += " " + ShowChance(one.chance);
  }
  std::string all;
  for (const std::string& one : each) all += (all.empty() ? "" : with_comma ? "; " : ", ") + one;
  std::string text = fmt::format("Variant not known: {}.", all);
  for (std::size_t i = 0; i < std::min(kMostSigns, which.signs.size()); ++i) {
    const VariantSign& sign = which.signs[i];
    const std::string part = speaker.SayName(sign.part, "part");
    if (!sign.only_in.empty()) {
      text += fmt::format(" Only {} has {}.", SayVariants(sign.only_in, "or", speaker), part);
      continue;
    }
    std::string counts;
    for (const auto& [variant, count] : sign.count) {
      counts +=
          fmt::format("{}{} in {}", counts.empty() ? "" : ", ", count, speaker.SayName(variant, "variant"));
    }
    text += fmt::format(" {}: {}.", Capitalised(part), counts);
  }
  return text;
}

std::string EvidenceText(const EvidenceItem& item, const Speaker& speaker) {
  if (item.reading) {
    const std::string said = ReadingText(*item.reading, speaker);
    return item.only_in.empty() ? said
                                : fmt::format("if {}: {}", SayVariants(item.only_in, "or", speaker), said);
  }
  if (item.only_in.empty()) return speaker.Say(item.statement, item.present);
  const auto if_of = [&](const std::vector<std::string>& variants, bool present) {
    return fmt::format("if {}: {}", SayVariants(variants, "or", speaker),
                       speaker.Say(item.statement, present));
  };
  std::string text = if_of(item.only_in, item.present);
  if (!item.opposite_in.empty()) text += "; " + if_of(item.opposite_in, !item.present);
  return text;
}

std::string OnlyInText(const std::vector<std::string>& variants, const Speaker& speaker) {
  return fmt::format("Only in {}.", SayVariants(variants, "and", speaker));
}

void SayExactness(const ExactnessNote& note, const Speaker& speaker, Page& page) {
  if (note.exact) return;
  if (!note.known) {
    page.Paragraph("", "Nothing can be said of the chances: too many reports of this case hang together.");
  } else if (note.firm > 0) {
    page.Paragraph(
        "",
        fmt::format("Estimates: this case is too entangled for exact chances, so {} taken for certain. They "
                    "are right to within about {:.0f} in 100.",
                    note.firm == 1 ? "one good look that found nothing is"
                                   : fmt::format("{} good looks that found nothing are", note.firm),
                    std::ceil(note.error * 100)));
  }
  if (!note.left_out.empty()) {
    page.Paragraph("", fmt::format("Not all is reckoned with: this case is too entangled, so {}:",
                                   note.left_out.size() == 1
                                       ? "what says least for that is left out of the chances"
                                       : fmt::format("the {} reports that say least for that are left out of "
                                                     "the chances",
                                                     note.left_out.size())));
    for (std::size_t i = 0; i < std::min(note.left_out.size(), kMostLeftOutShown); ++i) {
      const EvidenceItem& report = note.left_out[i];
      page.Paragraph(" · ",
                     fmt::format("{} ({}; {}).", Capitalised(EvidenceText(report, speaker)),
                                 speaker.SayTrust(report.origin), speaker.SayPlace(report.origin.place)));
    }
    if (note.left_out.size() > kMostLeftOutShown)
      page.Paragraph(" · ", fmt::format("And {} more.", note.left_out.size() - kMostLeftOutShown));
  }
  page.Blank();
}

namespace {

// What every page of a ranking begins with. False where nothing more can be said.
bool Head(const RankReport& report, const Speaker& speaker, Page& page) {
  SayExactness(report.exactness, speaker, page);
  page.Heading(report.title);
  page.Aside("", SubjectText(report.case_id, report.variant, speaker));
  if (report.exactness.known && !report.which_variant.may_be.empty())
    page.Paragraph("", WhichVariantText(report.which_variant, speaker));
  page.Blank();
  if (!report.exactness.known) return false;
  if (const std::string reservation = ReservationText(report); !reservation.empty()) {
    page.Paragraph("", reservation);
    page.Blank();
  }
  return true;
}

}  // namespace

std::string ChancesText(const RankReport& report, int suspects, const Speaker& speaker,
                        const TextStyle& style) {
  Page page(style);
  if (!Head(report, speaker, page)) return page.text();
  Where(report, speaker, page);
  page.Heading("What");
  int number = 0;
  for (const Suspect& suspect : report.suspects) {
    if (number == suspects) break;
    page.Pair(fmt::format("{:>2} ", ++number), AsSentence(speaker.Say(suspect.statement)),
              ShowChance(suspect.chance));
  }
  if (report.suspects.empty()) page.Paragraph("   ", kNoFaultKnown);
  page.Blank();
  return page.text();
}

std::string RankText(const RankReport& report, const LookNext& next, const Speaker& speaker,
                     const TextStyle& style, const RankTextOptions& options) {
  Page page(style);
  if (!Head(report, speaker, page)) return page.text();
  ComesTo(report, next, page);
  Where(report, speaker, page);
  Suspects(report, speaker, options, page);
  SayInPlaces(report, speaker, page);
  SayNotExplained(report, speaker, page);
  if (options.details) Parts(report, speaker, page);
  Next(next, speaker, page);
  if (report.reasons_left_out) {
    page.Paragraph(
        "",
        "Working out what speaks for and against each would take long in a case so entangled, and was "
        "left out; `gearwhy why CASE SUSPECT` works it out for one.");
    page.Blank();
  }
  if (options.details) {
    page.Aside("", fmt::format("Rulebook: {} {} (sha256 {})", report.book_title, report.book_version,
                               report.book_hash));
    for (const BookFile& file : report.files)
      page.Aside("   ", fmt::format("{} {}", file.sha256.substr(0, 16), file.name));
  } else {
    page.Aside("", "More: --details here, or `gearwhy why CASE 2` for the whole reasoning behind number 2.");
  }
  if (next.verdict.known) page.Blank();
  return page.text() + InShortText(next.verdict, speaker, style);
}

}  // namespace gearwhy
