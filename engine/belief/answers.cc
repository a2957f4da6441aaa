#include "engine/belief/answers.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <optional>
#include <utility>

#include "engine/belief/compiled_network.h"
#include "engine/text/at_once.h"

namespace gearwhy {
namespace {

constexpr double kRarest = 1e-9;
constexpr double kWorthACopy = 20'000;  // entries
constexpr double kPassesOfATree = 3;    // what making it takes
constexpr double kHardlyMore = 1.25;    // times what the reports alone need: parting would save nothing

size_t At(int index) { return static_cast<size_t>(index); }

// What is so, before anybody reports it: a finding is the first that is there, or none is.
struct Cells {
  std::vector<double> p;            // one a finding, then none
  std::vector<EventChances> joint;  // by cell: that the cell and the event are so
};

void Scale(std::vector<double>& values, double factor) {
  for (double& value : values) value *= factor;
}

// a - b, where b is a part of a.
std::vector<double> Rest(const std::vector<double>& a, const std::vector<double>& b) {
  std::vector<double> rest(a.size());
  for (size_t i = 0; i < a.size(); ++i) rest[i] = std::max(0.0, a[i] - b[i]);
  return rest;
}

class Asker {
 public:
  Asker(const EventChances& now, CompiledNetwork& compiled) : now_(now), compiled_(compiled), base_(now) {
    logp_ = compiled_.Solve({}, false, &base_.p_event, &base_.p_by_itself);
  }
  bool possible() const { return std::isfinite(logp_); }

  Answers Ask(const Question& question) {
    const Cells cells = CellsOf(question);
    Answers answers;
    for (size_t i = 0; i <= question.size(); ++i) answers.answers.push_back(Report(question, cells, i));
    return answers;
  }

 private:
  // The chance that none of the first findings is present, with every event's joint chance; finding after
  // finding.
  Cells CellsOf(const Question& question) {
    Cells cells;
    double p_before = 1;
    EventChances before = base_;
    std::vector<Supposition> absent;
    for (const AskedEvent& asked : question) {
      absent.push_back({asked.event, 1, 0});
      EventChances joint = base_;
      const double logp = compiled_.Solve(absent, false, &joint.p_event, &joint.p_by_itself);
      const double p = std::min(p_before, std::exp(logp - logp_));  // 0 when it cannot be
      Scale(joint.p_event, p);
      Scale(joint.p_by_itself, p);
      cells.p.push_back(p_before - p);
      cells.joint.push_back(
          {Rest(before.p_event, joint.p_event), Rest(before.p_by_itself, joint.p_by_itself)});
      p_before = p;
      before = std::move(joint);
    }
    cells.p.push_back(p_before);
    cells.joint.push_back(std::move(before));
    return cells;
  }

  // Answer `i` mixed from what may be so.
  Answer Report(const Question& question, const Cells& cells, size_t i) {
    const size_t none = question.size();
    double p_no_false_alarm = 1;
    for (const AskedEvent& asked : question) p_no_false_alarm -= asked.p_yes_if_absent;
    p_no_false_alarm = std::max(0.0, p_no_false_alarm);
    std::vector<double> share(none + 1, 0.0);  // of each cell that is reported as i
    if (i < none) {
      share[i] = question[i].p_yes_if_present;
      share[none] = question[i].p_yes_if_absent;
    } else {
      for (size_t c = 0; c < none; ++c) share[c] = 1 - question[c].p_yes_if_present;
      share[none] = p_no_false_alarm;
    }
    Answer answer;
    for (size_t c = 0; c <= none; ++c) answer.p += share[c] * cells.p[c];
    answer.then = now_;
    if (answer.p < kRarest) return answer;
    for (size_t e = 0; e < now_.p_event.size(); ++e) {
      double present = 0;
      double by_itself = 0;
      for (size_t c = 0; c <= none; ++c) {
        present += share[c] * cells.joint[c].p_event[e];
        by_itself += share[c] * cells.joint[c].p_by_itself[e];
      }
      if (!std::isnan(present)) answer.then.p_event[e] = std::min(1.0, present / answer.p);
      if (!std::isnan(by_itself)) answer.then.p_by_itself[e] = std::min(1.0, by_itself / answer.p);
    }
    return answer;
  }

  const EventChances& now_;
  CompiledNetwork& compiled_;
  EventChances base_;
  double logp_ = 0;
};

Answers NothingLearnt(const EventChances& now, const Question& question) {
  Answers answers;
  answers.answers.assign(question.size() + 1, {0, now});
  answers.answers.back().p = 1;
  return answers;
}

using Group = std::vector<size_t>;  // questions that are asked of one tree

// Those that need nothing new in the tree, and the others; or two halves. The one with the first question
// comes first.
std::pair<Group, Group> Parted(const Group& group, const std::vector<char>& adds_nothing) {
  std::pair<Group, Group> parts;
  for (const size_t q : group)
    (adds_nothing[q] == adds_nothing[group.front()] ? parts.first : parts.second).push_back(q);
  if (!parts.second.empty()) return parts;
  const auto middle = group.begin() + static_cast<std::ptrdiff_t>(group.size() / 2);
  return {{group.begin(), middle}, {middle, group.end()}};
}

// By question: whether all that its findings need bears on the reports anyway.
std::vector<char> AddNothing(const Network& network, const std::vector<Question>& questions) {
  const std::vector<char> bears = BearsOnReports(network);
  std::vector<char> adds_nothing;
  for (const Question& question : questions) {
    adds_nothing.push_back(std::all_of(question.begin(), question.end(), [&](const AskedEvent& asked) {
      return CausesAdded(network, bears, asked.event).empty();
    }));
  }
  return adds_nothing;
}

}  // namespace

std::vector<Answers> ComputeAnswers(const Network& network, const EventChances& now,
                                    const std::vector<Question>& questions, const BeliefLimits& limits) {
  std::vector<Answers> all(questions.size());
  const std::vector<char> adds_nothing = AddNothing(network, questions);
  const auto tree_for = [&](const Group& group, double most_entries) {
    CompiledNetwork::Options options;
    for (const size_t q : group) {
      for (const AskedEvent& asked : questions[q]) options.targets.push_back(asked.event);
    }
    std::sort(options.targets.begin(), options.targets.end());
    options.targets.erase(std::unique(options.targets.begin(), options.targets.end()), options.targets.end());
    options.keep = options.targets;
    options.max_entries = std::min(options.max_entries, most_entries);
    return std::make_unique<CompiledNetwork>(network, limits, options);
  };
  double left = limits.answer_work;  // numbers that may still be summed over
  const auto passes_of = [&](const Group& group) {
    double passes = kPassesOfATree;
    for (const size_t q : group) passes += static_cast<double>(questions[q].size());
    return passes;
  };
  // Of the tree of the reports alone: hardly any has fewer.
  std::optional<double> fewest_entries;
  std::vector<Group> open(1);
  for (size_t q = 0; q < questions.size(); ++q) open[0].push_back(q);
  while (!open.empty()) {
    const Group group = std::move(open.back());
    open.pop_back();
    if (group.empty()) continue;
    std::unique_ptr<CompiledNetwork> tree;
    if ((kPassesOfATree + 1) * fewest_entries.value_or(0) <= left) {
      // One question alone must fit what is left; where several do not, they are parted.
      const Group first = {group.front()};
      tree = tree_for(group,
                      group.size() == 1 ? left / passes_of(first) : std::numeric_limits<double>::infinity());
      const bool is_dear = group.size() > 1 && (!tree->fits() || passes_of(group) * tree->entries() > left);
      if (is_dear && !fewest_entries) fewest_entries = tree_for({}, left / (kPassesOfATree + 1))->entries();
      if (is_dear && (!tree->fits() || tree->entries() > kHardlyMore * *fewest_entries ||
                      passes_of(first) * tree->entries() > left)) {
        auto [before, behind] = Parted(group, adds_nothing);
        open.push_back(std::move(behind));
        open.push_back(std::move(before));
        continue;
      }
    }
    Group within;
    for (const size_t q : group) {
      within.push_back(q);
      if (tree != nullptr && tree->fits() && passes_of(within) * tree->entries() <= left) continue;
      within.pop_back();
      all[q] = NothingLearnt(now, questions[q]);
      all[q].exact = false;
    }
    if (within.empty() || !tree->Build()) continue;
    left -= passes_of(within) * tree->entries();
    // Several threads each ask their own copy.
    const size_t parts = tree->entries() < kWorthACopy ? 1 : std::min(Cores(), within.size());
    std::vector<CompiledNetwork> copies(parts - 1, *tree);
    AtOnce(parts, [&](size_t part) {
      Asker asker(now, part == 0 ? *tree : copies[part - 1]);
      for (size_t i = part; i < within.size(); i += parts) {
        const Question& question = questions[within[i]];
        all[within[i]] = asker.possible() ? asker.Ask(question) : NothingLearnt(now, question);
      }
    });
  }
  return all;
}

double BinaryEntropy(double p) {
  if (!(p > 0 && p < 1)) return 0;
  return -p * std::log2(p) - (1 - p) * std::log2(1 - p);
}

double BitsAbout(const std::vector<int>& events, const EventChances& now, const Answers& answers) {
  double bits = 0;
  for (const int event : events) {
    if (std::isnan(now.p_event[At(event)])) continue;
    double left = 0;
    double p_answers = 0;
    for (const Answer& answer : answers.answers) {
      left += answer.p * BinaryEntropy(answer.then.p_event[At(event)]);
      p_answers += answer.p;
    }
    bits += p_answers * BinaryEntropy(now.p_event[At(event)]) - left;
  }
  return std::max(0.0, bits);
}

}  // namespace gearwhy
