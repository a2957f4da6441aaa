// The bench's page: what was measured and what that says, what becomes of the parts, what is still to be
// measured; and the sheet to fill in.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/model/access.h"
#include "engine/model/policy.h"
#include "engine/render/pieces.h"

namespace gearwhy {
namespace {

constexpr std::size_t kFewDue = 5;
constexpr std::string_view kNoUnit =
    "The case names no `unit`, and only a unit tells which parts there are and what they measure.";

// What is told of a doubt has two digits, and of a value no more than its doubt leaves: ± 0.078, 2.300 mm.
int DecimalsFor(double doubt) {
  if (doubt <= 0) return 3;
  return std::clamp(1 - static_cast<int>(std::floor(std::log10(doubt))), 0, 6);
}

// "the most is 1.7 mm", the limit a reading is beyond or cannot be told from.
std::string SayLimit(const AgainstLimit& against, Dimension dimension) {
  return fmt::format("the {} is {}", against.limit.side == Side::kBelow ? "least" : "most",
                     ShowQuantity(against.limit.limit, dimension));
}

// What the verdict of some variants is, as whole sentences behind the reading.
std::string SayVerdict(const ReadingVerdict& verdict, Dimension dimension) {
  const JudgedReading& reading = verdict.reading;
  switch (StandOf(reading)) {
    case ReadingStand::kBeyond:
      return SayLimit(*reading.Beyond(), dimension) + ", and it is beyond.";
    case ReadingStand::kWithin: {
      std::vector<std::string> limits;
      for (const AgainstLimit& against : reading.limits) limits.push_back(SayLimit(against, dimension));
      return fmt::format("{}{}.", JoinNames(limits, "and"),
                         reading.is_as_new ? "; it cannot be told from new" : "; it is clear of that");
    }
    case ReadingStand::kNoLimit:
      return "no limit is known here; the maker's table has it.";
    case ReadingStand::kCannotTell:
      break;
  }
  const AgainstLimit& untold = *reading.Untold();
  std::string text =
      fmt::format("{}: {} that it is {}.", SayLimit(untold, dimension), ShowChance(untold.p_beyond),
                  untold.limit.side == Side::kBelow ? "below" : "above");
  if (reading.never_inside)
    text += " The limits lie so close together that this instrument can never say that it is within them.";
  if (reading.contradict) return text;  // first it is measured again
  if (verdict.could_tell && verdict.could_tell->p_tells >= kTellsFrom) {
    text += fmt::format(" {} would tell, {}.", Capitalised(verdict.could_tell->instrument->says),
                        ShowChance(verdict.could_tell->p_tells));
  } else if (verdict.could_tell) {
    text += fmt::format(" None is sure to tell; the best is {}, {}.", verdict.could_tell->instrument->says,
                        ShowChance(verdict.could_tell->p_tells));
  }
  return text;
}

// "1.98 mm, 2.01 mm and 2 mm": what was read at every place.
std::string SayAll(const std::vector<JudgedPlace>& places, int decimals, Dimension dimension) {
  std::vector<std::string> values;
  for (const JudgedPlace& at : places) values.push_back(SayRounded(at.measured.value, decimals, dimension));
  return JoinNames(values, "and");
}

void Readings(const BenchReport& report, const Speaker& speaker, Page& page) {
  const std::pair<ReadingStand, const char*> kGroups[] = {
      {ReadingStand::kBeyond, "Beyond its limit"},
      {ReadingStand::kCannotTell, "Too close to tell"},
      {ReadingStand::kWithin, "Within"},
      {ReadingStand::kNoLimit, "Without a limit"},
  };
  for (const auto& [stand, heading] : kGroups) {
    bool any = false;
    for (const BenchReading& reading : report.readings) {
      if (StandOf(reading) != stand) continue;
      if (!any) page.Heading(heading);
      any = true;
      page.Paragraph("   ", ReadingLine(reading, speaker));
    }
    if (any) page.Blank();
  }
}

// What was found or measured decides; the rest, which goes by the kind of part, on request.
void BenchParts(const BenchReport& report, const Speaker& speaker, const BenchTextOptions& options,
                Page& page) {
  if (report.parts.empty()) return;
  std::vector<PartDecision> shown = report.parts;
  if (!options.parts) {
    std::erase_if(shown, [](const PartDecision& part) {
      return part.basis != DecisionBasis::kFound && part.basis != DecisionBasis::kMeasured;
    });
  }
  page.Heading(options.parts ? "Parts" : "Parts, by what was found and measured");
  if (shown.empty()) page.Paragraph("   ", "Nothing found and nothing measured decides about a part so far.");
  SayParts(shown, options.parts, speaker, page);
  page.Blank();
}

std::string SayNames(const std::vector<std::string>& parts, const Speaker& speaker) {
  std::vector<std::string> names;
  for (const std::string& part : parts) names.push_back(speaker.SayName(part, "part"));
  return JoinNames(names, "or");
}

std::string SayLength(double length) { return SayRounded(length, 2, Dimension::kLength); }

void OnePack(const PackFit& pack, const Speaker& speaker, Page& page) {
  const Fit& best = pack.take.best;
  std::string line = Capitalised(speaker.SayName(pack.element, "element"));
  if (!pack.only_in.empty()) line += fmt::format(", if {}", SayVariants(pack.only_in, "or", speaker));
  line += fmt::format(": with the ring of {} the clearance is {} ± {} (at worst ± {}); {} to {} is wanted.",
                      SayLength(best.ring), SayLength(best.clearance), SayLength(best.doubt),
                      SayLength(best.worst), SayLength(pack.least), SayLength(pack.most));
  if (!best.serves) {
    line += fmt::format(
        " No ring at hand serves, and one of {} would be right: measure plates, ring and depth again.",
        SayLength(pack.take.ideal));
    if (!pack.one_missing.empty())
      line += fmt::format(" One more of {} would make it right: count them.",
                          SayNames(pack.one_missing, speaker));
    if (!pack.one_too_many.empty())
      line += fmt::format(" One less of {} would make it right: count them.",
                          SayNames(pack.one_too_many, speaker));
  } else if (!best.sure) {
    line += " By the tolerances that is not sure: build it and measure.";
  }
  if (pack.take.as_near)
    line += fmt::format(" The one of {} is as near, and leaves {}.", SayLength(pack.take.as_near->ring),
                        SayLength(pack.take.as_near->clearance));
  if (pack.corrected) line += " This goes by the clearance that was measured with a ring in it.";
  page.Paragraph("   ", line);
}

void Due(const BenchReport& report, const Speaker& speaker, const BenchTextOptions& options, Page& page) {
  if (report.due.empty()) return;
  page.Heading(fmt::format("Not measured yet: {}", report.due.size()));
  const std::size_t most = options.due ? report.due.size() : std::min(kFewDue, report.due.size());
  for (std::size_t i = 0; i < most; ++i) {
    const DueMeasurement& one = report.due[i];
    page.Paragraph("   ", AsSentence(speaker.SayWith(one.fact, "...")));
  }
  if (most < report.due.size()) page.Paragraph("   ", "... and so on.");
  page.Blank();
}

}  // namespace

std::string JoinNames(const std::vector<std::string>& names, std::string_view last) {
  std::string text;
  for (std::size_t i = 0; i < names.size(); ++i)
    text += (i == 0 ? "" : i + 1 == names.size() ? fmt::format(" {} ", last) : ", ") + names[i];
  return text;
}

std::string LimitsText(const KnownLimits& limits, Dimension dimension) {
  std::vector<std::string> said;
  const auto say = [&](const char* what, const std::optional<double>& limit) {
    if (limit) said.push_back(fmt::format("{} {}", what, ShowQuantity(*limit, dimension)));
  };
  say("at least", limits.least);
  say("at most", limits.most);
  say("new", limits.fresh);
  return JoinNames(said, "and");
}

std::string ReadingLine(const BenchReading& one, const Speaker& speaker) {
  const JudgedReading& first = one.verdicts.front().reading;
  const Measured& measured = first.Decides().measured;
  const double doubt = kGuardBand * measured.u;
  const int decimals = DecimalsFor(doubt);
  const bool judged = !first.limits.empty();
  std::string line =
      Capitalised(speaker.SayWith(one.fact, judged ? SayRounded(measured.value, decimals, one.dimension)
                                                   : SayAll(first.places, decimals, one.dimension)));
  if (judged && !one.place.empty())
    line += fmt::format(" at {}, the worst of {}", one.place, first.places.size());
  line += fmt::format(" (with {}, ± {}{}).", JoinNames(one.with, "and"),
                      SayRounded(doubt, decimals, one.dimension), first.as_built ? ", as built" : "");
  for (const ReadingVerdict& verdict : one.verdicts) {
    if (first.measurement->limits.empty()) break;  // none is wanted
    const std::string says = SayVerdict(verdict, one.dimension);
    line += verdict.only_in.empty()
                ? " " + Capitalised(says)
                : fmt::format(" If {}: {}", SayVariants(verdict.only_in, "or", speaker), says);
  }
  if (measured.uneven)
    line += " Its readings differ by more than the instrument explains: it is uneven, or misread.";
  if (first.contradict)
    line += " Its readings contradict each other, and one of them is wrong: measure it again.";
  return line;
}

std::string BenchSummary(const BenchReport& report) {
  std::map<ReadingStand, int> readings;
  for (const BenchReading& reading : report.readings) ++readings[StandOf(reading)];
  std::string text;
  if (report.readings.empty()) {
    text = "Nothing has been measured yet.";
  } else {
    const std::size_t count = report.readings.size();
    text = fmt::format("{} measured:", count == 1 ? "One thing" : fmt::format("{} things", count));
    const auto add = [&](ReadingStand stand, const char* says) {
      if (readings[stand] > 0)
        text += fmt::format("{} {} {}", text.ends_with(':') ? "" : ",", readings[stand], says);
    };
    add(ReadingStand::kBeyond, "beyond its limit");
    add(ReadingStand::kCannotTell, "too close to tell");
    add(ReadingStand::kWithin, "within");
    add(ReadingStand::kNoLimit, "without a limit");
    text += ".";
  }
  std::map<Verdict, int> parts;
  for (const PartDecision& part : report.parts) ++parts[part.verdict];
  if (!report.parts.empty())
    text += fmt::format(" Parts: {} to replace, {} to measure or look at, {} to use again.",
                        parts[Verdict::kReplace], parts[Verdict::kMeasure], parts[Verdict::kReuse]);
  return text;
}

void SayPacks(const BenchReport& report, bool all, const Speaker& speaker, Page& page) {
  bool any = false;
  for (const PackFit& pack : report.packs) {
    if (!all && !pack.measured) continue;
    if (!any) page.Heading("Rings");
    any = true;
    OnePack(pack, speaker, page);
  }
  if (any) page.Blank();
}

std::string SayRounded(double value, int decimals, Dimension dimension) {
  const double scale = std::pow(10.0, decimals);
  return ShowQuantity(std::round(value * scale) / scale, dimension);
}

void SayCautions(const std::vector<std::string>& cautions, const Speaker& speaker, Page& page) {
  if (cautions.empty()) return;
  page.Blank();
  page.Heading("Cautions");
  for (const std::string& caution : cautions) page.Paragraph(" ! ", speaker.SayCaution(caution));
}

std::string BenchText(const BenchReport& report, const Speaker& speaker, const TextStyle& style,
                      const BenchTextOptions& options) {
  Page page(style);
  page.Heading(report.title);
  page.Aside("", SubjectText(report.case_id, report.variant, speaker));
  if (!report.which_variant.may_be.empty())
    page.Paragraph("", WhichVariantText(report.which_variant, speaker));
  page.Blank();
  if (report.unit.empty()) page.Paragraph("", kNoUnit);
  page.Paragraph("", BenchSummary(report));
  page.Blank();
  SayCloseOut(report.close_out, options.close, speaker, page);
  Readings(report, speaker, page);
  SayPacks(report, options.packs, speaker, page);
  SayChoices(report.choices, speaker, page);
  SayCapacities(report.capacities, options.capacity, speaker, page);
  BenchParts(report, speaker, options, page);
  SayRenewals(report.renewals, options.renew, speaker, page);
  Due(report, speaker, options, page);
  page.Aside("",
             "More: --close, --tests, --parts, --renew, --packs, --capacity, --due; --blank is the sheet to "
             "fill in. The maker's procedure and table come first.");
  return page.text();
}

std::string DueLimitsText(const DueMeasurement& due, const Speaker& speaker) {
  std::string text;
  for (const DueLimits& limits : due.limits) {
    const std::string said = LimitsText(limits.limits, due.dimension);
    if (said.empty()) continue;
    if (!text.empty()) text += "; ";
    if (!limits.only_in.empty()) text += SayVariants(limits.only_in, "or", speaker) + ": ";
    text += said;
  }
  return text.empty() ? "No limit is known here" : Capitalised(text);
}

std::string TooLateText(const DueMeasurement& due, const Speaker& speaker) {
  return due.lost_with.empty()
             ? ""
             : fmt::format("{} it is too late.", Capitalised(speaker.SayAccess(due.lost_with)));
}

std::string BenchSheetText(const BenchReport& report, const Speaker& speaker, const TextStyle& style) {
  Page page(style);
  page.Heading(fmt::format("To measure: {}", report.title));
  page.Aside("", SubjectText(report.case_id, report.variant, speaker));
  page.Paragraph(
      "", "Limits are those of the book for this variant; the maker's procedure and table come first.");
  std::string access;
  std::vector<std::string> cautions;
  for (const DueMeasurement& one : report.due) {
    if (one.access != access || &one == &report.due.front()) {
      page.Blank();
      access = one.access;
      const std::string says = speaker.SayAccess(access);
      page.Heading(says.empty() ? "As it stands" : Capitalised(says));
    }
    AddNames(one.cautions, cautions);
    const std::string blank = fmt::format("________ {}", BaseUnit(one.dimension));
    page.Paragraph(" · ", AsSentence(speaker.SayWith(one.fact, blank)));
    std::string line = fmt::format("{}. With {}.", DueLimitsText(one, speaker), JoinNames(one.with, "or"));
    if (const std::string late = TooLateText(one, speaker); !late.empty()) line += " " + late;
    page.Paragraph("   ", line);
  }
  SayCautions(cautions, speaker, page);
  if (report.unit.empty()) {
    page.Paragraph("", kNoUnit);
  } else if (report.due.empty()) {
    page.Paragraph("", "Nothing that the book knows how to measure is left.");
  }
  return page.text();
}

}  // namespace gearwhy
