// Together: the most probable set of faults, by branch and bound.
//
// The bound of a partial choice is the tree with the open faults maximised and all else summed, in whatever
// order the tree eliminates: a sum of maxima is never less than the maximum of the sums. With every fault
// chosen it is the exact chance. At each step every open fault is tried both ways; a value whose bound stays
// below the best set found is out, which mostly settles nearly all faults at once, and the search branches on
// the fault with the widest gap between its two bounds. Before any of that the plain chances settle most
// faults: a set that holds a fault is no likelier than the fault, so a fault less likely than the best set
// found is in no better one.
// Source: Park & Darwiche 2003, Solving MAP exactly using systematic search - from memory.
#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <map>

#include "engine/belief/approximate.h"
#include "engine/belief/chances.h"
#include "engine/belief/compiled_network.h"

namespace gearwhy {
namespace {

constexpr double kMinusInfinity = -std::numeric_limits<double>::infinity();
constexpr double kTie = 1e-11;
constexpr double kMostWork = 3e8;  // products before the search is cut: less than a second

size_t At(int index) { return static_cast<size_t>(index); }

// The fewest, then the lowest.
bool Before(const std::vector<int>& a, const std::vector<int>& b) {
  return a.size() != b.size() ? a.size() < b.size() : a < b;
}

class Search {
 public:
  Search(const Network& network, CompiledNetwork& compiled) : compiled_(compiled) {
    for (size_t i = 0; i < network.events.size(); ++i) {
      const int event = static_cast<int>(i);
      if (network.events[i].type != EventType::kFault) continue;
      if (compiled.place(event) == CompiledNetwork::Place::kPresent) certain_.push_back(event);
      if (compiled.place(event) == CompiledNetwork::Place::kVariable) open_.push_back(event);
    }
  }

  // `p_event`: chances to climb from.
  void Run(const std::vector<double>& p_event, double logp_reports) {
    Climb(p_event);
    SettleByChance(p_event, logp_reports);
    if (Settle()) Descend(open_, {});
  }

  const std::vector<int>& best() const { return best_; }
  double best_logp() const { return best_logp_; }
  bool cut() const { return work_ >= kMostWork; }

 private:
  Weight Choose(int fault, bool present) const {
    return {compiled_.variable(fault), present ? 0.0 : 1.0, present ? 1.0 : 0.0};
  }

  double Bound(const std::vector<Weight>& chosen) {
    const double logp = compiled_.tree().LogTotal(chosen);
    work_ += compiled_.tree().products();
    return logp;
  }

  // A first good set: faults more probable than not, then single changes as long as they help.
  void Climb(const std::vector<double>& p_event) {
    std::vector<Weight> set;
    std::vector<char> present;
    for (int fault : open_) {
      present.push_back(p_event[At(fault)] > 0.5);
      set.push_back(Choose(fault, present.back()));
    }
    double now = Bound(set);
    for (bool better = true; better;) {
      better = false;
      for (size_t i = 0; i < open_.size(); ++i) {
        // A fault as improbable as this is not worth a look while something is possible.
        if (!present[i] && p_event[At(open_[i])] < 0.01 && now > kMinusInfinity) continue;
        set[i] = Choose(open_[i], !present[i]);
        const double logp = Bound(set);
        if (logp > now + kTie) {
          now = logp;
          present[i] = !present[i];
          better = true;
        } else {
          set[i] = Choose(open_[i], present[i]);
        }
      }
    }
    Offer(set, now);
  }

  void Offer(const std::vector<Weight>& chosen, double logp) {
    if (logp == kMinusInfinity) return;
    std::vector<int> faults = certain_;
    for (int fault : open_) {
      for (const Weight& weight : chosen) {
        if (weight.variable == compiled_.variable(fault) && weight.if_present > 0) faults.push_back(fault);
      }
    }
    std::sort(faults.begin(), faults.end());
    if (logp > best_logp_ + kTie || (logp > best_logp_ - kTie && Before(faults, best_))) {
      best_ = std::move(faults);
      best_logp_ = logp;
    }
  }

  void SettleByChance(const std::vector<double>& p_event, double logp_reports) {
    if (best_logp_ == kMinusInfinity) return;
    const double p_best = std::exp(best_logp_ - logp_reports) * (1 - 1e-9);
    std::vector<Weight> settled;
    std::vector<int> still_open;
    for (int fault : open_) {
      const double p = p_event[At(fault)];
      if (p >= p_best && 1 - p >= p_best) {
        still_open.push_back(fault);
        continue;
      }
      settled.push_back(Choose(fault, p >= p_best));
      if (p >= p_best) certain_.push_back(fault);
    }
    compiled_.tree().Absorb(settled);
    open_ = std::move(still_open);
  }

  struct Branch {
    int fault = -1;
    bool likelier = false;  // the value with the larger bound
  };

  // Tries both values of every open fault. Those with one value left are moved from `open` to `chosen`.
  // False: nothing better is left.
  bool Narrow(std::vector<int>* open, std::vector<Weight>* chosen, Branch* branch) {
    *branch = {};
    double widest_gap = -1;
    std::vector<int> still_open;
    for (int fault : *open) {
      if (cut()) return false;
      chosen->push_back(Choose(fault, true));
      const double if_present = Bound(*chosen);
      chosen->back() = Choose(fault, false);
      if (if_present < best_logp_ - kTie) continue;
      const double if_absent = Bound(*chosen);
      if (if_absent < best_logp_ - kTie) {
        chosen->back() = Choose(fault, true);
        continue;
      }
      chosen->pop_back();
      still_open.push_back(fault);
      const double gap = std::abs(if_present - if_absent);
      if (gap > widest_gap) {
        widest_gap = gap;
        *branch = {fault, if_present > if_absent};
      }
    }
    *open = std::move(still_open);
    return Bound(*chosen) >= best_logp_ - kTie;
  }

  // What can be settled before any branching goes into the tree for good, so that later bounds touch only
  // what is open.
  bool Settle() {
    while (true) {
      std::vector<Weight> settled;
      Branch branch;
      std::vector<int> open = open_;
      if (!Narrow(&open, &settled, &branch)) return false;
      if (settled.empty()) return true;
      for (int fault : open_) {
        for (const Weight& weight : settled) {
          if (weight.variable == compiled_.variable(fault) && weight.if_present > 0)
            certain_.push_back(fault);
        }
      }
      compiled_.tree().Absorb(settled);
      open_ = std::move(open);
    }
  }

  void Descend(std::vector<int> open, std::vector<Weight> chosen) {
    Branch branch;
    if (!Narrow(&open, &chosen, &branch)) return;
    if (open.empty()) {
      Offer(chosen, Bound(chosen));
      return;
    }
    std::erase(open, branch.fault);
    for (bool present : {branch.likelier, !branch.likelier}) {
      chosen.push_back(Choose(branch.fault, present));
      Descend(open, chosen);
      chosen.pop_back();
    }
  }

  CompiledNetwork& compiled_;
  std::vector<int> certain_;
  std::vector<int> open_;
  std::vector<int> best_;
  double best_logp_ = kMinusInfinity;
  double work_ = 0;
};

// The set drawn with most weight.
Together MostWeighed(const Network& network, const BeliefLimits& limits) {
  const Samples samples = DrawSamples(network, limits);
  std::map<std::vector<int>, double> weight_of;
  for (size_t d = 0; d < samples.weight.size(); ++d) {
    std::vector<int> faults;
    for (size_t i = 0; i < network.events.size(); ++i) {
      if (network.events[i].type == EventType::kFault && samples.present[i][d])
        faults.push_back(static_cast<int>(i));
    }
    weight_of[std::move(faults)] += samples.weight[d];
  }
  Together together;
  together.exact = false;
  for (const auto& [faults, weight] : weight_of) {
    if (weight > together.p_given_reports + kTie ||
        (weight > together.p_given_reports - kTie && weight > 0 && Before(faults, together.faults))) {
      together.faults = faults;
      together.p_given_reports = weight;
    }
  }
  return together;
}

}  // namespace

Together MostProbableFaults(const Network& network, const BeliefLimits& limits) {
  const Ancestry ancestry = AncestorsOfReports(network);
  const Network& part = ancestry.network;
  CompiledNetwork::Options options;
  options.merge = false;
  CompiledNetwork summed(part, limits, options);
  Together together;
  if (!summed.Build()) {
    together = MostWeighed(part, limits);
  } else {
    std::vector<double> p_event(part.events.size(), 0);
    std::vector<double> p_by_itself = p_event;
    const double logp_reports = summed.Solve({}, false, &p_event, &p_by_itself);
    if (logp_reports == kMinusInfinity) return together;
    options.maximise_faults = true;
    CompiledNetwork maximised(part, limits, options);
    // As the other does: it is the same but for what is done with a value.
    const bool fits = maximised.Build();
    assert(fits);
    (void)fits;
    Search search(part, maximised);
    search.Run(p_event, summed.tree().logp_total());
    together.faults = search.best();
    together.exact = !search.cut();
    together.p_given_reports = std::exp(search.best_logp() - summed.tree().logp_total());
  }
  for (int& fault : together.faults) fault = ancestry.kept[At(fault)];
  return together;
}

}  // namespace gearwhy
