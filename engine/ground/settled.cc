#include "engine/ground/settled.h"

#include "engine/model/report_chances.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

class Settler {
 public:
  explicit Settler(const Diagnosis& diagnosis) : diagnosis_(diagnosis) {
    const std::size_t count = diagnosis.ground.events.size();
    settled_ = {std::vector<char>(count, 0), std::vector<char>(count, 0), std::vector<char>(count, 0)};
    for (const Observation& observation : diagnosis.c->observations) {
      if (observation.present) reported_present_.push_back(observation.event);
    }
  }

  void Tell(const Statement& finding, bool present) {
    if (!present) return Mark(finding, false);
    for (const Implied& implied : ImpliedBy(*diagnosis_.book, finding))
      Mark(implied.finding, implied.present);
  }

  Settled Finish() {
    CloseAbsent();
    for (std::size_t i = 0; i < settled_.moot.size(); ++i) settled_.moot[i] = IsMoot(static_cast<int>(i));
    return std::move(settled_);
  }

  // The events of these that are settled.
  std::vector<int> Of(const std::vector<int>& events) {
    CloseAbsent();
    std::vector<int> settled;
    for (const int event : events) {
      if (settled_.present[At(event)] || settled_.absent[At(event)] || IsMoot(event))
        settled.push_back(event);
    }
    return settled;
  }

 private:
  // Parts of parts come with what is absent.
  void CloseAbsent() {
    const auto& events = diagnosis_.ground.network.events;
    std::vector<int> left;
    for (std::size_t i = 0; i < events.size(); ++i) {
      if (settled_.absent[i]) left.push_back(static_cast<int>(i));
    }
    while (!left.empty()) {
      const int whole = left.back();
      left.pop_back();
      for (const int part : PartsOf(diagnosis_.ground.network, whole)) {
        if (settled_.absent[At(part)]) continue;
        settled_.absent[At(part)] = 1;
        left.push_back(part);
      }
    }
    moot_known_.assign(events.size(), 0);
  }

  void Mark(const Statement& finding, bool present) {
    if (const auto event = diagnosis_.ground.Find(finding))
      (present ? settled_.present : settled_.absent)[At(*event)] = 1;
  }

  // How a trouble comes that was looked for and not found is nothing to ask.
  bool TellsOfNothing(const Statement& finding) const {
    const FactStore& store = diagnosis_.Likeliest().store;
    return gearwhy::TellsOfNothing(
        diagnosis_.book->words, finding, reported_present_,
        [&](const Statement& event) { return store.Find(Sense::kAbsent, event).has_value(); });
  }

  // Needs never go round in a circle.
  bool IsMoot(int event) {
    if (moot_known_[At(event)]) return settled_.moot[At(event)];
    bool moot = TellsOfNothing(diagnosis_.ground.events[At(event)].statement);
    for (const Implied& need :
         NeedsOf(diagnosis_.book->words, diagnosis_.ground.events[At(event)].statement)) {
      const auto needed = diagnosis_.ground.Find(need.finding);
      if (!needed) continue;
      const bool present = settled_.present[At(*needed)], absent = settled_.absent[At(*needed)];
      // Where reports differ, it is open.
      if (present != absent && present != need.present) moot = true;
      if (need.present && IsMoot(*needed)) moot = true;
    }
    moot_known_[At(event)] = 1;
    settled_.moot[At(event)] = moot;
    return moot;
  }

  const Diagnosis& diagnosis_;
  Settled settled_;
  std::vector<char> moot_known_;
  std::vector<Statement> reported_present_;
};

// Whether it is a reading so near its limit that it settles nothing.
bool IsTooClose(const Diagnosis& diagnosis, const GroundReport& report) {
  if (report.reading < 0) return false;
  const JudgedReading& reading = diagnosis.worlds[At(report.world)].readings[At(report.reading)];
  return reading.limits[At(report.limit)].stand == Stand::kCannotTell;
}

// Told of what has been reported.
Settler WithReports(const Diagnosis& diagnosis) {
  Settler settler(diagnosis);
  for (std::size_t r = 0; r < diagnosis.ground.reports.size(); ++r) {
    const GroundReport& ground = diagnosis.ground.reports[r];
    if (ground.silence != nullptr) continue;    // nobody has said it
    if (!ground.opposite_in.empty()) continue;  // so in one variant and not in another: not known
    if (IsTooClose(diagnosis, ground)) continue;
    const Report& report = diagnosis.ground.network.reports[r];
    settler.Tell(diagnosis.ground.events[At(report.event)].statement, report.present);
  }
  return settler;
}

}  // namespace

std::vector<int> PartsOf(const Network& network, int whole) {
  std::vector<int> parts;
  for (const Cause& cause : network.events[At(whole)].causes) {
    const bool is_finding = network.events[At(cause.event)].type == EventType::kFinding;
    if (is_finding && cause.p_how_often >= 1) parts.push_back(cause.event);
  }
  return parts;
}

Settled SettledBy(const Diagnosis& diagnosis) { return WithReports(diagnosis).Finish(); }

SettledOnce SettledOnceAnswered(const Diagnosis& diagnosis, std::vector<int> events) {
  return [&diagnosis, reported = WithReports(diagnosis),
          events = std::move(events)](const std::map<int, bool>& answered) {
    Settler settler = reported;
    for (const auto& [event, present] : answered)
      settler.Tell(diagnosis.ground.events[At(event)].statement, present);
    return settler.Of(events);
  };
}

}  // namespace gearwhy
