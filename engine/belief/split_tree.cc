#include "engine/belief/split_tree.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr double kMinusInfinity = -std::numeric_limits<double>::infinity();
// Times the entries allowed: no other order and no splitting makes it so much narrower.
constexpr double kGiveUpAt = 16;
constexpr std::size_t kMostKept = 256;  // terms
// Of the terms taken without their signs; less has too few digits left: of some 14 these leave 5.
constexpr double kLeastLeft = 1e-9;
// The same before anything is asked, so that answers that are rarer by far can still be told.
constexpr double kLeastLeftAtFirst = 1e-5;

// Terms added up, relative to the largest that any can be.
struct Sum {
  double value = 0;
  double without_signs = 0;

  void Add(double term) {
    value += term;
    without_signs += std::abs(term);
  }
  double Log(double least_left) const {
    if (without_signs == 0) return kMinusInfinity;
    return value >= least_left * without_signs ? std::log(value) : std::numeric_limits<double>::quiet_NaN();
  }
};

bool Has(std::size_t term, std::size_t or_index) { return ((term >> or_index) & 1) != 0; }

}  // namespace

SplitTree::SplitTree(std::vector<OrNode> nodes, const std::vector<int>& kept, const TreeLimits& limits)
    : nodes_(std::move(nodes)), limits_(limits), tree_(nodes_, kGiveUpAt * limits.entries) {
  if (!fits()) tree_.Improve(limits_.width, limits_.entries);
  if (!fits() && tree_.entries() <= kGiveUpAt * limits_.entries) SplitUntilItFits(kept);
}

void SplitTree::SplitUntilItFits(const std::vector<int>& kept) {
  std::vector<char> stays(nodes_.size(), 0);
  for (const int node : kept) stays[At(node)] = 1;
  for (const OrNode& node : nodes_) {
    for (const OrLink& link : node.causes) stays[At(link.cause)] = 1;
  }
  while (!fits() && split_.size() < At(limits_.split)) {
    const std::vector<double> entries = tree_.EntriesOfGathering();
    std::size_t most = nodes_.size();
    for (std::size_t n = 0; n < nodes_.size(); ++n) {
      if (stays[n] != 0 || nodes_[n].causes.size() < 2) continue;
      if (most == nodes_.size() || entries[n] > entries[most]) most = n;
    }
    if (most == nodes_.size()) return;
    split_.push_back(static_cast<int>(most));
    split_ors_.push_back(std::exchange(nodes_[most], OrNode{}));
    tree_ = OrTree(nodes_, kGiveUpAt * limits_.entries);
  }
}

bool SplitTree::Build() {
  tree_.Improve(limits_.width, limits_.entries / static_cast<double>(std::size_t{1} << split_.size()));
  tree_.Build();
  logp_total_ = LogTotal({});
  return !std::isnan(logp_total_);
}

double SplitTree::Terms::Factor(std::size_t term, std::size_t but) const {
  double factor = 1;
  for (std::size_t i = 0; i < ors.size(); ++i) {
    if (i == but) continue;
    factor *= Has(term, i) ? (ors[i].if_absent - ors[i].if_present) * (1 - ors[i].p_leak) : ors[i].if_present;
  }
  return factor;
}

std::vector<Weight> SplitTree::Terms::Weights(std::size_t term) const {
  std::vector<Weight> these = weights;
  for (std::size_t i = 0; i < ors.size(); ++i) {
    if (!Has(term, i)) continue;
    for (const OrLink& link : ors[i].causes) these.push_back({link.cause, 1, 1 - link.q});
  }
  return these;
}

SplitTree::Terms SplitTree::TermsOf(const TreeQuestion& question, bool shares) {
  Terms terms;
  terms.ors = split_ors_;
  for (const Weight& weight : question.weights) {
    const auto split = std::find(split_.begin(), split_.end(), weight.variable);
    if (split == split_.end()) {
      terms.weights.push_back(weight);
      continue;
    }
    OrNode& one = terms.ors[static_cast<std::size_t>(split - split_.begin())];
    if (weight.instead) one.if_absent = one.if_present = 1;
    one.if_absent *= weight.if_absent;
    one.if_present *= weight.if_present;
  }
  terms.ors.insert(terms.ors.end(), question.beside.begin(), question.beside.end());
  terms.logp_one = Work(terms.weights, shares && terms.Factor(0) != 0).logp;
  return terms;
}

// The tree under these weights.
const SplitTree::Term& SplitTree::Work(std::vector<Weight> weights, bool shares) {
  if (kept_.size() >= kMostKept) kept_.clear();
  const auto [it, is_new] = kept_.try_emplace(std::move(weights));
  Term& term = it->second;
  if (shares && term.present.empty()) {
    term.logp =
        tree_.Shares(it->first, &term.present, &term.leak_struck, wanted_.empty() ? nullptr : &wanted_);
  } else if (is_new) {
    term.logp = tree_.LogTotal(it->first);
  }
  return term;
}

double SplitTree::LogTotal(const TreeQuestion& question) {
  const Terms terms = TermsOf(question, false);
  if (terms.logp_one == kMinusInfinity) return terms.logp_one;
  Sum sum;
  for (std::size_t term = 0; term < terms.count(); ++term) {
    const double factor = terms.Factor(term);
    if (factor != 0) sum.Add(factor * std::exp(Work(terms.Weights(term), false).logp - terms.logp_one));
  }
  const bool is_first = question.weights.empty() && question.beside.empty();
  return terms.logp_one + sum.Log(is_first ? kLeastLeftAtFirst : kLeastLeft);
}

// Whether a term that adds nothing to the total tells of one of the ORs that are split.
bool SplitTree::TellsOfSplit(const Terms& terms, std::size_t term) const {
  for (std::size_t s = 0; s < split_.size(); ++s) {
    const bool is_wanted = wanted_.empty() || wanted_[At(split_[s])] != 0;
    if (is_wanted && terms.Factor(term, s) != 0) return true;
  }
  return false;
}

double SplitTree::Shares(const TreeQuestion& question, std::vector<double>* present,
                         std::vector<double>* leak_struck) {
  const Terms terms = TermsOf(question, true);
  if (terms.logp_one == kMinusInfinity) return terms.logp_one;
  Sum all;
  std::vector<double> sum_present(nodes_.size(), 0), sum_struck(nodes_.size(), 0);
  std::vector<double> split_absent(split_.size(), 0), split_struck(split_.size(), 0);
  for (std::size_t t = 0; t < terms.count(); ++t) {
    const double factor = terms.Factor(t);
    if (factor == 0 && !TellsOfSplit(terms, t)) continue;
    const Term& term = Work(terms.Weights(t), factor != 0);
    const double total = std::exp(term.logp - terms.logp_one);
    if (total == 0) continue;
    for (std::size_t s = 0; s < split_.size(); ++s) {
      const OrNode& one = terms.ors[s];
      const double others = terms.Factor(t, s) * total;
      if (Has(t, s)) {
        split_absent[s] += others * one.if_absent * (1 - one.p_leak);
      } else {
        split_struck[s] += others * one.if_present * one.p_leak;
      }
    }
    if (factor == 0) continue;
    all.Add(factor * total);
    for (std::size_t n = 0; n < nodes_.size(); ++n) {
      sum_present[n] += factor * total * term.present[n];
      sum_struck[n] += factor * total * term.leak_struck[n];
    }
  }
  const double logp = terms.logp_one + all.Log(kLeastLeft);
  if (!std::isfinite(logp)) return logp;
  const auto share = [&](double sum) { return std::clamp(sum / all.value, 0.0, 1.0); };
  present->resize(nodes_.size());
  leak_struck->resize(nodes_.size());
  std::transform(sum_present.begin(), sum_present.end(), present->begin(), share);
  std::transform(sum_struck.begin(), sum_struck.end(), leak_struck->begin(), share);
  for (std::size_t s = 0; s < split_.size(); ++s) {
    (*present)[At(split_[s])] = 1 - share(split_absent[s]);
    (*leak_struck)[At(split_[s])] = share(split_struck[s]);
  }
  return logp;
}

}  // namespace gearwhy
