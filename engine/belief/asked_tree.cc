#include "engine/belief/asked_tree.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr double kMinusInfinity = -std::numeric_limits<double>::infinity();
// Times the entries allowed: no other order makes it so much narrower.
constexpr double kGiveUpAt = 16;
constexpr std::size_t kMostKept = 256;  // terms
// Of the terms taken without their signs; less has too few digits left: of some 14 these leave 5.
constexpr double kLeastLeft = 1e-9;

// Terms added up, relative to the largest that any can be.
struct Sum {
  double value = 0;
  double without_signs = 0;

  void Add(double term) {
    value += term;
    without_signs += std::abs(term);
  }
  double Log() const {
    if (without_signs == 0) return kMinusInfinity;
    return value >= kLeastLeft * without_signs ? std::log(value) : std::numeric_limits<double>::quiet_NaN();
  }
};

// A term of a question: just the ORs of these bits stand as absent.
bool Has(std::size_t term, std::size_t or_index) { return ((term >> or_index) & 1) != 0; }
std::size_t CountTerms(const TreeQuestion& question) { return std::size_t{1} << question.beside.size(); }

// What the term is multiplied by.
double FactorOf(const TreeQuestion& question, std::size_t term) {
  double factor = 1;
  for (std::size_t i = 0; i < question.beside.size(); ++i) {
    const OrNode& beside = question.beside[i];
    factor *= Has(term, i) ? (beside.if_absent - beside.if_present) * (1 - beside.p_leak) : beside.if_present;
  }
  return factor;
}

std::vector<Weight> WeightsOf(const TreeQuestion& question, std::size_t term) {
  std::vector<Weight> weights = question.weights;
  for (std::size_t i = 0; i < question.beside.size(); ++i) {
    if (!Has(term, i)) continue;
    for (const OrLink& link : question.beside[i].causes) weights.push_back({link.cause, 1, 1 - link.q});
  }
  return weights;
}

}  // namespace

AskedTree::AskedTree(std::vector<OrNode> nodes, const TreeLimits& limits)
    : limits_(limits), tree_(std::move(nodes), kGiveUpAt * limits.entries) {
  if (!fits()) tree_.Improve(limits_.width, limits_.entries);
}

void AskedTree::Build() {
  tree_.Improve(limits_.width, limits_.entries);
  tree_.Build();
}

// The tree under these weights.
const AskedTree::Term& AskedTree::Work(std::vector<Weight> weights, bool shares) {
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

double AskedTree::LogTotal(const TreeQuestion& question) {
  // That of no term is larger than that of the first.
  const double logp_first = Work(question.weights, false).logp;
  if (logp_first == kMinusInfinity) return logp_first;
  Sum sum;
  for (std::size_t term = 0; term < CountTerms(question); ++term) {
    const double factor = FactorOf(question, term);
    if (factor != 0) sum.Add(factor * std::exp(Work(WeightsOf(question, term), false).logp - logp_first));
  }
  return logp_first + sum.Log();
}

double AskedTree::Shares(const TreeQuestion& question, std::vector<double>* present,
                         std::vector<double>* leak_struck) {
  const double logp_first = Work(question.weights, FactorOf(question, 0) != 0).logp;
  if (logp_first == kMinusInfinity) return logp_first;
  Sum all;
  std::vector<double> sum_present, sum_struck;
  for (std::size_t t = 0; t < CountTerms(question); ++t) {
    const double factor = FactorOf(question, t);
    if (factor == 0) continue;
    const Term& term = Work(WeightsOf(question, t), true);
    const double part = factor * std::exp(term.logp - logp_first);
    if (part == 0) continue;
    all.Add(part);
    sum_present.resize(term.present.size(), 0);
    sum_struck.resize(term.present.size(), 0);
    for (std::size_t n = 0; n < term.present.size(); ++n) {
      sum_present[n] += part * term.present[n];
      sum_struck[n] += part * term.leak_struck[n];
    }
  }
  const double logp = logp_first + all.Log();
  if (!std::isfinite(logp)) return logp;
  const auto share = [&](double sum) { return std::clamp(sum / all.value, 0.0, 1.0); };
  present->resize(sum_present.size());
  leak_struck->resize(sum_struck.size());
  std::transform(sum_present.begin(), sum_present.end(), present->begin(), share);
  std::transform(sum_struck.begin(), sum_struck.end(), leak_struck->begin(), share);
  return logp;
}

}  // namespace gearwhy
