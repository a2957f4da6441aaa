#include "engine/explain/bench_report.h"

#include <algorithm>
#include <set>

#include "engine/chain/chain.h"
#include "engine/model/access.h"
#include "engine/model/policy.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// Puts what holds in one world to what is the same in another, or behind.
template <typename Entry, typename Same>
void PutTogether(std::vector<std::pair<Entry, std::vector<int>>>& all, Entry entry, int world, Same same) {
  for (auto& [other, worlds] : all) {
    if (!same(other, entry)) continue;
    worlds.push_back(world);
    return;
  }
  all.push_back({std::move(entry), {world}});
}

bool SameLimits(const JudgedReading& a, const JudgedReading& b) {
  return a.fresh == b.fresh && std::equal(a.limits.begin(), a.limits.end(), b.limits.begin(), b.limits.end(),
                                          [](const AgainstLimit& x, const AgainstLimit& y) {
                                            return x.limit.limit == y.limit.limit &&
                                                   x.limit.side == y.limit.side;
                                          });
}

bool SameKnown(const KnownLimits& a, const KnownLimits& b) {
  return a.least == b.least && a.most == b.most && a.fresh == b.fresh;
}

std::vector<std::string> Called(const Rulebook& book, const std::vector<std::string>& instruments) {
  std::vector<std::string> called;
  for (const std::string& name : instruments) called.push_back(book.instruments.at(name).says);
  return called;
}

double ChanceOfWorld(const Diagnosis& diagnosis, int world) {
  return diagnosis.worlds.size() == 1 ? 1 : diagnosis.chances.p_world[At(world)];
}


// All matches of what a check measures, in a world: the facts with their numbers 0.
void AddDue(const Diagnosis& diagnosis, const Check& check, int world, std::vector<DueMeasurement>& due,
            std::vector<std::vector<std::pair<KnownLimits, std::vector<int>>>>& limits) {
  const Rulebook& book = *diagnosis.book;
  const CaseFacts& facts = diagnosis.worlds[At(world)];
  for (const Match& match : FindMatches(check.when, facts.store)) {
    for (Pattern pattern : check.measures) {
      const auto measurement = book.measurements.find(pattern.name);
      if (measurement == book.measurements.end()) continue;
      for (Term& term : pattern.terms) {
        if (std::holds_alternative<Anything>(term)) term = Value(0.0);
      }
      const Statement fact = Fill(pattern, match.bindings);
      if (FindReading(facts.readings, fact, false) != nullptr) continue;
      auto it =
          std::find_if(due.begin(), due.end(), [&](const DueMeasurement& one) { return one.fact == fact; });
      if (it == due.end()) {
        DueMeasurement one;
        one.fact = fact;
        one.with = Called(book, measurement->second.with);
        one.dimension = book.instruments.at(measurement->second.with.front()).reads;
        one.access = check.access;
        one.lost_with = check.lost_with;
        one.cautions = check.cautions;
        due.push_back(std::move(one));
        limits.emplace_back();
        it = due.end() - 1;
      }
      PutTogether(limits[static_cast<std::size_t>(it - due.begin())],
                  LimitsOf(book, measurement->second, fact, *diagnosis.c, facts.store), world, SameKnown);
    }
  }
}

}  // namespace

std::vector<BenchReading> ReadingsOf(const Diagnosis& diagnosis) {
  const Rulebook& book = *diagnosis.book;
  std::vector<BenchReading> readings;
  // Every world has the same readings, each by its own limits.
  for (std::size_t r = 0; r < diagnosis.Likeliest().readings.size(); ++r) {
    std::vector<std::pair<JudgedReading, std::vector<int>>> by_limits;
    for (const int world : diagnosis.likeliest)
      PutTogether(by_limits, diagnosis.worlds[At(world)].readings[r], world, SameLimits);
    const JudgedReading& first = by_limits.front().first;
    BenchReading reading;
    reading.fact = WithNumber(book, first, first.Decides().measured.value);
    reading.place = first.Decides().place;
    reading.with = Called(book, first.with);
    reading.dimension = book.instruments.at(first.with.front()).reads;
    for (const auto& [judged, worlds] : by_limits) {
      double chance = 0;
      for (const int world : worlds) chance += ChanceOfWorld(diagnosis, world);
      reading.verdicts.push_back(
          {diagnosis.VariantsOf(worlds), chance, judged, WhichCouldTell(book, judged)});
    }
    readings.push_back(std::move(reading));
  }
  return readings;
}

std::vector<DueMeasurement> MeasurementsDue(const Diagnosis& diagnosis) {
  std::vector<DueMeasurement> due;
  std::vector<std::vector<std::pair<KnownLimits, std::vector<int>>>> limits;  // by measurement
  const std::vector<std::string>& open = diagnosis.c->open;
  const std::set<std::string> reached = OpenAccess(diagnosis.book->words, open);
  for (const Check& check : diagnosis.book->checks) {
    if (check.running && !CanRun(diagnosis.book->words, open)) continue;
    if (!check.lost_with.empty() && reached.contains(check.lost_with)) continue;
    for (const int world : diagnosis.likeliest) AddDue(diagnosis, check, world, due, limits);
  }
  for (std::size_t i = 0; i < due.size(); ++i) {
    for (const auto& [known, worlds] : limits[i])
      due[i].limits.push_back({diagnosis.VariantsOf(worlds), known});
  }
  const std::vector<std::string> order = AccessInOrder(diagnosis.book->words);
  const auto place = [&](const DueMeasurement& one) {
    return std::find(order.begin(), order.end(), one.access) - order.begin();
  };
  std::stable_sort(due.begin(), due.end(),
                   [&](const DueMeasurement& a, const DueMeasurement& b) { return place(a) < place(b); });
  return due;
}

std::string_view ReadingStandName(ReadingStand stand) {
  switch (stand) {
    case ReadingStand::kBeyond:
      return "beyond";
    case ReadingStand::kCannotTell:
      return "cannot_tell";
    case ReadingStand::kWithin:
      return "within";
    case ReadingStand::kNoLimit:
      return "no_limit";
  }
  return "";
}

ReadingStand StandOf(const JudgedReading& reading) {
  if (reading.limits.empty()) return ReadingStand::kNoLimit;
  if (reading.Beyond() != nullptr) return ReadingStand::kBeyond;
  return reading.IsWithin() ? ReadingStand::kWithin : ReadingStand::kCannotTell;
}

ReadingStand StandOf(const BenchReading& reading) {
  const ReadingStand first = StandOf(reading.verdicts.front().reading);
  double chance = 0;
  for (const ReadingVerdict& verdict : reading.verdicts)
    chance += StandOf(verdict.reading) == first ? verdict.chance : 0;
  return chance >= kNearlyKnown ? first : ReadingStand::kCannotTell;
}

BenchReport MakeBenchReport(const Diagnosis& diagnosis) {
  BenchReport report;
  report.case_id = diagnosis.c->id;
  report.title = diagnosis.c->title;
  report.unit = diagnosis.unit == nullptr ? "" : diagnosis.unit->name;
  report.variant = diagnosis.KnownVariant();
  report.which_variant = WhichVariantOf(diagnosis);
  report.readings = ReadingsOf(diagnosis);
  report.packs = PackFitsOf(diagnosis);
  report.choices = ChoiceFitsOf(diagnosis);
  report.parts = DecideParts(diagnosis);
  report.renewals = MakeRenewalReport(diagnosis, report.parts);
  report.due = MeasurementsDue(diagnosis);
  report.capacities = CapacitiesOf(diagnosis);
  report.close_out = MakeCloseOut(diagnosis, report.parts);
  return report;
}

}  // namespace gearwhy
