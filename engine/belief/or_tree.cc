#include "engine/belief/or_tree.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <utility>

#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr double kMinusInfinity = -std::numeric_limits<double>::infinity();
constexpr double kWorthATry = 30'000;  // entries for each of the tries at a better order
constexpr int kMostTries = 8;

// Divides by the largest entry and returns its logarithm; -infinity for a table of zeros.
double Rescale(std::vector<double>& table) {
  const double largest = *std::max_element(table.begin(), table.end());
  if (!(largest > 0)) return kMinusInfinity;
  for (double& value : table) value /= largest;
  return std::log(largest);
}

}  // namespace

OrTree::OrTree(std::vector<OrNode> nodes, double most_entries)
    : nodes_(std::move(nodes)), most_entries_(most_entries) {
  MakeVariables();
}

void OrTree::MakeVariables() {
  std::vector<char> has_effects(nodes_.size(), 0);
  for (const OrNode& node : nodes_) {
    for (const OrLink& link : node.causes) has_effects[At(link.cause)] = 1;
  }
  decided_.assign(nodes_.size(), -1);
  gathering_.assign(nodes_.size(), -1);
  const auto make = [&](std::size_t node, bool gathering) {
    node_of_.push_back(static_cast<int>(node));
    is_gathering_.push_back(gathering);
    return static_cast<int>(node_of_.size()) - 1;
  };
  for (std::size_t n = 0; n < nodes_.size(); ++n) {
    if (nodes_[n].causes.empty() || has_effects[n]) decided_[n] = make(n, false);
  }
  for (std::size_t n = 0; n < nodes_.size(); ++n) {
    if (!nodes_[n].causes.empty()) gathering_[n] = make(n, true);
  }
  waits_for_.assign(node_of_.size(), -1);
  for (std::size_t n = 0; n < nodes_.size(); ++n) {
    for (const OrLink& link : nodes_[n].causes) edges_.emplace_back(gathering_[n], decided_[At(link.cause)]);
    if (gathering_[n] >= 0 && decided_[n] >= 0) {
      edges_.emplace_back(gathering_[n], decided_[n]);
      waits_for_[At(decided_[n])] = gathering_[n];
    }
  }
  elimination_ = Order(0);
}

Elimination OrTree::Order(int tries) const {
  std::vector<double> weights;  // an OR takes three products where a value takes two
  for (const char gathering : is_gathering_) weights.push_back(gathering ? 3 : 2);
  return MinFill(static_cast<int>(node_of_.size()), edges_, waits_for_, weights, tries, most_entries_);
}

void OrTree::Improve(int most_width, double most_entries) {
  assert(buckets_.empty());
  const int tries = static_cast<int>(std::min<double>(kMostTries, elimination_.entries / kWorthATry));
  if (improved_ || tries == 0 || !elimination_.is_whole) return;
  improved_ = true;
  const auto fits = [&](const Elimination& order) {
    return order.width <= most_width && order.entries <= most_entries;
  };
  Elimination other = Order(tries);
  const bool better = fits(other) != fits(elimination_) ? fits(other) : other.cost < elimination_.cost;
  if (better) elimination_ = std::move(other);
}

std::vector<int> OrTree::Widest() const {
  std::vector<int> widest;
  for (std::size_t i = 0; i < elimination_.order.size(); ++i) {
    if (static_cast<int>(elimination_.later[i].size()) + 1 != width()) continue;
    widest.push_back(node_of_[At(elimination_.order[i])]);
    for (const int v : elimination_.later[i]) widest.push_back(node_of_[At(v)]);
    break;
  }
  std::sort(widest.begin(), widest.end());
  widest.erase(std::unique(widest.begin(), widest.end()), widest.end());
  return widest;
}

std::vector<double> OrTree::EntriesOfGathering() const {
  std::vector<double> entries(nodes_.size(), 0);
  for (std::size_t i = 0; i < elimination_.order.size(); ++i) {
    const double these = std::exp2(elimination_.later[i].size() + 1);
    const auto add = [&](int variable) {
      if (is_gathering_[At(variable)] != 0) entries[At(node_of_[At(variable)])] += these;
    };
    add(elimination_.order[i]);
    for (const int variable : elimination_.later[i]) add(variable);
  }
  return entries;
}

void OrTree::Build(double most_kept) {
  assert(buckets_.empty() && elimination_.is_whole);
  MakeBuckets();
  double numbers = 0;
  for (const Bucket& bucket : buckets_) {
    for (const OrJoin& join : bucket.joins) numbers += static_cast<double>(join.joined_size());
  }
  keeps_partial_ = numbers <= most_kept;
  weight_absent_.assign(nodes_.size(), 1);
  weight_present_.assign(nodes_.size(), 1);
  for (std::size_t n = 0; n < nodes_.size(); ++n) {
    weight_absent_[n] = nodes_[n].if_absent;
    weight_present_[n] = nodes_[n].if_present;
  }
  logp_total_ = 0;
  for (Bucket& bucket : buckets_) {
    Work(bucket);
    bucket.message.swap(bucket.new_message);
    bucket.scale = bucket.new_scale;
    logp_total_ += bucket.scale;
  }
}

void OrTree::MakeBuckets() {
  const std::size_t count = elimination_.order.size();
  std::vector<int> position(count);
  for (std::size_t i = 0; i < count; ++i) position[At(elimination_.order[i])] = static_cast<int>(i);
  buckets_.resize(count);
  weighed_at_.assign(nodes_.size(), -1);
  const auto last_first = [&](int a, int b) { return position[At(a)] > position[At(b)]; };
  const auto add_input = [&](Input::What what, int sender, std::vector<double> values,
                             std::vector<int> scope) {
    const int earliest = position[At(scope.back())];
    Bucket& bucket = buckets_[what == Input::What::kMessage ? At(buckets_[At(sender)].parent) : At(earliest)];
    bucket.inputs.push_back({what, sender, std::move(values), std::move(scope)});
  };
  for (std::size_t i = 0; i < count; ++i) {
    Bucket& bucket = buckets_[i];
    bucket.variable = elimination_.order[i];
    bucket.node = node_of_[At(bucket.variable)];
    bucket.sends = elimination_.later[i];
    std::sort(bucket.sends.begin(), bucket.sends.end(), last_first);
    if (!bucket.sends.empty()) bucket.parent = position[At(bucket.sends.back())];
    bucket.becomes_decided = is_gathering_[At(bucket.variable)] && decided_[At(bucket.node)] >= 0;
    if (!bucket.becomes_decided) weighed_at_[At(bucket.node)] = static_cast<int>(i);
  }
  for (std::size_t n = 0; n < nodes_.size(); ++n) {
    const OrNode& node = nodes_[n];
    const int own = gathering_[n] >= 0 ? gathering_[n] : decided_[n];
    add_input(Input::What::kLeak, -1, {1 - node.p_leak, node.p_leak}, {own});
    for (const OrLink& link : node.causes) {
      const int cause = decided_[At(link.cause)];
      // Bit 0 is the variable eliminated later.
      if (position[At(cause)] < position[At(own)]) {
        add_input(Input::What::kLink, -1, {1, 0, 1 - link.q, link.q}, {own, cause});
      } else {
        add_input(Input::What::kLink, -1, {1, 1 - link.q, 0, link.q}, {cause, own});
      }
    }
  }
  for (std::size_t i = 0; i < count; ++i) {
    if (buckets_[i].parent >= 0) add_input(Input::What::kMessage, static_cast<int>(i), {}, buckets_[i].sends);
  }
  for (Bucket& bucket : buckets_) MakeJoins(bucket, position);
}

// Puts the inputs in order, and finds how each meets what came before.
void OrTree::MakeJoins(Bucket& bucket, const std::vector<int>& position) {
  std::stable_sort(bucket.inputs.begin(), bucket.inputs.end(),
                   [](const Input& a, const Input& b) { return a.scope.size() < b.scope.size(); });
  const auto has = [](const std::vector<int>& scope, int variable) {
    return std::find(scope.begin(), scope.end(), variable) != scope.end();
  };
  bucket.joins.reserve(bucket.inputs.size() - 1);
  std::vector<int> so_far = bucket.inputs.front().scope;
  for (std::size_t i = 1; i < bucket.inputs.size(); ++i) {
    const std::vector<int>& added = bucket.inputs[i].scope;
    std::vector<int> joined = so_far;
    for (const int variable : added) {
      if (!has(joined, variable)) joined.push_back(variable);
    }
    std::sort(joined.begin(), joined.end(), [&](int a, int b) { return position[At(a)] > position[At(b)]; });
    std::vector<Meeting> meeting;
    for (const int variable : joined) {
      meeting.push_back(!has(added, variable)         ? Meeting::kFirst
                        : !has(so_far, variable)      ? Meeting::kSecond
                        : is_gathering_[At(variable)] ? Meeting::kGathering
                                                      : Meeting::kDecided);
    }
    bucket.joins.emplace_back(std::move(meeting));
    scratch_.resize(std::max(scratch_.size(), bucket.joins.back().scratch_size()));
    so_far = std::move(joined);
  }
  bucket.table_size = std::size_t{1} << so_far.size();
  if (!bucket.becomes_decided) return;
  // Its own variable goes on as the decided one; where the table has that already, the two must agree.
  const int decided = decided_[At(bucket.node)];
  std::vector<std::size_t> bit_sent;  // by bit of the table
  for (const int variable : so_far) {
    const int sent_as = variable == bucket.variable ? decided : variable;
    bit_sent.push_back(static_cast<std::size_t>(std::find(bucket.sends.begin(), bucket.sends.end(), sent_as) -
                                                bucket.sends.begin()));
  }
  bucket.sent_from.resize(std::size_t{1} << bucket.sends.size());
  for (std::size_t m = 0; m < bucket.sent_from.size(); ++m) {
    std::size_t from = 0;
    for (std::size_t j = 0; j < bit_sent.size(); ++j) from |= ((m >> bit_sent[j]) & 1) << j;
    bucket.sent_from[m] = from;
  }
}

const double* OrTree::ValuesOf(const Input& input) const {
  if (input.what != Input::What::kMessage) return input.values.data();
  const Bucket& sender = buckets_[At(input.bucket)];
  return (sender.touched ? sender.new_message : sender.message).data();
}

std::vector<std::vector<double>>& OrTree::PartialOf(Bucket& bucket) {
  if (!keeps_partial_) return partial_;
  return bucket.touched ? bucket.new_partial : bucket.partial;
}

// Joins everything that goes into the bucket: the last of its partial tables is its table.
void OrTree::Collect(Bucket& bucket) {
  std::vector<std::vector<double>>& partial = PartialOf(bucket);
  if (partial.size() < bucket.inputs.size()) partial.resize(bucket.inputs.size());
  const Input& first = bucket.inputs.front();
  partial[0].assign(ValuesOf(first), ValuesOf(first) + (std::size_t{1} << first.scope.size()));
  for (std::size_t i = 0; i < bucket.joins.size(); ++i) {
    const OrJoin& join = bucket.joins[i];
    partial[i + 1].assign(join.joined_size(), 0);
    join.Join(partial[i].data(), ValuesOf(bucket.inputs[i + 1]), partial[i + 1].data(), scratch_.data());
  }
}

// Works out the bucket's message under the weights of the question.
void OrTree::Work(Bucket& bucket) {
  Collect(bucket);
  const std::vector<double>& table = PartialOf(bucket)[bucket.joins.size()];
  bucket.new_message.resize(std::size_t{1} << bucket.sends.size());
  if (bucket.becomes_decided) {
    for (std::size_t m = 0; m < bucket.new_message.size(); ++m)
      bucket.new_message[m] = table[bucket.sent_from[m]];
  } else {
    const std::size_t half = bucket.new_message.size();
    const double absent = weight_absent_[At(bucket.node)];
    const double present = weight_present_[At(bucket.node)];
    for (std::size_t m = 0; m < half; ++m) {
      bucket.new_message[m] = table[m] * absent + table[half + m] * present;
    }
  }
  bucket.new_scale = Rescale(bucket.new_message);
}

// Works out every bucket that the weights reach. Returns the logarithm of the total.
double OrTree::Touch(const std::vector<Weight>& weights) {
  assert(weighed_at_.size() == nodes_.size());  // built
  for (std::size_t n = 0; n < nodes_.size(); ++n) {
    weight_absent_[n] = nodes_[n].if_absent;
    weight_present_[n] = nodes_[n].if_present;
  }
  for (Bucket& bucket : buckets_) bucket.touched = false;
  for (const Weight& weight : weights) {
    if (weight.instead) weight_absent_[At(weight.variable)] = weight_present_[At(weight.variable)] = 1;
    weight_absent_[At(weight.variable)] *= weight.if_absent;
    weight_present_[At(weight.variable)] *= weight.if_present;
    for (int b = weighed_at_[At(weight.variable)]; b >= 0 && !buckets_[At(b)].touched;
         b = buckets_[At(b)].parent) {
      buckets_[At(b)].touched = true;
    }
  }
  double logp = 0;
  for (Bucket& bucket : buckets_) {
    if (bucket.touched) Work(bucket);
    logp += bucket.touched ? bucket.new_scale : bucket.scale;
    if (logp == kMinusInfinity) return logp;
  }
  return logp;
}

double OrTree::LogTotal(const std::vector<Weight>& weights) { return Touch(weights); }

// The buckets of the nodes whose shares are wanted, and all that lie between them and the root.
void OrTree::MarkWanted(const std::vector<char>* wanted) {
  for (Bucket& bucket : buckets_)
    bucket.passed = bucket.told = wanted == nullptr || (*wanted)[At(bucket.node)] != 0;
  for (const Bucket& bucket : buckets_) {
    if (bucket.passed && bucket.parent >= 0) buckets_[At(bucket.parent)].passed = true;
  }
}

double OrTree::Shares(const std::vector<Weight>& weights, std::vector<double>* present,
                      std::vector<double>* leak_struck, const std::vector<char>* wanted) {
  const double logp = Touch(weights);
  if (logp == kMinusInfinity) return logp;
  MarkWanted(wanted);
  present->assign(nodes_.size(), 0);
  leak_struck->assign(nodes_.size(), 0);
  // How the total hangs on each bucket's message, up to a scale of its own for each bucket: only shares are
  // read off.
  std::vector<std::vector<double>> d_message(buckets_.size());
  for (std::size_t b = buckets_.size(); b-- > 0;) {
    Bucket& bucket = buckets_[b];
    if (!bucket.passed) continue;
    std::vector<double>& d_sent = d_message[b];
    if (bucket.parent < 0) d_sent.assign(1, 1);
    Rescale(d_sent);
    if (!keeps_partial_) Collect(bucket);
    const std::vector<double>& table = PartialOf(bucket)[bucket.joins.size()];
    std::vector<double> d_table(bucket.table_size, 0);
    if (bucket.becomes_decided) {
      // Where the table knows nothing of the decided variable, two entries of the message come from one of
      // the table.
      for (std::size_t m = 0; m < d_sent.size(); ++m) d_table[bucket.sent_from[m]] += d_sent[m];
    } else {
      const std::size_t half = d_sent.size();
      double sum_absent = 0, sum_present = 0;
      for (std::size_t m = 0; m < half; ++m) {
        d_table[m] = d_sent[m] * weight_absent_[At(bucket.node)];
        d_table[half + m] = d_sent[m] * weight_present_[At(bucket.node)];
        sum_absent += table[m] * d_table[m];
        sum_present += table[half + m] * d_table[half + m];
      }
      const double sum = sum_absent + sum_present;
      (*present)[At(bucket.node)] = sum > 0 ? sum_present / sum : 0;
    }
    d_sent.clear();
    Unpick(bucket, std::move(d_table), d_message, *leak_struck);
  }
  return logp;
}

// From how the total hangs on the bucket's table, how it hangs on each input, the last one first.
void OrTree::Unpick(Bucket& bucket, std::vector<double> d_table, std::vector<std::vector<double>>& d_message,
                    std::vector<double>& leak_struck) {
  const std::vector<std::vector<double>>& partial = PartialOf(bucket);
  const auto is_wanted = [&](const Input& input) {
    return input.what == Input::What::kLeak
               ? bucket.told
               : input.what == Input::What::kMessage && buckets_[At(input.bucket)].passed;
  };
  const auto first = std::find_if(bucket.inputs.begin(), bucket.inputs.end(), is_wanted);
  for (std::size_t i = bucket.inputs.size(); i-- > static_cast<std::size_t>(first - bucket.inputs.begin());) {
    const Input& input = bucket.inputs[i];
    std::vector<double> d_input;
    if (i == 0) {
      d_input = std::move(d_table);
    } else {
      const OrJoin& join = bucket.joins[i - 1];
      if (is_wanted(input)) {
        d_input.assign(join.second_size(), 0);
        join.PullSecond(partial[i - 1].data(), d_table.data(), d_input.data(), scratch_.data());
      }
      std::vector<double> d_before(join.first_size(), 0);
      join.PullFirst(ValuesOf(input), d_table.data(), d_before.data(), scratch_.data());
      Rescale(d_before);
      d_table = std::move(d_before);
    }
    if (!is_wanted(input)) continue;
    if (input.what == Input::What::kLeak) {
      const double absent = input.values[0] * d_input[0];
      const double struck = input.values[1] * d_input[1];
      leak_struck[At(bucket.node)] = absent + struck > 0 ? struck / (absent + struck) : 0;
    } else {
      d_message[At(input.bucket)] = std::move(d_input);
    }
  }
}

}  // namespace gearwhy
