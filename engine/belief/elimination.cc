#include "engine/belief/elimination.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>

namespace gearwhy {
namespace {

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

}  // namespace

Elimination MinFill(int variables, const std::vector<std::pair<int, int>>& edges,
                    const std::vector<int>& waits_for) {
  const size_t count = static_cast<size_t>(variables);
  Graph graph(count);
  for (const auto& [a, b] : edges) {
    if (a != b) graph.Join(static_cast<size_t>(a), static_cast<size_t>(b));
  }

  std::vector<int> degree(count, 0);
  std::vector<int> fill(count, 0);
  std::vector<size_t> neighbours;
  const auto measure = [&](size_t v) {
    neighbours.clear();
    graph.ForEachCommon(v, v, [&](size_t u) { neighbours.push_back(u); });
    int missing = 0;
    for (size_t i = 0; i < neighbours.size(); ++i) {
      for (size_t j = i + 1; j < neighbours.size(); ++j)
        missing += !graph.Joined(neighbours[i], neighbours[j]);
    }
    degree[v] = static_cast<int>(neighbours.size());
    fill[v] = missing;
  };
  for (size_t v = 0; v < count; ++v) measure(v);

  Elimination result;
  std::vector<size_t> left(count);
  for (size_t v = 0; v < count; ++v) left[v] = v;
  std::vector<char> stale(count, 0);
  std::vector<size_t> to_measure;
  const auto mark_stale = [&](size_t v) {
    if (!stale[v]) to_measure.push_back(v);
    stale[v] = 1;
  };
  std::vector<char> waits(count, 0);
  std::vector<std::vector<size_t>> released_by(count);
  for (size_t v = 0; v < waits_for.size(); ++v) {
    if (waits_for[v] < 0) continue;
    waits[v] = 1;
    released_by[static_cast<size_t>(waits_for[v])].push_back(v);
  }
  while (!left.empty()) {
    size_t best = 0;
    for (size_t i = 1; i < left.size(); ++i) {
      const size_t v = left[i];
      const size_t b = left[best];
      if (waits[v]) continue;
      if (waits[b] || fill[v] < fill[b] ||
          (fill[v] == fill[b] && (degree[v] < degree[b] || (degree[v] == degree[b] && v < b))))
        best = i;
    }
    const size_t gone = left[best];
    left[best] = left.back();
    left.pop_back();
    for (size_t v : released_by[gone]) waits[v] = 0;

    neighbours.clear();
    graph.ForEachCommon(gone, gone, [&](size_t u) { neighbours.push_back(u); });
    result.order.push_back(static_cast<int>(gone));
    result.later.emplace_back(neighbours.begin(), neighbours.end());
    const int clique = static_cast<int>(neighbours.size()) + 1;
    result.width = std::max(result.width, clique);
    result.entries += std::exp2(clique);

    to_measure.clear();
    for (size_t u : neighbours) {
      graph.Part(gone, u);
      mark_stale(u);
    }
    if (fill[gone] > 0) {
      for (size_t i = 0; i < neighbours.size(); ++i) {
        for (size_t j = i + 1; j < neighbours.size(); ++j) {
          if (graph.Joined(neighbours[i], neighbours[j])) continue;
          graph.Join(neighbours[i], neighbours[j]);
          graph.ForEachCommon(neighbours[i], neighbours[j], mark_stale);
        }
      }
    }
    for (size_t u : to_measure) {
      stale[u] = 0;
      measure(u);
    }
  }
  return result;
}

}  // namespace gearwhy
