#include "engine/belief/junction_tree.h"

#include <algorithm>
#include <bit>
#include <cmath>

#include "engine/text/at.h"

namespace gearwhy {

JunctionTree::JunctionTree(const std::vector<Factor>& factors, const Elimination& elimination) {
  std::vector<double> messages(LayOut(elimination), 1.0);
  for (const Factor& factor : factors) Take(factor);
  for (const Bucket& bucket : buckets_) {
    logp_total_ += std::log(SendMessage(bucket, &tables_[bucket.table], &messages[bucket.message]));
    if (bucket.parent >= 0) {
      const Bucket& parent = buckets_[At(bucket.parent)];
      Multiply(bucket.in_parent, &messages[bucket.message], &tables_[parent.table]);
    }
  }
}

size_t JunctionTree::LayOut(const Elimination& elimination) {
  const size_t count = elimination.order.size();
  bucket_of_.assign(count, -1);
  for (size_t i = 0; i < count; ++i) bucket_of_[At(elimination.order[i])] = static_cast<int>(i);

  buckets_.resize(count);
  size_t tables_end = 0;
  size_t messages_end = 0;
  for (size_t i = 0; i < count; ++i) {
    Bucket& bucket = buckets_[i];
    bucket.variable = elimination.order[i];
    bucket.later = elimination.later[i];
    std::sort(bucket.later.begin(), bucket.later.end(),
              [&](int a, int b) { return bucket_of_[At(a)] > bucket_of_[At(b)]; });
    bucket.half = size_t{1} << bucket.later.size();
    bucket.table = tables_end;
    bucket.message = messages_end;
    tables_end += 2 * bucket.half;
    messages_end += bucket.half;
    if (!bucket.later.empty()) {
      bucket.parent = bucket_of_[At(bucket.later.back())];
    }
  }
  for (Bucket& bucket : buckets_) {
    if (bucket.parent >= 0) bucket.in_parent = Project(buckets_[At(bucket.parent)], bucket.later);
  }
  tables_.assign(tables_end, 1.0);
  return messages_end;
}

// The factor's bits are reordered as cliques have them.
void JunctionTree::Take(const Factor& factor) {
  if (factor.size == 0) {
    logp_total_ += std::log(factor.values[0]);
    return;
  }
  std::vector<int> by_bit;
  for (size_t j = 0; j < static_cast<size_t>(factor.size); ++j) by_bit.push_back(static_cast<int>(j));
  const auto bucket_of_bit = [&](int j) { return bucket_of_[At(factor.variables[At(j)])]; };
  std::sort(by_bit.begin(), by_bit.end(), [&](int a, int b) { return bucket_of_bit(a) > bucket_of_bit(b); });
  std::array<double, 8> values{};
  std::vector<int> variables;
  for (int j : by_bit) variables.push_back(factor.variables[At(j)]);
  for (size_t index = 0; index < (size_t{1} << factor.size); ++index) {
    size_t from = 0;
    for (size_t j = 0; j < by_bit.size(); ++j) {
      if ((index >> j) & 1) from |= size_t{1} << by_bit[j];
    }
    values[index] = factor.values[from];
  }
  const Bucket& home = buckets_[At(bucket_of_[At(variables.back())])];
  Multiply(Project(home, variables), values.data(), &tables_[home.table]);
}

JunctionTree::Projection JunctionTree::Project(const Bucket& into,
                                               const std::vector<int>& variables_bit0_first) const {
  std::vector<uint32_t> stride;  // by bit of the table: what it adds to the index of the part
  stride.reserve(into.later.size() + 1);
  size_t next = 0;
  for (size_t bit = 0; bit <= into.later.size(); ++bit) {
    const int variable = bit < into.later.size() ? into.later[bit] : into.variable;
    if (next < variables_bit0_first.size() && variables_bit0_first[next] == variable) {
      stride.push_back(uint32_t{1} << next);
      ++next;
    } else {
      stride.push_back(0);
    }
  }
  size_t shared = 0;
  while (shared < stride.size() && stride[shared] == (uint32_t{1} << shared)) ++shared;
  Projection projection;
  projection.run = size_t{1} << shared;
  projection.base.assign(size_t{1} << (stride.size() - shared), 0);
  for (size_t block = 1; block < projection.base.size(); ++block) {
    const size_t bit = static_cast<size_t>(std::countr_zero(block));
    projection.base[block] = projection.base[block & (block - 1)] + stride[shared + bit];
  }
  return projection;
}

void JunctionTree::Multiply(const Projection& projection, const double* message, double* table) {
  for (uint32_t base : projection.base) {
    for (size_t j = 0; j < projection.run; ++j) table[j] *= message[base + j];
    table += projection.run;
  }
}

// Sums the bucket's variable out, scales the message to a largest entry of 1 and returns the scale; 0 when
// nothing is left.
double JunctionTree::SendMessage(const Bucket& bucket, const double* table, double* message) {
  double largest = 0;
  for (size_t j = 0; j < bucket.half; ++j) {
    message[j] = table[j] + table[bucket.half + j];
    largest = std::max(largest, message[j]);
  }
  if (largest == 0) return 0;
  const double factor = 1 / largest;
  for (size_t j = 0; j < bucket.half; ++j) message[j] *= factor;
  return largest;
}

}  // namespace gearwhy
