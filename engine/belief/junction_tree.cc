#include "engine/belief/junction_tree.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

namespace gearwhy {
namespace {

constexpr double kMinusInfinity = -std::numeric_limits<double>::infinity();

}  // namespace

JunctionTree::JunctionTree(const std::vector<Factor>& factors, const Elimination& elimination,
                           std::vector<char> maximise)
    : maximise_(std::move(maximise)) {
  const size_t count = elimination.order.size();
  if (maximise_.empty()) maximise_.assign(count, 0);
  bucket_of_.assign(count, -1);
  for (size_t i = 0; i < count; ++i)
    bucket_of_[static_cast<size_t>(elimination.order[i])] = static_cast<int>(i);

  buckets_.resize(count);
  size_t tables_end = 0;
  size_t messages_end = 0;
  for (size_t i = 0; i < count; ++i) {
    Bucket& bucket = buckets_[i];
    bucket.variable = elimination.order[i];
    bucket.later = elimination.later[i];
    std::sort(bucket.later.begin(), bucket.later.end(), [&](int a, int b) {
      return bucket_of_[static_cast<size_t>(a)] > bucket_of_[static_cast<size_t>(b)];
    });
    bucket.half = size_t{1} << bucket.later.size();
    bucket.table = tables_end;
    bucket.message = messages_end;
    tables_end += 2 * bucket.half;
    messages_end += bucket.half;
    if (!bucket.later.empty()) {
      bucket.parent = bucket_of_[static_cast<size_t>(bucket.later.back())];
      buckets_[static_cast<size_t>(bucket.parent)].has_children = true;
    }
  }
  for (Bucket& bucket : buckets_) {
    if (bucket.parent >= 0)
      bucket.in_parent = Project(buckets_[static_cast<size_t>(bucket.parent)], bucket.later);
  }

  tables_.assign(tables_end, 1.0);
  messages_.assign(messages_end, 1.0);
  scale_.assign(count, 1.0);
  new_tables_.resize(tables_end);
  new_messages_.resize(messages_end);
  new_scale_.assign(count, 1.0);
  final_.resize(tables_end);
  touched_.assign(count, 0);
  size_t largest = 1;
  for (const Bucket& bucket : buckets_) largest = std::max(largest, bucket.half);
  ratio_.resize(largest);

  for (const Factor& factor : factors) {
    if (factor.size == 0) {
      logp_total_ += std::log(factor.values[0]);
      continue;
    }
    // Reorder the factor's bits as cliques have them.
    std::vector<int> by_bit;
    for (size_t j = 0; j < static_cast<size_t>(factor.size); ++j) by_bit.push_back(static_cast<int>(j));
    const auto bucket_of_bit = [&](int j) {
      return bucket_of_[static_cast<size_t>(factor.variables[static_cast<size_t>(j)])];
    };
    std::sort(by_bit.begin(), by_bit.end(),
              [&](int a, int b) { return bucket_of_bit(a) > bucket_of_bit(b); });
    std::array<double, 8> values{};
    std::vector<int> variables;
    for (int j : by_bit) variables.push_back(factor.variables[static_cast<size_t>(j)]);
    for (size_t index = 0; index < (size_t{1} << factor.size); ++index) {
      size_t from = 0;
      for (size_t j = 0; j < by_bit.size(); ++j) {
        if ((index >> j) & 1) from |= size_t{1} << by_bit[j];
      }
      values[index] = factor.values[from];
    }
    const Bucket& home = buckets_[static_cast<size_t>(bucket_of_[static_cast<size_t>(variables.back())])];
    Multiply(Project(home, variables), values.data(), &tables_[home.table]);
  }

  for (size_t i = 0; i < count; ++i) {
    const Bucket& bucket = buckets_[i];
    scale_[i] = SendMessage(bucket, &tables_[bucket.table], &messages_[bucket.message]);
    logp_total_ += std::log(scale_[i]);
    if (bucket.parent >= 0) {
      const Bucket& parent = buckets_[static_cast<size_t>(bucket.parent)];
      Multiply(bucket.in_parent, &messages_[bucket.message], &tables_[parent.table]);
    }
  }
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
double JunctionTree::SendMessage(const Bucket& bucket, const double* table, double* message) const {
  double largest = 0;
  if (maximise_[static_cast<size_t>(bucket.variable)]) {
    for (size_t j = 0; j < bucket.half; ++j) {
      message[j] = std::max(table[j], table[bucket.half + j]);
      largest = std::max(largest, message[j]);
    }
  } else {
    for (size_t j = 0; j < bucket.half; ++j) {
      message[j] = table[j] + table[bucket.half + j];
      largest = std::max(largest, message[j]);
    }
  }
  if (largest == 0) return 0;
  const double factor = 1 / largest;
  for (size_t j = 0; j < bucket.half; ++j) message[j] *= factor;
  return largest;
}

void JunctionTree::FindTouched(const std::vector<Weight>& weights) {
  for (int bucket : touched_list_) touched_[static_cast<size_t>(bucket)] = 0;
  touched_list_.clear();
  for (const Weight& weight : weights) {
    for (int b = bucket_of_[static_cast<size_t>(weight.variable)];
         b >= 0 && !touched_[static_cast<size_t>(b)]; b = buckets_[static_cast<size_t>(b)].parent) {
      touched_[static_cast<size_t>(b)] = 1;
      touched_list_.push_back(b);
    }
  }
  std::sort(touched_list_.begin(), touched_list_.end());
}

// Fills the scratch tables, messages and scales of the touched buckets.
double JunctionTree::Recollect(const std::vector<Weight>& weights) {
  if (logp_total_ == kMinusInfinity) return kMinusInfinity;
  FindTouched(weights);
  for (int b : touched_list_) {
    const Bucket& bucket = buckets_[static_cast<size_t>(b)];
    std::copy_n(&tables_[bucket.table], 2 * bucket.half, &new_tables_[bucket.table]);
  }
  for (const Weight& weight : weights) {
    const Bucket& bucket = buckets_[static_cast<size_t>(bucket_of_[static_cast<size_t>(weight.variable)])];
    double* table = &new_tables_[bucket.table];
    for (size_t j = 0; j < bucket.half; ++j) table[j] *= weight.if_absent;
    for (size_t j = bucket.half; j < 2 * bucket.half; ++j) table[j] *= weight.if_present;
  }
  double logp = logp_total_;
  for (int b : touched_list_) {
    const size_t i = static_cast<size_t>(b);
    const Bucket& bucket = buckets_[i];
    double* message = &new_messages_[bucket.message];
    new_scale_[i] = SendMessage(bucket, &new_tables_[bucket.table], message);
    if (new_scale_[i] == 0) return kMinusInfinity;
    logp += std::log(new_scale_[i] / scale_[i]);
    if (bucket.parent < 0) continue;
    const double* old_message = &messages_[bucket.message];
    for (size_t j = 0; j < bucket.half; ++j) ratio_[j] = old_message[j] > 0 ? message[j] / old_message[j] : 0;
    const Bucket& parent = buckets_[static_cast<size_t>(bucket.parent)];
    Multiply(bucket.in_parent, ratio_.data(), &new_tables_[parent.table]);
  }
  return logp;
}

double JunctionTree::LogTotal(const std::vector<Weight>& weights) { return Recollect(weights); }

double JunctionTree::touched_entries() const {
  double entries = 0;
  for (int b : touched_list_) entries += 2 * static_cast<double>(buckets_[static_cast<size_t>(b)].half);
  return entries;
}

double JunctionTree::Shares(const std::vector<Weight>& weights, std::vector<double>* share) {
  const double logp = Recollect(weights);
  if (logp == kMinusInfinity) return logp;
  share->resize(buckets_.size());
  for (size_t i = buckets_.size(); i-- > 0;) {
    const Bucket& bucket = buckets_[i];
    const double* table = touched_[i] ? &new_tables_[bucket.table] : &tables_[bucket.table];
    double* ratio = ratio_.data();
    if (bucket.parent < 0) {
      ratio[0] = 1 / (table[0] + table[1]);
    } else {
      const Bucket& parent = buckets_[static_cast<size_t>(bucket.parent)];
      std::fill_n(ratio, bucket.half, 0.0);
      const double* from = &final_[parent.table];
      for (uint32_t base : bucket.in_parent.base) {
        for (size_t j = 0; j < bucket.in_parent.run; ++j) ratio[base + j] += from[j];
        from += bucket.in_parent.run;
      }
      const double* message = touched_[i] ? &new_messages_[bucket.message] : &messages_[bucket.message];
      const double scale = touched_[i] ? new_scale_[i] : scale_[i];
      for (size_t j = 0; j < bucket.half; ++j)
        ratio[j] = message[j] > 0 ? ratio[j] / (message[j] * scale) : 0;
    }
    double present = 0;
    double absent = 0;
    if (bucket.has_children) {
      double* result = &final_[bucket.table];
      for (size_t j = 0; j < bucket.half; ++j) {
        result[j] = table[j] * ratio[j];
        result[bucket.half + j] = table[bucket.half + j] * ratio[j];
        absent += result[j];
        present += result[bucket.half + j];
      }
    } else {
      for (size_t j = 0; j < bucket.half; ++j) {
        absent += table[j] * ratio[j];
        present += table[bucket.half + j] * ratio[j];
      }
    }
    (*share)[static_cast<size_t>(bucket.variable)] = present / (present + absent);
  }
  return logp;
}

double JunctionTree::Absorb(const std::vector<Weight>& weights) {
  logp_total_ = Recollect(weights);
  if (logp_total_ == kMinusInfinity) return logp_total_;
  for (int b : touched_list_) {
    const size_t i = static_cast<size_t>(b);
    const Bucket& bucket = buckets_[i];
    std::copy_n(&new_tables_[bucket.table], 2 * bucket.half, &tables_[bucket.table]);
    std::copy_n(&new_messages_[bucket.message], bucket.half, &messages_[bucket.message]);
    scale_[i] = new_scale_[i];
  }
  return logp_total_;
}

}  // namespace gearwhy
