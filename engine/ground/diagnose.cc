#include "engine/ground/diagnose.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "engine/belief/firm_reports.h"
#include "engine/belief/left_out.h"
#include "engine/drivetrain/speed_facts.h"
#include "engine/ground/join_worlds.h"
#include "engine/ground/silence.h"
#include "engine/model/policy.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// What the case states, and what follows from it by its readings and by the unit's gears.
void GiveCase(CaseFacts& facts, const Case& c, FactGiver& giver, Diagnostics& diagnostics) {
  const Transmission& transmission = *facts.transmission;
  for (const CaseFact& fact : c.facts) {
    if (fact.reading && fact.reading->as_built) continue;  // it says nothing of what came in
    giver.Give(Sense::kFact, fact.statement, FactOrigin::kCase, fact.place);
  }
  for (const Observation& observation : c.observations) {
    giver.Give(observation.present ? Sense::kPresent : Sense::kAbsent, observation.event, FactOrigin::kCase,
               observation.place);
  }
  facts.readings = JudgeReadings(*transmission.book, c, facts.store);
  for (const JudgedReading& reading : facts.readings) GiveReading(transmission.book->words, reading, giver);
  if (transmission.unit() == nullptr) return;
  for (const GivenFact& fact : SpeedFacts(*transmission.unit(), c, transmission.book->words, diagnostics))
    giver.Give(Sense::kFact, fact.statement, FactOrigin::kCalculated, fact.place);
}

// The case on one transmission.
struct Put {
  CaseFacts facts;
  GroundNetwork ground;
};

enum class Way { kDone, kFromTheBeginning, kFailed };

// The facts of the case on those of the transmission, and its network on the transmission's.
Way PutOnTransmission(Put& put, const Case& c, Diagnostics& diagnostics) {
  const Transmission& transmission = *put.facts.transmission;
  const int errors_before = diagnostics.error_count();
  put.facts.store = FactStore(transmission.facts);
  put.facts.proofs = ProofBook(transmission.proofs, transmission.facts->size());
  FactGiver giver(put.facts.store, put.facts.given);
  GiveCase(put.facts, c, giver, diagnostics);
  if (diagnostics.error_count() > errors_before) return Way::kFailed;
  const Chained end = transmission.rules->Run(put.facts.store, &put.facts.proofs, diagnostics);
  if (end == Chained::kLimit) return Way::kFailed;
  if (end == Chained::kDenied || AddsAny(put.facts.store, transmission.asked.structure))
    return Way::kFromTheBeginning;
  put.ground = transmission.ground;
  MoveChances(put.ground, put.facts.store);
  return Way::kDone;
}

bool PutFromTheBeginning(Put& put, const Case& c, Diagnostics& diagnostics) {
  const Transmission& transmission = *put.facts.transmission;
  const Rulebook& book = *transmission.book;
  const int errors_before = diagnostics.error_count();
  put.facts.store = FactStore();
  put.facts.proofs = ProofBook();
  put.facts.given.clear();
  FactGiver giver(put.facts.store, put.facts.given);
  giver.GiveTransmission(book, transmission.known, transmission.variant, diagnostics);
  GiveCase(put.facts, c, giver, diagnostics);
  if (diagnostics.error_count() > errors_before ||
      !Chain(book.rules, put.facts.store, &put.facts.proofs, diagnostics))
    return false;
  auto ground = Ground(book, put.facts.store, diagnostics);
  if (!ground) return false;
  put.ground = std::move(*ground);
  TakeHowCommonBy(*transmission.facts, put.ground);
  return true;
}

std::optional<Put> PutCase(std::shared_ptr<const Transmission> transmission, const Case& c,
                           Diagnostics& diagnostics) {
  Put put;
  put.facts.transmission = std::move(transmission);
  const Way way = PutOnTransmission(put, c, diagnostics);
  if (way == Way::kFailed) return std::nullopt;
  if (way == Way::kFromTheBeginning && !PutFromTheBeginning(put, c, diagnostics)) return std::nullopt;
  return put;
}

// Indices, the largest first, of equals the first.
std::vector<int> LargestFirst(const std::vector<double>& weights) {
  std::vector<int> order(weights.size());
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return weights[At(a)] > weights[At(b)]; });
  return order;
}

// A diagnosis without chances, and the networks of its worlds, where there are several.
struct Grounded {
  Diagnosis diagnosis;
  std::vector<GroundNetwork> grounds;
  std::vector<double> weights;

  void Join(std::vector<int> likeliest) {
    diagnosis.likeliest = std::move(likeliest);
    auto common = std::move(diagnosis.ground.common);
    diagnosis.ground = JoinWorlds(diagnosis.worlds, grounds, weights, diagnosis.likeliest, std::move(common));
    AddSilence(diagnosis);
  }
};

std::optional<Grounded> GroundOn(const Mixture& mixture, const Case& c, Diagnostics& diagnostics) {
  if (mixture.transmissions.empty()) return std::nullopt;
  Grounded grounded;
  Diagnosis& diagnosis = grounded.diagnosis;
  diagnosis.book = mixture.transmissions.front()->book;
  diagnosis.unit = mixture.transmissions.front()->unit();
  diagnosis.c = &c;
  for (const auto& transmission : mixture.transmissions) {
    auto put = PutCase(transmission, c, diagnostics);
    if (!put) return std::nullopt;
    diagnosis.worlds.push_back(std::move(put->facts));
    grounded.grounds.push_back(std::move(put->ground));
  }
  if (diagnosis.worlds.size() == 1) {
    diagnosis.likeliest = {0};
    diagnosis.ground = std::move(grounded.grounds.front());
    grounded.grounds.clear();
    const CaseFacts& only = diagnosis.worlds.front();
    AddReports(diagnosis.ground, *diagnosis.book, {only.store, only.proofs, c.observations, only.readings});
    AddSilence(diagnosis);
    return grounded;
  }
  grounded.weights = mixture.weights;
  diagnosis.ground = JoinLasting(diagnosis.worlds, grounded.grounds, mixture.weights);
  for (std::size_t w = 0; w < diagnosis.worlds.size(); ++w) {
    const CaseFacts& world = diagnosis.worlds[w];
    AddReports(grounded.grounds[w], *diagnosis.book,
               {world.store, world.proofs, c.observations, world.readings}, &diagnosis.ground);
  }
  grounded.Join(LargestFirst(mixture.weights));
  return grounded;
}

// What was done to the reports so that the chances could be worked out.
struct Eased {
  std::vector<int> firm;      // taken for certain
  std::vector<int> left_out;  // not reckoned with
};

Network WithEased(Network network, const Eased& eased) {
  return WithFirm(WithLeftOut(std::move(network), eased.left_out), eased.firm);
}

// Entries of the tree: some milliseconds, and some tenths of a second.
constexpr double kAtOnce = 2e5, kSoon = 1e6;

// True where they can be had, with some good looks for certain, if need be.
bool TryChances(Diagnosis& diagnosis, const BeliefLimits& limits, Eased& eased) {
  const Network& network = diagnosis.ground.network;
  const std::vector<int> may_be = GoodLooks(diagnosis);
  const auto up_to = [&](double max_entries) {
    BeliefLimits these = limits;
    these.max_entries = std::min(max_entries, limits.max_entries);
    return these;
  };
  const auto exactly = [&](double max_entries) {
    diagnosis.chances = ComputeChances(network, up_to(max_entries));
    return diagnosis.chances.exact;
  };
  std::vector<GoodLook> looks;
  FirmReports firm;
  const auto within = [&](double max_entries, double most) {
    firm =
        TakeForCertain(network, looks, up_to(max_entries),
                       {std::begin(kErrors), std::upper_bound(std::begin(kErrors), std::end(kErrors), most)});
    return !firm.reports.empty();
  };
  if (exactly(kAtOnce)) return true;
  looks = SurestFirst(network, may_be, up_to(kSoon));
  const bool known = within(kAtOnce, kRoundedAway) || exactly(kSoon) || within(kSoon, kMostErrorForSpeed) ||
                     exactly(limits.max_entries);
  if (!known) {
    if (looks.empty()) looks = SurestFirst(network, may_be, limits);
    if (!within(kSoon, kMostError) && !within(limits.max_entries, kMostError)) return false;
  }
  if (firm.reports.empty()) return true;
  diagnosis.firm = static_cast<int>(firm.reports.size());
  diagnosis.firm_error = firm.error;
  diagnosis.chances = std::move(firm.chances);
  diagnosis.ground.network = WithFirm(std::move(diagnosis.ground.network), firm.reports);
  eased.firm = std::move(firm.reports);
  return true;
}

// Also of those that no report bears on.
BeliefLimits OfAllFaults(const Diagnosis& diagnosis) {
  BeliefLimits limits = diagnosis.limits;
  const std::vector<Event>& events = diagnosis.ground.network.events;
  for (std::size_t i = 0; i < events.size(); ++i) {
    if (events[i].type == EventType::kFault) limits.also.push_back(static_cast<int>(i));
  }
  return limits;
}

Eased WorkOutChances(Diagnosis& diagnosis, const BeliefLimits& limits) {
  diagnosis.limits = limits;
  BeliefLimits all_faults = OfAllFaults(diagnosis);
  const Network& network = diagnosis.ground.network;
  Eased eased;
  if (TryChances(diagnosis, all_faults, eased)) return eased;
  // First what would be too much even with every good look for certain, then whatever is.
  for (const bool firmly : {true, false}) {
    const std::vector<int> left_out =
        ReportsToLeaveOut(firmly ? WithFirm(network, GoodLooks(diagnosis)) : network, diagnosis.limits);
    for (const int report : left_out) {
      eased.left_out.push_back(report);
      all_faults.also.push_back(network.reports[At(report)].event);
    }
    diagnosis.ground.network = WithLeftOut(std::move(diagnosis.ground.network), left_out);
    if (!left_out.empty() && TryChances(diagnosis, all_faults, eased)) break;
  }
  std::sort(eased.left_out.begin(), eased.left_out.end());
  diagnosis.left_out = eased.left_out;
  return eased;
}

}  // namespace

std::vector<std::string> Diagnosis::VariantsOf(std::vector<int> some) const {
  if (some.size() == worlds.size()) return {};
  std::sort(some.begin(), some.end());
  std::vector<std::string> names;
  for (const int world : some) names.push_back(worlds[At(world)].transmission->variant);
  return names;
}

std::string Diagnosis::KnownVariant() const {
  if (worlds.size() == 1) return worlds.front().transmission->variant;
  return c->variant.empty() ? c->version : c->variant;
}

std::optional<Diagnosis> GroundCase(const Mixture& mixture, const Case& c, Diagnostics& diagnostics) {
  auto grounded = GroundOn(mixture, c, diagnostics);
  if (!grounded) return std::nullopt;
  return std::move(grounded->diagnosis);
}

std::optional<Diagnosis> Diagnose(const Mixture& mixture, const Case& c, const BeliefLimits& limits,
                                  Diagnostics& diagnostics) {
  auto grounded = GroundOn(mixture, c, diagnostics);
  if (!grounded) return std::nullopt;
  Diagnosis& diagnosis = grounded->diagnosis;
  const Eased eased = WorkOutChances(diagnosis, limits);
  // The chances do not hang on which is likeliest, the reasons do.
  if (!grounded->grounds.empty()) {
    std::vector<int> likeliest = LargestFirst(diagnosis.chances.p_world);
    if (likeliest != diagnosis.likeliest) {
      grounded->Join(std::move(likeliest));
      diagnosis.ground.network = WithEased(std::move(diagnosis.ground.network), eased);
    }
  }
  return std::move(diagnosis);
}

std::vector<int> GoodLooks(const Diagnosis& diagnosis) {
  const GroundNetwork& ground = diagnosis.ground;
  std::map<int, int> count;  // by event
  for (const Report& report : ground.network.reports) ++count[report.event];
  std::vector<int> reports;
  for (std::size_t r = 0; r < ground.reports.size(); ++r) {
    const Report& report = ground.network.reports[r];
    const int observation = ground.reports[r].observation;
    if (report.left_out || report.present || observation < 0 || !report.in_world.empty()) continue;
    const bool hangs_on_circumstances = !diagnosis.c->observations[At(observation)].under.empty();
    if (report.p_if_present <= kOverlooksUpTo && count[report.event] == 1 && !hangs_on_circumstances)
      reports.push_back(static_cast<int>(r));
  }
  return reports;
}

Influence InfluenceOf(const Diagnosis& diagnosis, const std::vector<int>& events) {
  return ComputeInfluence(diagnosis.ground.network, diagnosis.limits, events);
}

Diagnosis WithChanceOf(Diagnosis diagnosis, int event) {
  if (!std::isnan(diagnosis.chances.p_event[At(event)])) return diagnosis;
  diagnosis.limits.also.push_back(event);
  // With the same looks for certain, so that no other chance is moved by that.
  Chances chances = ComputeChances(diagnosis.ground.network, OfAllFaults(diagnosis));
  if (chances.exact) {
    diagnosis.chances = std::move(chances);
  } else {
    WorkOutChances(diagnosis, BeliefLimits(diagnosis.limits));
  }
  return diagnosis;
}

std::optional<Diagnosis> Diagnose(const Rulebook& book, const UnitKnowledge* unit, const Case& c,
                                  const BeliefLimits& limits, Diagnostics& diagnostics) {
  const FindTransmission make = [&](const std::string& variant) {
    return MakeTransmission(book, unit, variant, diagnostics);
  };
  return Diagnose(MixtureOf(unit == nullptr ? nullptr : unit->unit, {c.variant, c.version}, make), c, limits,
                  diagnostics);
}

std::vector<double> ChancesBefore(const Diagnosis& diagnosis, const std::vector<int>& events,
                                  const BeliefLimits& limits) {
  Network unobserved = diagnosis.ground.network;
  unobserved.reports.clear();
  BeliefLimits these = limits;
  these.all_events = false;
  these.also = events;
  const Chances chances = ComputeChances(unobserved, these);
  std::vector<double> before;
  for (const int event : events) before.push_back(chances.p_event[At(event)]);
  return before;
}

}  // namespace gearwhy
