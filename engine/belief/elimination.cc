#include "engine/belief/elimination.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numeric>
#include <random>

#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr double kBlur = 2.5;  // missing edges

// An undirected graph as a square of bits.
class Graph {
 public:
  explicit Graph(size_t variables) : words_((variables + 63) / 64), bits_(variables * words_, 0) {}

  bool Joined(size_t a, size_t b) const { return (bits_[a * words_ + b / 64] >> (b % 64)) & 1; }
  void Join(size_t a, size_t b) {
    bits_[a * words_ + b / 64] |= uint64_t{1} << (b % 64);
    bits_[b * words_ + a / 64] |= uint64_t{1} << (a % 64);
  }
  void Part(size_t a, size_t b) {
    bits_[a * words_ + b / 64] &= ~(uint64_t{1} << (b % 64));
    bits_[b * words_ + a / 64] &= ~(uint64_t{1} << (a % 64));
  }
  // Calls visit(c) for each c joined to both a and b; with a == b, for each neighbour.
  template <typename Visit>
  void ForEachCommon(size_t a, size_t b, Visit visit) const {
    for (size_t w = 0; w < words_; ++w) {
      for (uint64_t rest = bits_[a * words_ + w] & bits_[b * words_ + w]; rest != 0; rest &= rest - 1) {
        visit(w * 64 + static_cast<size_t>(std::countr_zero(rest)));
      }
    }
  }

 private:
  size_t words_;
  std::vector<uint64_t> bits_;
};

// An order in the making.
class Ordering {
 public:
  Ordering(std::size_t variables, const std::vector<std::pair<int, int>>& edges,
           const std::vector<int>& waits_for, const std::vector<double>& weights)
      : graph_(variables),
        weights_(weights),
        degree_(variables, 0),
        fill_(variables, 0),
        left_(variables),
        stale_(variables, 0),
        waits_(variables, 0),
        released_by_(variables) {
    for (const auto& [a, b] : edges) {
      if (a != b) graph_.Join(static_cast<size_t>(a), static_cast<size_t>(b));
    }
    std::iota(left_.begin(), left_.end(), size_t{0});
    for (size_t v = 0; v < waits_for.size(); ++v) {
      if (waits_for[v] < 0) continue;
      waits_[v] = 1;
      released_by_[At(waits_for[v])].push_back(v);
    }
  }

  const Elimination& result() const { return result_; }

  // Takes out everything, unless the cost comes to `give_up` or the entries pass `most_entries`. Returns
  // whether they did not. Counts are blurred by up to `blur`.
  bool TakeAll(double give_up, double most_entries, double blur, std::minstd_rand* random) {
    blur_ = blur;
    random_ = random;
    for (const size_t v : left_) Measure(v);
    while (!left_.empty() && result_.cost < give_up && result_.entries <= most_entries) TakeOut(Best());
    result_.is_whole = left_.empty() && result_.entries <= most_entries;
    return result_.is_whole && result_.cost < give_up;
  }

 private:
  void Measure(size_t v) {
    neighbours_.clear();
    graph_.ForEachCommon(v, v, [&](size_t u) { neighbours_.push_back(u); });
    int missing = 0;
    for (size_t i = 0; i < neighbours_.size(); ++i) {
      for (size_t j = i + 1; j < neighbours_.size(); ++j)
        missing += !graph_.Joined(neighbours_[i], neighbours_[j]);
    }
    degree_[v] = static_cast<int>(neighbours_.size());
    fill_[v] = missing;
    if (missing > 0 && random_ != nullptr) {
      fill_[v] += blur_ * static_cast<double>((*random_)() - std::minstd_rand::min()) /
                  static_cast<double>(std::minstd_rand::max());
    }
  }

  // Its place among what is left.
  size_t Best() const {
    size_t best = 0;
    for (size_t i = 1; i < left_.size(); ++i) {
      const size_t v = left_[i];
      const size_t b = left_[best];
      if (waits_[v]) continue;
      if (waits_[b] || fill_[v] < fill_[b] ||
          (fill_[v] == fill_[b] && (degree_[v] < degree_[b] || (degree_[v] == degree_[b] && v < b))))
        best = i;
    }
    return best;
  }

  void TakeOut(size_t place) {
    const size_t gone = left_[place];
    left_[place] = left_.back();
    left_.pop_back();
    for (size_t v : released_by_[gone]) waits_[v] = 0;

    std::vector<size_t> neighbours;
    graph_.ForEachCommon(gone, gone, [&](size_t u) { neighbours.push_back(u); });
    result_.order.push_back(static_cast<int>(gone));
    result_.later.emplace_back(neighbours.begin(), neighbours.end());
    const int clique = static_cast<int>(neighbours.size()) + 1;
    result_.width = std::max(result_.width, clique);
    result_.entries += std::exp2(clique);
    double cost = WeightOf(gone);
    for (size_t u : neighbours) cost *= WeightOf(u);
    // Never as much as infinity.
    result_.cost = std::min(result_.cost + cost, std::numeric_limits<double>::max());

    std::vector<size_t> to_measure;
    const auto mark_stale = [&](size_t v) {
      if (!stale_[v]) to_measure.push_back(v);
      stale_[v] = 1;
    };
    for (size_t u : neighbours) {
      graph_.Part(gone, u);
      mark_stale(u);
    }
    if (fill_[gone] > 0) {
      for (size_t i = 0; i < neighbours.size(); ++i) {
        for (size_t j = i + 1; j < neighbours.size(); ++j) {
          if (graph_.Joined(neighbours[i], neighbours[j])) continue;
          graph_.Join(neighbours[i], neighbours[j]);
          graph_.ForEachCommon(neighbours[i], neighbours[j], mark_stale);
        }
      }
    }
    for (size_t u : to_measure) {
      stale_[u] = 0;
      Measure(u);
    }
  }

  double WeightOf(size_t v) const { return weights_.empty() ? 2 : weights_[v]; }

  Graph graph_;
  const std::vector<double>& weights_;
  std::vector<int> degree_;
  std::vector<double> fill_;  // edges that the neighbours lack, blurred
  std::vector<size_t> left_;
  std::vector<char> stale_;
  std::vector<char> waits_;
  std::vector<std::vector<size_t>> released_by_;
  std::vector<size_t> neighbours_;  // scratch
  double blur_ = 0;
  std::minstd_rand* random_ = nullptr;
  Elimination result_;
};

}  // namespace

Elimination MinFill(int variables, const std::vector<std::pair<int, int>>& edges,
                    const std::vector<int>& waits_for, const std::vector<double>& weights, int tries,
                    double most_entries) {
  Ordering start(static_cast<size_t>(variables), edges, waits_for, weights);
  Ordering plain = start;
  plain.TakeAll(std::numeric_limits<double>::infinity(), most_entries, 0, nullptr);
  Elimination best = plain.result();
  std::minstd_rand random;
  for (int i = 0; i < tries; ++i) {
    Ordering blurred = start;
    const double most_cost = best.is_whole ? best.cost : std::numeric_limits<double>::infinity();
    if (blurred.TakeAll(most_cost, most_entries, kBlur, &random)) best = blurred.result();
  }
  return best;
}

}  // namespace gearwhy
