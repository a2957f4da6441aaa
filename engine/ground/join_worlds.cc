#include "engine/ground/join_worlds.h"

#include <algorithm>
#include <map>
#include <numeric>
#include <optional>
#include <tuple>
#include <utility>

#include "engine/belief/chances.h"
#include "engine/belief/worlds.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

template <typename Value, typename Same>
bool AllSame(const std::vector<Value>& values, Same same) {
  return std::all_of(values.begin(), values.end(), [&](const Value& v) { return same(v, values.front()); });
}

bool SameNumber(double a, double b) { return a == b; }
bool SameReport(const ReportInWorld& a, const ReportInWorld& b) {
  return a.p_if_present == b.p_if_present && a.p_if_absent == b.p_if_absent && a.present == b.present;
}

class Joiner {
 public:
  Joiner(const std::vector<CaseFacts>& facts, const std::vector<GroundNetwork>& grounds,
         const std::vector<double>& weights, const std::vector<int>& likeliest,
         std::shared_ptr<const HowCommon> common)
      : facts_(facts), grounds_(grounds), weights_(weights), likeliest_(likeliest) {
    joined_.common = std::move(common);
  }

  GroundNetwork Join() {
    NumberEvents();
    for (std::size_t e = 0; e < events_.all.size(); ++e) JoinEvent(static_cast<int>(e));
    joined_.network.worlds = weights_;
    joined_.events = GroundNetwork::Events(std::move(events_));
    JoinReports();
    return std::move(joined_);
  }

 private:
  std::size_t Count() const { return grounds_.size(); }

  void NumberEvents() {
    own_.resize(Count());
    event_of_.resize(Count());
    for (std::size_t w = 0; w < Count(); ++w) {
      for (const GroundEvent& event : grounds_[w].events) {
        const auto [it, is_new] =
            events_.index.emplace(event.statement, static_cast<int>(events_.all.size()));
        if (is_new) events_.all.emplace_back();
        event_of_[w].push_back(it->second);
      }
    }
    for (std::size_t w = 0; w < Count(); ++w) {
      own_[w].assign(events_.all.size(), -1);
      for (std::size_t i = 0; i < event_of_[w].size(); ++i)
        own_[w][At(event_of_[w][i])] = static_cast<int>(i);
    }
    joined_.network.events.resize(events_.all.size());
  }

  // The likeliest world for which this holds; there must be one.
  template <typename Holds>
  int LikeliestWhere(Holds holds) const {
    return *std::find_if(likeliest_.begin(), likeliest_.end(), [&](int w) { return holds(At(w)); });
  }

  void JoinEvent(int event) {
    const int told_by = LikeliestWhere([&](std::size_t w) { return own_[w][At(event)] >= 0; });
    const GroundNetwork& told = grounds_[At(told_by)];
    const int own = own_[At(told_by)][At(event)];
    GroundEvent& ground = events_.all[At(event)];
    ground = told.events[At(own)];
    ground.factors = told.FactorsOf(own);
    ground.world = told_by;
    ground.links.clear();
    Event& joined = joined_.network.events[At(event)];
    joined.id = told.network.events[At(own)].id;
    joined.type = told.network.events[At(own)].type;
    std::vector<int> has;
    for (std::size_t w = 0; w < Count(); ++w) {
      const int here = own_[w][At(event)];
      if (here >= 0) has.push_back(static_cast<int>(w));
      joined.in_world.push_back(here < 0 ? 0 : grounds_[w].network.events[At(here)].p_unexplained);
    }
    if (has.size() < Count()) ground.only_in = std::move(has);
    joined.p_unexplained = joined.in_world.front();
    if (AllSame(joined.in_world, SameNumber)) {
      joined.in_world.clear();
    } else {
      joined.p_unexplained = 0;
      for (std::size_t w = 0; w < Count(); ++w) joined.p_unexplained += weights_[w] * joined.in_world[w];
    }
    JoinLinks(event, joined, ground);
  }

  void JoinLinks(int event, Event& joined, GroundEvent& ground) {
    std::map<int, std::size_t> link_of;      // by cause
    std::vector<std::vector<int>> own_link;  // by link, then by world: its index there, or -1
    for (std::size_t w = 0; w < Count(); ++w) {
      const int own = own_[w][At(event)];
      if (own < 0) continue;
      const std::vector<Cause>& causes = grounds_[w].network.events[At(own)].causes;
      for (std::size_t k = 0; k < causes.size(); ++k) {
        const int cause = event_of_[w][At(causes[k].event)];
        const auto [it, is_new] = link_of.emplace(cause, joined.causes.size());
        if (is_new) {
          joined.causes.push_back({cause, 0, std::vector<double>(Count(), 0)});
          own_link.emplace_back(Count(), -1);
        }
        joined.causes[it->second].in_world[w] = causes[k].p_how_often;
        own_link[it->second][w] = static_cast<int>(k);
      }
    }
    for (std::size_t k = 0; k < own_link.size(); ++k) {
      const int told_by = LikeliestWhere([&](std::size_t w) { return own_link[k][w] >= 0; });
      const GroundEvent& told = grounds_[At(told_by)].events[At(own_[At(told_by)][At(event)])];
      ground.links.push_back(told.links[At(own_link[k][At(told_by)])]);
      ground.links.back().world = told_by;
      Cause& cause = joined.causes[k];
      cause.p_how_often = cause.in_world[At(told_by)];
      if (AllSame(cause.in_world, SameNumber)) cause.in_world.clear();
    }
  }

  // A report: by world what it is there, where it is made, and the fact that it is.
  struct Joined {
    int event = 0;
    int observation = -1;
    std::vector<std::optional<ReportInWorld>> is;
    std::vector<FactId> fact;
    std::vector<std::pair<int, int>> reading;  // and its limit

    bool SpeaksIn(std::size_t world) const { return fact[world] >= 0 || reading[world].first >= 0; }
  };
  Joined NothingYet(int event, int observation) const {
    return {event, observation, std::vector<std::optional<ReportInWorld>>(Count()),
            std::vector<FactId>(Count(), -1), std::vector<std::pair<int, int>>(Count(), {-1, 0})};
  }

  void JoinReports() {
    std::map<int, Joined> observed;      // by observation
    std::map<int, std::size_t> unknown;  // by observation: in how many worlds
    std::vector<int> read;               // events that rules conclude something of, in order
    for (std::size_t w = 0; w < Count(); ++w) {
      const GroundNetwork& ground = grounds_[w];
      for (std::size_t r = 0; r < ground.reports.size(); ++r) {
        const Report& report = ground.network.reports[r];
        const int event = event_of_[w][At(report.event)];
        const int observation = ground.reports[r].observation;
        if (observation < 0) {
          if (std::find(read.begin(), read.end(), event) == read.end()) read.push_back(event);
          continue;
        }
        Joined& joined = observed.emplace(observation, NothingYet(event, observation)).first->second;
        joined.is[w] = ReportInWorld{report.p_if_present, report.p_if_absent, report.present};
        joined.fact[w] = ground.reports[r].fact;
      }
      for (const int observation : ground.unknown_observations) ++unknown[observation];
    }
    for (const auto& [observation, one] : observed) Add(one);
    std::vector<std::vector<Joined>> concluded;
    for (const int event : read) concluded.push_back(ConcludedOf(event));
    SpeakForSilent(concluded);
    for (const std::vector<Joined>& of_event : concluded) {
      for (const Joined& one : of_event) Add(one);
    }
    for (const auto& [observation, worlds] : unknown) {
      if (worlds == Count()) joined_.unknown_observations.push_back(observation);
    }
  }

  // What rules conclude of one event: one report, which may be of something present in one world and of
  // something absent in another. More only where a world contradicts itself.
  std::vector<Joined> ConcludedOf(int event) const {
    std::vector<Joined> concluded;
    for (std::size_t w = 0; w < Count(); ++w) {
      std::size_t number = 0;
      const auto put = [&](const ReportInWorld& is, FactId fact, std::pair<int, int> reading) {
        if (number == concluded.size()) concluded.push_back(NothingYet(event, -1));
        concluded[number].is[w] = is;
        concluded[number].fact[w] = fact;
        concluded[number].reading[w] = reading;
        ++number;
      };
      const GroundNetwork& ground = grounds_[w];
      for (std::size_t r = 0; r < ground.reports.size(); ++r) {
        const Report& report = ground.network.reports[r];
        if (ground.reports[r].observation < 0 && event_of_[w][At(report.event)] == event)
          put({report.p_if_present, report.p_if_absent, report.present}, ground.reports[r].fact,
              {ground.reports[r].reading, ground.reports[r].limit});
      }
      if (own_[w][At(event)] >= 0) continue;
      const Rulebook& book = *facts_[w].transmission->book;
      for (std::size_t r = 0; r < facts_[w].readings.size(); ++r) {
        const JudgedReading& reading = facts_[w].readings[r];
        for (std::size_t l = 0; !reading.as_built && l < reading.limits.size(); ++l) {
          if (reading.limits[l].finding != joined_.events[At(event)].statement) continue;
          const ReportChances chances =
              WeighReading(book, reading, reading.limits[l], joined_.common->Of(event), true);
          put({chances.p_if_present, chances.p_if_absent, chances.p_if_present > chances.p_if_absent}, -1,
              {static_cast<int>(r), static_cast<int>(l)});
        }
      }
      // A rule may conclude it in a world that has no such event, too.
      for (const bool present : {true, false}) {
        const auto fact = facts_[w].store.Find(present ? Sense::kPresent : Sense::kAbsent,
                                               joined_.events[At(event)].statement);
        const Derivation* derivation = fact ? facts_[w].proofs.Find(*fact) : nullptr;
        if (derivation == nullptr) continue;
        const Conclusion& conclusion = derivation->rule->then[At(derivation->conclusion)];
        const ReportChances chances =
            ChancesOfReport(*book.words.FindTrust(conclusion.trust), joined_.common->Of(event), present);
        put({chances.p_if_present, chances.p_if_absent, present}, *fact, {-1, 0});
      }
    }
    return concluded;
  }

  // Where a world concludes nothing of an event that others do.
  void SpeakForSilent(std::vector<std::vector<Joined>>& concluded) const {
    const auto is_silent = [](const std::vector<Joined>& all, std::size_t w) {
      return std::none_of(all.begin(), all.end(), [&](const Joined& one) { return one.is[w].has_value(); });
    };
    BeliefLimits limits;
    for (const std::vector<Joined>& all : concluded) {
      for (std::size_t w = 0; w < Count(); ++w) {
        if (is_silent(all, w)) limits.also.push_back(all.front().event);
      }
    }
    if (limits.also.empty()) return;
    Network unreported = joined_.network;
    unreported.reports.clear();
    const Chances before = ComputeChances(unreported, limits);
    for (std::vector<Joined>& all : concluded) {
      const int event = all.front().event;
      if (std::find(limits.also.begin(), limits.also.end(), event) == limits.also.end()) continue;
      double sum = 0, weight = 0;
      std::vector<std::size_t> silent;
      for (std::size_t w = 0; w < Count(); ++w) {
        if (is_silent(all, w)) {
          silent.push_back(w);
          continue;
        }
        double if_present = 1, if_absent = 1;
        for (const Joined& one : all) {
          if (!one.is[w]) continue;
          if_present *= one.is[w]->p_if_present;
          if_absent *= one.is[w]->p_if_absent;
        }
        const double p = before.in_world[w].p_event[At(event)];
        sum += weights_[w] * (p * if_present + (1 - p) * if_absent);
        weight += weights_[w];
      }
      for (const std::size_t w : silent) all.front().is[w] = ReportInWorld{sum / weight, sum / weight, true};
    }
  }

  void Add(const Joined& one) {
    const int told_by = LikeliestWhere(
        [&](std::size_t w) { return one.observation >= 0 ? one.is[w].has_value() : one.SpeaksIn(w); });
    const ReportInWorld told = *one.is[At(told_by)];
    Report report{one.event, told.present, told.p_if_present, told.p_if_absent, {}};
    GroundReport ground;
    ground.observation = one.observation;
    ground.fact = one.fact[At(told_by)];
    std::tie(ground.reading, ground.limit) = one.reading[At(told_by)];
    ground.world = told_by;
    // Who observes what is not there weighs as elsewhere.
    const auto first =
        std::find_if(one.is.begin(), one.is.end(), [](const auto& is) { return is.has_value(); });
    const ReportInWorld otherwise = one.observation >= 0 ? **first : ReportInWorld{1, 1, told.present};
    for (std::size_t w = 0; w < Count(); ++w) {
      report.in_world.push_back(one.is[w].value_or(otherwise));
      if (one.observation >= 0 || !one.SpeaksIn(w)) continue;
      (one.is[w]->present == told.present ? ground.only_in : ground.opposite_in)
          .push_back(static_cast<int>(w));
    }
    if (ground.only_in.size() == Count()) ground.only_in.clear();
    if (AllSame(report.in_world, SameReport)) report.in_world.clear();
    joined_.network.reports.push_back(std::move(report));
    joined_.reports.push_back(std::move(ground));
  }

  const std::vector<CaseFacts>& facts_;
  const std::vector<GroundNetwork>& grounds_;
  const std::vector<double>& weights_;
  const std::vector<int>& likeliest_;
  std::vector<std::vector<int>> event_of_;  // by world, by its event: the joined one
  std::vector<std::vector<int>> own_;       // by world, by joined event: its own, or -1
  GroundEvents events_;
  GroundNetwork joined_;
};

}  // namespace

GroundNetwork JoinWorlds(const std::vector<CaseFacts>& facts, const std::vector<GroundNetwork>& grounds,
                         const std::vector<double>& weights, const std::vector<int>& likeliest,
                         std::shared_ptr<const HowCommon> common) {
  return Joiner(facts, grounds, weights, likeliest, std::move(common)).Join();
}

GroundNetwork JoinLasting(const std::vector<CaseFacts>& facts, const std::vector<GroundNetwork>& grounds,
                          const std::vector<double>& weights) {
  std::vector<GroundNetwork> lasting = grounds;
  for (GroundNetwork& ground : lasting) {
    ground.network = ground.common->network();
    ground.reports.clear();
    ground.unknown_observations.clear();
  }
  std::vector<int> in_order(grounds.size());
  std::iota(in_order.begin(), in_order.end(), 0);
  GroundNetwork joined = JoinWorlds(facts, lasting, weights, in_order, nullptr);
  joined.common = std::make_shared<const HowCommon>(joined.network);
  return joined;
}

}  // namespace gearwhy
