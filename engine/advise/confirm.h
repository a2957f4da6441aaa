// Confirm: how many minutes it is expected to take until the cause has been seen.
//
// In: a diagnosis with its ground checks, how much each fault is to blame, what is open. Out: expected
// minutes, and the first look of the order behind them. A fault is *to blame* as far as it arose by itself
// more often than in a unit without this trouble: (p - base) / (1 - base), of the chance p that it is present
// and nothing else brought it about. A *sight* is a check made directly on a part (trust with `direct:`)
// whose finding the fault brings about usually or more, and few others do; a fault without one is seen by its
// most telling direct finding.
// Method. Looks are made in the order of (chance to see the cause) / (minutes), where access is paid once:
// for every step of the access tree the best run of looks behind it, taken together, competes with the looks
// that are open already. Without access to pay this is the order p/c, which is optimal for one fault and
// independent looks; with it, it is the best-prefix rule for clusters.
// Cost: looks * steps of access for each look made; only faults with a thousandth of the blame count.
// Source: Kadane & Simon 1977, Kalagnanam & Henrion 1988 (p/c); Langseth & Jensen 2001, Ottosen & Jensen 2010
// (cost clusters) - from memory.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "engine/ground/ground_checks.h"

namespace gearwhy {

// By event: how much each fault is to blame; 0 for events that are no faults.
std::vector<double> BlameOf(const Network& network, const std::vector<double>& p_by_itself);

// Whether the finding, looked at directly (the trust is the caller's to ask), is a sight of this one of its
// causes.
bool IsSight(const Event& finding, const Cause& cause);

struct Sight {
  int fault = 0;
  int finding = 0;
  double p_seen = 0;  // that the check shows the fault when it is there
};

// One look: a check with what it can show.
struct Look {
  std::size_t check = 0;  // index into the ground checks
  double minutes = 0;     // once the access is there
  int access = -1;        // a step of the tree; -1 when the rulebook has none
  std::vector<Sight> sights;
};

class Confirmation {
 public:
  // Of checks and network everything needed is copied.
  Confirmation(const Words& words, const Network& network, const std::vector<GroundCheck>& checks);

  struct Plan {
    double minutes = 0;     // expected; only as far as looks can show the blame
    double looks = 0;       // expected, the same
    double unseen = 0;      // share of the blame that no look would show
    std::size_t check = 0;  // the first look, when there is one
    bool any = false;
  };
  // `blame`: by event, need not add up to 1. `open`: steps of access that are paid.
  Plan Make(const std::vector<double>& blame, const std::vector<char>& open) const;

  // By step of access: open or not, with all on the way.
  std::vector<char> Open(const std::set<std::string>& names) const;
  std::vector<char> With(const std::vector<char>& open, const std::string& access) const;
  const std::vector<Look>& looks() const { return looks_; }

 private:
  struct Step {
    std::string name;
    int from = -1;
    double minutes = 0;
    std::vector<int> opens;  // all that is open with it, itself among them
  };
  // A look that shows so much of the blame that is left.
  struct Candidate {
    const Look* look = nullptr;
    double gain = 0;
  };
  // The looks behind a step of access, made one after the other as long as that pays.
  struct Run {
    double rate = -1;  // of blame shown a minute
    double reach = 0;  // minutes to get there
    const Look* first = nullptr;
    std::vector<char> open;  // then
  };
  // Most blame for a minute first.
  static std::vector<Candidate> CandidatesOf(const std::vector<const Look*>& to_make,
                                             const std::vector<double>& left);
  Run RunBehind(int target, const std::vector<Candidate>& candidates, const std::vector<char>& open) const;
  Run BestRun(const std::vector<Candidate>& candidates, const std::vector<char>& open) const;
  void OpenStep(int step, std::vector<char>& open) const;
  int StepOf(const std::string& name) const;

  std::vector<Step> steps_;
  std::vector<Look> looks_;
};

}  // namespace gearwhy
