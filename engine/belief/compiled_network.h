// Compiled network: a network and its reports made into a tree of sums once, then asked many times.
//
// In: a network with reports; `targets`, the events whose chances are wanted besides those of the reports'
// ancestors; `asked`, the events on which further reports will be supposed.
// Out: chances, also under suppositions.
//
// Method. (1) Only ancestors of reports and targets are looked at; a target that none of them needs as a
// cause is an end and stays out of the tree: P(end absent, reports) is the tree with the weight 1 -
// p_how_often on each of its causes. (2) A certain report makes its event a constant: absent, it weighs its
// causes the same way; present, it adds to its effects' leaks. What a weight has made impossible, and what
// has neither a leak nor a cause that can be, is absent, too. A finding that is no more than a case of
// another (its link is 1) and of which nothing is known or wanted makes way for its causes: given them, the
// other is a noisy-OR of theirs. (3) An event with nothing uncertain above it and one uncertain effect acts
// on that effect as an independent cause of chance p * p_how_often: it is merged into the effect's leak, and
// its own chance follows afterwards. (4) What is left is summed on an OR tree, beside which ends may stand
// that are supposed (asked_tree.h).
// Cost: an order of elimination to be made, and a few more where the tree is large (or_tree.h); one pass of
// the tree to build it; one or two for a question.
// Source: Heckerman & Breese 1996 (causal independence); merging:
// own derivation, from P(cause | S0) with the other contributions ORed.
#pragma once

#include <optional>
#include <vector>

#include "engine/belief/asked_tree.h"
#include "engine/belief/chances.h"
#include "engine/belief/network.h"
#include "engine/text/at.h"

namespace gearwhy {

inline constexpr double kSmallTree = 100'000;  // entries, about a millisecond a pass: not worth cutting
inline constexpr double kSoonSolved = 1e6;     // entries; some milliseconds a pass

// "Suppose the chance of what was seen were this, given the event": (1, 0) supposes it absent, (0, 1)
// present.
struct Supposition {
  int event = 0;
  double if_absent = 1;
  double if_present = 1;
  bool instead = false;  // of its reports (see TakeBack)
};

class CompiledNetwork {
 public:
  struct Options {
    std::vector<int> targets;
    // Like targets, but of these it can be supposed whatever a report of them may weigh. They are never ends,
    // but with `asked_as_ends`: then each that is supposed costs as many passes again.
    std::vector<int> asked;
    bool asked_as_ends = false;
    // Reports of events `asked` may be taken back (TakeBack); chances are worked out of targets only.
    bool retractable = false;
    double max_entries = 6e6;  // of all tables together; more is too wide
  };
  // Orders the tree and measures it, no more. `network` must have no worlds, outlive this and not change.
  CompiledNetwork(const Network& network, const BeliefLimits& limits, const Options& options);

  bool fits() const { return width_ <= limits_.width && entries_ <= limits_.entries; }  // the limits
  int width() const { return width_; }
  double entries() const { return entries_; }  // numbers in all tables
  // By event: the entries of all tables in which its OR is in the making.
  std::vector<double> EntriesByEvent() const;
  // Where it fits, makes the tree, perhaps a cheaper one than was measured, after which all else may be
  // asked; once. Returns fits().
  [[nodiscard]] bool Build();
  // The events whose variables, or links of whose chains, meet in the largest clique. Ascending.
  const std::vector<int>& widest() const { return widest_; }
  double logp_reports() const { return logp_constant_ + tree_->logp_total(); }

  enum class Place {
    // Neither an ancestor of a report or target nor one itself; or a part that has made way for its causes:
    // its
    // chance is not worked out.
    kOutside,
    kAbsent,    // certain by report
    kPresent,   // certain by report
    kMerged,    // into its only effect, or alone in the world
    kVariable,  // in the tree
    kEnd,       // a target out of the tree, its causes in the tree
  };
  Place place(int event) const { return nodes_[At(event)].place; }

  // Chances of the events inside; those of ends only where they are supposed, or targets and `ends`; all
  // others are left as they are. Returns the logarithm of the chance of the reports and suppositions,
  // -infinity when they are impossible, NaN where too few digits are left (asked_tree.h), and then nothing is
  // written. Suppositions may be about variables, ends, and what is certain.
  double Solve(const std::vector<Supposition>& suppositions, bool ends, std::vector<double>* p_event,
               std::vector<double>* p_by_itself);

  // Only the logarithm.
  double LogChance(const std::vector<Supposition>& suppositions);

  // What is to be supposed so that everything is as without this report; nothing where it has shaped the
  // tree. Options::retractable, and the reports must be possible.
  std::optional<std::vector<Supposition>> TakeBack(const Report& report) const;

  // A cause of an end with duplicates joined, so that P(end absent | causes) = (1 - leak) * product of (1 -
  // q).
  struct Link {
    int event = 0;
    double q = 0;
  };
  const std::vector<Link>& live_causes(int event) const { return nodes_[At(event)].causes; }
  double leak(int event) const { return nodes_[At(event)].p_leak; }

 private:
  struct Node {
    Place place = Place::kOutside;
    double if_absent = 1;  // the reports' chances, times what absent effects weigh
    double if_present = 1;
    std::vector<Link> causes;   // uncertain ones that are not merged into this event
    std::vector<Link> weighed;  // retractable and absent: the causes that it weighs
    std::vector<Link> merged;   // events merged into this one's leak
    double p_beside =
        0;               // beside p_unexplained: certainly present causes and the leaks of joined parts, ORed
    double p_leak = 0;   // S0: own p_unexplained, certain causes and merged ones, ORed
    double p_alone = 0;  // of a merged event: its chance apart from what its effect tells
    int variable = -1;   // in the tree
    int effects = 0;     // uncertain or certainly present ones, and ends
    int all_effects = 0;  // inside
    int reports = 0;
    bool is_said_absent = false;  // certainly, by its own reports
  };

  void Prune(const Options& options);
  void ApplyReports();
  void AbsorbAbsent();
  void JoinParts(const Options& options);
  void Merge(const Options& options);
  void OrderTree();
  void MeasureTree();
  void AddEvidence(double factor);
  bool Release(int event, std::vector<Supposition>& suppositions) const;
  void FindWanted(const Options& options);
  void TellMerged(const Node& node, double own, double p_s0, std::vector<double>* p_event) const;
  // A supposition about an end is an OR beside the tree.
  struct Supposed {
    TreeQuestion question;
    std::vector<int> ends;  // whose ORs these are
    double logp = 0;        // what is certain
  };
  Supposed Suppose(const std::vector<Supposition>& suppositions) const;
  OrNode OrOf(const Node& node) const;
  void TellEnd(int event, const Supposed& supposed, double logp_tree, std::vector<double>* p_event,
               std::vector<double>* p_by_itself);

  const Network& network_;
  std::vector<int> inside_;  // causes first
  std::vector<int> ends_;    // of the targets
  std::vector<Node> nodes_;  // by event
  double logp_constant_ = 0;
  bool retractable_ = false;
  std::vector<char> is_wanted_;  // retractable: events that targets need
  TreeLimits limits_;
  int width_ = 0;
  double entries_ = 0;
  std::vector<int> widest_;
  std::vector<int> in_tree_;  // events
  std::optional<AskedTree> tree_;
  std::vector<double> present_, leak_struck_;  // scratch
};

}  // namespace gearwhy
