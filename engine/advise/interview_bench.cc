// The bench: what lies open is measured, one thing after the other, in the order in which parts come off.
#include <algorithm>

#include "engine/advise/interview_course.h"
#include "engine/model/access.h"

namespace gearwhy {

namespace {

// What is open on the bench: what only the unit out opens, and what lies open with it.
std::set<std::string> OpenOnBench(const Words& words, const std::vector<std::string>& open) {
  std::set<std::string> on_bench;
  for (const std::string& name : OpenAccess(words, open)) {
    if (!NeedsUnitOut(words, name)) continue;
    on_bench.insert(name);
    const std::vector<std::string>& with_it = words.access.find(name)->second.opens;
    on_bench.insert(with_it.begin(), with_it.end());
  }
  return on_bench;
}

}  // namespace

// With the unit out: what can be measured with what is open, but for what was passed over.
std::vector<DueMeasurement> InterviewCourse::DueHere() const {
  if (i_.case_ == nullptr || i_.known_ == nullptr || !UnitIsOut(words(), i_.case_->open)) return {};
  const std::set<std::string> open = OpenOnBench(words(), i_.case_->open);
  std::vector<DueMeasurement> due = MeasurementsDue(diagnosis());
  std::erase_if(due, [&](const DueMeasurement& one) {
    return !open.contains(one.access) || i_.state_.unmeasured.contains(StatementId(one.fact));
  });
  // What opening further destroys cannot wait.
  std::stable_partition(due.begin(), due.end(),
                        [](const DueMeasurement& one) { return !one.lost_with.empty(); });
  return due;
}

void InterviewCourse::GoOnMeasuring(bool measuring) {
  i_.state_.measuring = measuring;
  PutStep();
}

// The next, or the next question where nothing is left.
void InterviewCourse::PutMeasurement() {
  const std::vector<DueMeasurement> due = DueHere();
  if (due.empty()) return GoOnMeasuring(false);
  const DueMeasurement& first = due.front();
  CaseChange fact;
  fact.list = CaseList::kMeasured;
  fact.statement = first.fact;
  const Word& word = *words().Find(first.fact.name);
  std::vector<int> quantities;
  for (std::size_t i = 0; i < word.slots.size(); ++i) {
    if (word.slots[i].dimension && first.fact.slots[i] == Value(0.0))
      quantities.push_back(static_cast<int>(i));
  }
  AskNumbers({fact}, {quantities}, first);
}

void InterviewCourse::TakeMeasurement() {
  const DueMeasurement due = *i_.numbers_.due;
  const std::vector<CaseChange> whole = i_.numbers_.whole;
  i_.numbers_ = {};
  // What was refused is not asked for again, either.
  if (whole.empty() || !TakeChanges({whole})) {
    i_.state_.unmeasured.insert(StatementId(due.fact));
    return PutStep();
  }
  for (BenchReading& reading : ReadingsOf(diagnosis())) {
    if (reading.fact == whole.front().statement) Tell(Read{std::move(reading)});
  }
  PutStep();
}

}  // namespace gearwhy
