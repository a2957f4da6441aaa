#include "engine/ground/readings.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/model/policy.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

template <typename Take>
void Tighten(std::optional<double>& limit, double value, Take take) {
  limit = limit ? take(*limit, value) : value;
}

bool SpeaksOf(const Word& limit, const Statement& stated, const Word& word, const Statement& of) {
  for (std::size_t i = 0; i < limit.slots.size(); ++i) {
    if (limit.slots[i].dimension) continue;
    const int own = word.SlotIndex(limit.slots[i].name);
    if (own >= 0 && stated.slots[i] != of.slots[At(own)]) return false;
  }
  return true;
}

void TakeLimit(const Word& limit, const Statement& stated, KnownLimits& limits) {
  for (std::size_t i = 0; i < limit.slots.size(); ++i) {
    const std::string& slot = limit.slots[i].name;
    const double* value = std::get_if<double>(&stated.slots[i]);
    if (value == nullptr) continue;
    if (slot == "least") Tighten(limits.least, *value, [](double a, double b) { return std::max(a, b); });
    if (slot == "most") Tighten(limits.most, *value, [](double a, double b) { return std::min(a, b); });
    if (slot == "new") limits.fresh = *value;
  }
}

double SpreadOf(const Measurement& measurement, const KnownLimits& limits, double limit) {
  if (measurement.spread) return *measurement.spread;
  double room = 0;
  if (limits.fresh) room = std::abs(*limits.fresh - limit);
  if (room <= 0 && limits.least && limits.most) room = std::abs(*limits.most - *limits.least) / 2;
  if (room > 0) return room / kSpreadsToNew;
  return std::max(kSpreadOfLimit * std::abs(limit), 1e-9);
}

// Readings of one thing at one time, by place and instrument.
struct Gathered {
  Place place;
  std::vector<std::string> with;
  std::vector<std::string> places;  // in the order they are told
  std::map<std::string, std::vector<Measured>> at;
};

AgainstLimit Judge(const JudgedReading& reading, const Limit& limit) {
  AgainstLimit against;
  against.limit = limit;
  for (std::size_t i = 0; i < reading.places.size(); ++i) {
    const Measured& measured = reading.places[i].measured;
    const double p = ChanceBeyond(measured, limit.limit, limit.side);
    if (i > 0 && p <= against.p_beyond) continue;
    against.worst = i;
    against.p_beyond = p;
    against.stand = StandTo(measured, limit.limit, limit.side);
  }
  return against;
}

std::vector<Limit> JustLimits(const JudgedReading& reading) {
  std::vector<Limit> limits;
  for (const AgainstLimit& against : reading.limits) limits.push_back(against.limit);
  return limits;
}

// Where one and the same finding lies beyond both limits, the limit that is nearer speaks of it, and the
// other does not: it is one reading.
void SayOnce(std::vector<AgainstLimit>& limits) {
  if (limits.size() != 2 || !limits[0].finding || limits[0].finding != limits[1].finding) return;
  (limits[0].p_beyond >= limits[1].p_beyond ? limits[1] : limits[0]).finding.reset();
}

JudgedReading JudgeOne(const Rulebook& book, const Measurement& measurement, const Statement& of,
                       const Gathered& gathered, const Case& c, const FactStore& store) {
  const Word& word = *book.words.Find(measurement.fact);
  JudgedReading reading;
  reading.measurement = &measurement;
  reading.of = of;
  reading.place = gathered.place;
  reading.with = gathered.with;
  double largest_u = 0;
  for (const std::string& place : gathered.places) {
    const Together together = MeasuredTogether(gathered.at.at(place));
    reading.contradict |= together.contradict;
    reading.places.push_back({place, together.measured});
    largest_u = std::max(largest_u, together.measured.u);
  }
  const KnownLimits limits = LimitsOf(book, measurement, of, c, store);
  reading.fresh = limits.fresh;
  const auto against = [&](std::optional<double> limit, Side side, const std::optional<Pattern>& finding) {
    if (!limit) return;
    reading.limits.push_back(Judge(reading, {*limit, side}));
    reading.limits.back().finding = FillBySlots(finding, word, of);
    reading.limits.back().spread = SpreadOf(measurement, limits, *limit);
  };
  against(limits.least, Side::kBelow, measurement.too_small);
  against(limits.most, Side::kAbove, measurement.too_large);
  SayOnce(reading.limits);
  reading.never_inside = NeverInside(largest_u, JustLimits(reading));
  reading.is_as_new =
      limits.fresh && std::all_of(reading.places.begin(), reading.places.end(), [&](const JudgedPlace& at) {
        const double guard = kGuardBand * at.measured.u;
        return std::abs(at.measured.value - *limits.fresh) <= guard && guard <= kAsNewWithin * *limits.fresh;
      });
  return reading;
}

}  // namespace

KnownLimits LimitsOf(const Rulebook& book, const Measurement& measurement, const Statement& of, const Case& c,
                     const FactStore& store) {
  const Word& word = *book.words.Find(measurement.fact);
  KnownLimits by_case, by_unit;
  for (const std::string& name : measurement.limits) {
    const Word& limit = *book.words.Find(name);
    for (const CaseFact& fact : c.facts) {
      if (fact.statement.name == name && SpeaksOf(limit, fact.statement, word, of))
        TakeLimit(limit, fact.statement, by_case);
    }
    for (const FactId fact : store.Named(Sense::kFact, name)) {
      const Statement stated = store.Get(fact).statement;
      if (SpeaksOf(limit, stated, word, of)) TakeLimit(limit, stated, by_unit);
    }
  }
  // A least that is more than the case says of a new one is that of another part.
  if (by_case.fresh && by_unit.least && *by_unit.least >= *by_case.fresh) by_unit.least.reset();
  const auto first = [](const std::optional<double>& a, const std::optional<double>& b) { return a ? a : b; };
  KnownLimits limits = {first(by_case.least, by_unit.least), first(by_case.most, by_unit.most),
                        first(by_case.fresh, by_unit.fresh)};
  if (!limits.least && limits.fresh && measurement.p_least_of_new)
    limits.least = *measurement.p_least_of_new * *limits.fresh;
  return limits;
}

bool JudgedReading::IsWithin() const {
  return !limits.empty() && std::all_of(limits.begin(), limits.end(), [](const AgainstLimit& against) {
    return against.stand == Stand::kInside;
  });
}

const AgainstLimit* JudgedReading::Beyond() const {
  const AgainstLimit* found = nullptr;
  for (const AgainstLimit& against : limits) {
    if (against.stand != Stand::kBeyond) continue;
    if (found == nullptr || against.p_beyond > found->p_beyond) found = &against;
  }
  return found;
}

const AgainstLimit* JudgedReading::Untold() const {
  for (const AgainstLimit& against : limits) {
    if (against.stand == Stand::kCannotTell) return &against;
  }
  return nullptr;
}

const JudgedPlace& JudgedReading::Decides() const {
  if (const AgainstLimit* beyond = Beyond()) return places[beyond->worst];
  if (const AgainstLimit* untold = Untold()) return places[untold->worst];
  return places.front();
}

std::optional<Statement> FillBySlots(const std::optional<Pattern>& pattern, const Word& word,
                                     const Statement& of) {
  if (!pattern) return std::nullopt;
  Statement filled{pattern->name, {}};
  for (const Term& term : pattern->terms) {
    if (const Variable* variable = std::get_if<Variable>(&term))
      filled.slots.push_back(of.slots[At(word.SlotIndex(variable->name))]);
    else
      filled.slots.push_back(std::get<Value>(term));
  }
  return filled;
}

Statement WithNumber(const Rulebook& book, const JudgedReading& reading, double number) {
  Statement fact = reading.of;
  fact.slots[At(book.words.Find(fact.name)->SlotIndex("is"))] = number;
  return fact;
}

std::vector<JudgedReading> JudgeReadings(const Rulebook& book, const Case& c, const FactStore& store) {
  std::vector<std::pair<Statement, bool>> order;
  std::map<std::pair<Statement, bool>, Gathered> gathered;
  for (const CaseFact& fact : c.facts) {
    const auto measurement = book.measurements.find(fact.statement.name);
    if (measurement == book.measurements.end()) continue;
    const std::size_t slot = At(book.words.Find(fact.statement.name)->SlotIndex("is"));
    const double mean = std::get<double>(fact.statement.slots[slot]);
    const Reading reading =
        fact.reading.value_or(Reading{measurement->second.with.front(), false, {}, {{"", {mean}}}});
    std::pair<Statement, bool> key(fact.statement, reading.as_built);
    key.first.slots[slot] = 0.0;
    const auto [it, is_new] = gathered.try_emplace(key);
    Gathered& all = it->second;
    if (is_new) {
      order.push_back(key);
      all.place = fact.place;
    }
    if (std::find(all.with.begin(), all.with.end(), reading.with) == all.with.end())
      all.with.push_back(reading.with);
    const double p_by_temperature =
        reading.temperature_c ? measurement->second.p_per_degree.value_or(0) * kTemperatureDoubt : 0;
    for (const ReadAt& at : reading.at) {
      if (!all.at.contains(at.place)) all.places.push_back(at.place);
      Measured measured = MeasuredBy(book.instruments.at(reading.with), at.values);
      measured.u = std::hypot(measured.u, p_by_temperature * measured.value);
      all.at[at.place].push_back(measured);
    }
  }
  std::vector<JudgedReading> judged;
  for (const auto& key : order) {
    judged.push_back(
        JudgeOne(book, book.measurements.at(key.first.name), key.first, gathered.at(key), c, store));
    judged.back().as_built = key.second;
  }
  return judged;
}

const JudgedReading* FindReading(const std::vector<JudgedReading>& readings, const Statement& of,
                                 bool as_built) {
  const auto it = std::find_if(readings.begin(), readings.end(), [&](const JudgedReading& reading) {
    return reading.of == of && reading.as_built == as_built;
  });
  return it == readings.end() ? nullptr : &*it;
}

std::optional<BetterInstrument> WhichCouldTell(const Rulebook& book, const JudgedReading& reading) {
  const AgainstLimit* untold = reading.Untold();
  if (untold == nullptr) return std::nullopt;
  const std::vector<Limit> limits = JustLimits(reading);
  std::optional<BetterInstrument> best;
  for (const std::string& name : reading.measurement->with) {
    const Instrument& instrument = book.instruments.at(name);
    const double p_tells = ChanceToTell(reading.places[untold->worst].measured, instrument, limits);
    if (p_tells >= kTellsFrom) return BetterInstrument{&instrument, p_tells};
    if (!best || p_tells > best->p_tells) best = BetterInstrument{&instrument, p_tells};
  }
  return best;
}

ReportChances WeighReading(const Rulebook& book, const JudgedReading& reading, const AgainstLimit& against,
                           double p_common, bool variants_differ) {
  const Trust& trust = *book.words.FindTrust(reading.measurement->trust);
  const Population population{against.spread, p_common, trust.p_mistaken};
  const Measured& measured = reading.places[against.worst].measured;
  const ReadingChances chances =
      ChancesOfReading(measured, against.limit.limit, against.limit.side, population);
  double dense = 1;
  // Told once of a reading, whatever the number of its limits: such parts lie inside of either alike.
  const auto tells_first = std::find_if(reading.limits.begin(), reading.limits.end(),
                                        [](const AgainstLimit& one) { return one.finding.has_value(); });
  if (variants_differ && tells_first != reading.limits.end() && &against == &*tells_first) {
    dense = 0;
    for (const AgainstLimit& one : reading.limits)
      dense += DensityAt(reading.places[one.worst].measured, one.limit.limit, one.limit.side,
                         {one.spread, p_common, trust.p_mistaken}) /
               static_cast<double>(reading.limits.size());
  }
  return {chances.p_if_beyond * dense, chances.p_if_inside * dense};
}

}  // namespace gearwhy
