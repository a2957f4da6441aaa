#include "engine/belief/answers.h"

#include <algorithm>
#include <cmath>

#include "engine/belief/compiled_network.h"

namespace gearwhy {
namespace {

constexpr double kRarest = 1e-9;
constexpr double kSmall = 100'000;  // entries of a tree for several questions that need not be cut

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
  // The chance that none of the first findings is present, with every event's joint chance; finding after finding.
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
      cells.joint.push_back({Rest(before.p_event, joint.p_event), Rest(before.p_by_itself, joint.p_by_itself)});
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

}  // namespace

std::vector<Answers> ComputeAnswers(const Network& network, const EventChances& now, const std::vector<Question>& questions,
                                    const BeliefLimits& limits) {
  std::vector<Answers> all(questions.size());
  const std::vector<char> bears = BearsOnReports(network);
  const auto adds_nothing = [&](size_t q) {
    for (const AskedEvent& asked : questions[q]) {
      for (const Cause& cause : network.events[At(asked.event)].causes) {
        if (!bears[At(cause.event)]) return false;
      }
    }
    return true;
  };
  std::vector<std::vector<size_t>> open(2);  // groups of questions: those that need nothing new, and the others
  for (size_t q = 0; q < questions.size(); ++q) open[adds_nothing(q) ? 1 : 0].push_back(q);
  double work = 0;
  while (!open.empty()) {
    const std::vector<size_t> group = std::move(open.back());
    open.pop_back();
    if (group.empty()) continue;
    CompiledNetwork::Options options;
    for (const size_t q : group) {
      for (const AskedEvent& asked : questions[q]) options.targets.push_back(asked.event);
    }
    std::sort(options.targets.begin(), options.targets.end());
    options.targets.erase(std::unique(options.targets.begin(), options.targets.end()), options.targets.end());
    options.keep = options.targets;
    CompiledNetwork compiled(network, limits, options);
    if (group.size() > 1 && (!compiled.fits() || (compiled.entries() > kSmall && !adds_nothing(group.front())))) {
      const auto middle = group.begin() + static_cast<std::ptrdiff_t>(group.size() / 2);
      open.emplace_back(middle, group.end());
      open.emplace_back(group.begin(), middle);
      continue;
    }
    std::vector<size_t> within;
    for (const size_t q : group) {
      const double more = compiled.entries() * static_cast<double>(questions[q].size() + 1);
      if (compiled.fits() && work + more <= limits.answer_work) {
        work += more;
        within.push_back(q);
      } else {
        all[q] = NothingLearnt(now, questions[q]);
        all[q].exact = false;
      }
    }
    if (within.empty()) continue;
    compiled.Build();
    Asker asker(now, compiled);
    for (const size_t q : within) {
      all[q] = asker.possible() ? asker.Ask(questions[q]) : NothingLearnt(now, questions[q]);
    }
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
