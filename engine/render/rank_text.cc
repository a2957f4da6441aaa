// The ranking as text.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/model/say.h"
#include "engine/render/text.h"

namespace gearwhy {
namespace {

constexpr int kBarWidth = 30;

std::string Subject(const RankReport& report) {
  std::string text = fmt::format("case {}", report.case_id);
  if (!report.unit_says.empty()) text += fmt::format(" · {}", report.unit_says);
  if (!report.variant_says.empty()) text += fmt::format(" · {}", report.variant_says);
  return text;
}

void ComesTo(const RankReport& report, const LookNext& next, Page& page) {
  if (!next.outcome || report.nothing_observed) return;
  if (next.outcome->nothing() >= kNothingFrom)
    page.Paragraph("", "So far no fault is needed to explain what was reported.");
  page.Paragraph("", OutcomeText(*next.outcome));
  page.Blank();
}

void Where(const RankReport& report, Page& page) {
  if (report.where.empty()) return;
  page.Heading("Where");
  int shown = 0;
  for (const WherePlace& place : report.where) {
    // The likeliest place, and others while they are worth a thought.
    if (shown > 0 && (place.chance < 0.1 || shown >= 3)) break;
    page.Pair("   ", AsSentence(place.says), ShowChance(place.chance));
    ++shown;
  }
  page.Blank();
}

// The strongest reasons; the last place is kept for what speaks against the suspect, if anything does.
std::vector<EvidenceItem> Strongest(const std::vector<EvidenceItem>& evidence, int most) {
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

void Evidence(const Suspect& suspect, const RankTextOptions& options, Page& page) {
  for (const EvidenceItem& item :
       options.details ? suspect.evidence : Strongest(suspect.evidence, options.evidence)) {
    page.Paragraph(
        item.odds_factor > 1 ? "   + " : "   - ",
        fmt::format("{} ({}): {}.", Capitalised(item.says), item.trust, ShowOddsFactor(item.odds_factor)));
    if (options.details) page.Aside("     ", fmt::format("{} at {}", item.event, item.source));
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

void OneSuspect(const Suspect& suspect, int number, const RankTextOptions& options, Page& page) {
  page.Paragraph(fmt::format("{:>2} ", number), AsSentence(suspect.says));
  page.Paragraph("   ", fmt::format("{} {}, {} before looking", Bar(suspect.chance, kBarWidth),
                                    ShowChance(suspect.chance), ShowChance(suspect.before)));
  std::string line = RoleSentence(suspect.role);
  if (!suspect.repair.empty()) {
    line += fmt::format("{}Repair: {}{}.", line.empty() ? "" : " ", suspect.repair,
                        suspect.needs_unit_out ? "; the unit must come out" : "");
  }
  if (!line.empty()) page.Paragraph("   ", line);
  Evidence(suspect, options, page);
  if (options.details)
    page.Aside("     ", fmt::format("{}; ask: gearwhy why CASE {}", suspect.fault, suspect.fault));
  page.Blank();
}

void Suspects(const RankReport& report, const RankTextOptions& options, Page& page) {
  page.Heading("What");
  const std::size_t most =
      options.details ? report.suspects.size() : static_cast<std::size_t>(options.suspects);
  for (std::size_t i = 0; i < std::min(most, report.suspects.size()); ++i) {
    OneSuspect(report.suspects[i], static_cast<int>(i) + 1, options, page);
  }
  if (report.suspects.empty()) {
    page.Paragraph("   ", "The rulebook knows no fault that this transmission could have.");
    page.Blank();
  }
}

void TakenTogether(const RankReport& report, Page& page) {
  if (report.nothing_observed || !report.possible || report.reasons_left_out) return;
  page.Heading("Taken together");
  if (report.together.says.empty()) {
    page.Paragraph("   ", fmt::format("The likeliest single account is that nothing is broken ({}).",
                                      ShowChance(report.together.chance)));
  } else {
    std::string account;
    for (std::size_t i = 0; i < report.together.says.size(); ++i) {
      account += i == 0 ? "" : i + 1 == report.together.says.size() ? ", and " : ", ";
      account += report.together.says[i];
    }
    page.Paragraph("   ", fmt::format("The likeliest account of everything seen: {}, and nothing else ({}).",
                                      account, ShowChance(report.together.chance)));
  }
  if (!report.together.exact)
    page.Paragraph(
        "   ",
        "It is the likeliest account found; the search was cut short, and there may be a likelier one.");
  page.Blank();
}

void NotExplained(const RankReport& report, Page& page) {
  if (report.unexplained.empty()) return;
  page.Heading("Not explained");
  for (const Unexplained& event : report.unexplained) {
    const std::string what = event.known ? fmt::format("only {} that a known cause brought it about",
                                                       ShowChance(event.chance_explained))
                                         : "the rulebook knows no cause of it in this unit";
    page.Paragraph("   ", fmt::format("{}{}: {}.", event.complaint ? "Complaint: " : "", event.says, what));
  }
  page.Blank();
}

void Next(const LookNext& next, Page& page) {
  if (next.checks.empty()) return;
  page.Heading("Look at next");
  for (std::size_t i = 0; i < next.checks.size(); ++i) {
    const NextCheck& check = next.checks[i];
    page.Pair(fmt::format("{:>2} ", i + 1), AsSentence(check.says),
              fmt::format("{}, {}", check.access, ShowMinutes(check.minutes)));
    page.Paragraph("   ", check.how);
  }
  page.Blank();
  if (next.cautions.empty()) return;
  page.Heading("Take care");
  for (const std::string& caution : next.cautions) page.Paragraph("   ", caution);
  if (std::none_of(next.cautions.begin(), next.cautions.end(),
                   [](const std::string& c) { return c.find("licensed practice") != std::string::npos; })) {
    page.Paragraph("   ", "The vehicle maker's procedure, local codes and licensed practice come first.");
  }
  page.Blank();
}

// What is said alike of several parts is said once.
void Parts(const RankReport& report, Page& page) {
  if (report.parts.empty()) return;
  page.Heading("Replace or reuse");
  std::vector<const PartDecision*> left;
  for (const PartDecision& decision : report.parts) left.push_back(&decision);
  while (!left.empty()) {
    const PartDecision& first = *left.front();
    std::string parts;
    std::erase_if(left, [&](const PartDecision* other) {
      if (other->decision != first.decision || other->because != first.because) return false;
      parts += (parts.empty() ? "" : ", ") + other->says;
      return true;
    });
    page.Paragraph("   ",
                   fmt::format("{}: {}. {}", Capitalised(VerdictName(first.verdict)), parts, first.because));
    page.Aside("     ", fmt::format("{} at {}", first.decision, first.source));
  }
  page.Blank();
}

}  // namespace

void SayExactness(const ExactnessNote& note, Page& page) {
  if (note.exact) return;
  if (note.known) {
    page.Paragraph(
        "", fmt::format("Estimates: this case is too entangled for exact chances. They are right to within "
                        "{:.0f} in 100, 19 times in 20.",
                        std::max(1.0, std::ceil(note.error * 100))));
  } else {
    page.Paragraph(
        "",
        "Nothing can be said of the chances: too many reports of this case hang together. Settle these "
        "first, by a second and better look, or take back what is doubtful:");
    for (const EvidenceItem& report : note.settle_first)
      page.Paragraph(" · ",
                     fmt::format("{} ({}; {}).", Capitalised(report.says), report.trust, report.source));
  }
  page.Blank();
}

std::string RankText(const RankReport& report, const LookNext& next, const TextStyle& style,
                     const RankTextOptions& options) {
  Page page(style);
  SayExactness(report.exactness, page);
  page.Heading(report.title);
  page.Aside("", Subject(report));
  page.Blank();
  if (!report.exactness.known) return page.text();
  if (!report.possible) {
    page.Paragraph(
        "",
        "What was observed contradicts itself with certainty: no set of faults can bring it about. The "
        "chances "
        "below are those before looking. See which observation is less certain, and say so with `trust`.");
    page.Blank();
  } else if (report.nothing_observed) {
    page.Paragraph(
        "", "Nothing was observed that the rulebook speaks of, so these are the chances before looking.");
    page.Blank();
  }
  ComesTo(report, next, page);
  Where(report, page);
  Suspects(report, options, page);
  TakenTogether(report, page);
  NotExplained(report, page);
  if (options.details) Parts(report, page);
  Next(next, page);
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
    page.Aside("", "More: --details here, or `gearwhy why CASE` for the whole reasoning.");
  }
  return page.text();
}

}  // namespace gearwhy
