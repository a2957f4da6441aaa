#include "tests/belief/brute_force.h"

#include <algorithm>
#include <cmath>

namespace gearwhy {
namespace {

class Adder {
 public:
  explicit Adder(const Network& network) : network_(network), value_(network.events.size(), 0) {
    // Causes first, by repeatedly taking what has all its causes.
    std::vector<char> placed(network.events.size(), 0);
    while (order_.size() < network.events.size()) {
      for (size_t i = 0; i < network.events.size(); ++i) {
        if (placed[i]) continue;
        bool ready = true;
        for (const Cause& cause : network.events[i].causes)
          ready = ready && placed[static_cast<size_t>(cause.event)];
        if (!ready) continue;
        placed[i] = 1;
        order_.push_back(i);
      }
    }
    sum_event_.assign(network.events.size(), 0);
    sum_by_itself_.assign(network.events.size(), 0);
  }

  BruteForce Run() {
    Descend(0, 1);
    BruteForce result;
    result.logp_reports = static_cast<double>(std::log(total_));
    for (size_t i = 0; i < value_.size(); ++i) {
      result.p_event.push_back(total_ > 0 ? static_cast<double>(sum_event_[i] / total_) : 0);
      result.p_by_itself.push_back(total_ > 0 ? static_cast<double>(sum_by_itself_[i] / total_) : 0);
    }
    return result;
  }

 private:
  long double PresentChance(size_t event) const {
    long double absent = 1 - static_cast<long double>(network_.events[event].p_unexplained);
    for (const Cause& cause : network_.events[event].causes) {
      if (value_[static_cast<size_t>(cause.event)]) absent *= 1 - static_cast<long double>(cause.p_how_often);
    }
    return 1 - absent;
  }

  void Descend(size_t depth, long double weight) {
    if (weight == 0) return;
    if (depth == order_.size()) {
      Count(weight);
      return;
    }
    const size_t event = order_[depth];
    const long double present = PresentChance(event);
    long double if_present = present;
    long double if_absent = 1 - present;
    for (const Report& report : network_.reports) {
      if (static_cast<size_t>(report.event) != event) continue;
      if_present *= static_cast<long double>(report.p_if_present);
      if_absent *= static_cast<long double>(report.p_if_absent);
    }
    value_[event] = 0;
    Descend(depth + 1, weight * if_absent);
    value_[event] = 1;
    Descend(depth + 1, weight * if_present);
    value_[event] = 0;
  }

  void Count(long double weight) {
    total_ += weight;
    for (size_t i = 0; i < value_.size(); ++i) {
      if (!value_[i]) continue;
      sum_event_[i] += weight;
      sum_by_itself_[i] +=
          weight * static_cast<long double>(network_.events[i].p_unexplained) / PresentChance(i);
    }
  }

  const Network& network_;
  std::vector<size_t> order_;
  std::vector<char> value_;
  long double total_ = 0;
  std::vector<long double> sum_event_;
  std::vector<long double> sum_by_itself_;
};

}  // namespace

BruteForce AddUpEverything(const Network& network) { return Adder(network).Run(); }

Network RandomNetwork(std::mt19937& random, const RandomShape& shape) {
  const auto below = [&](int n) { return static_cast<int>(random() % static_cast<unsigned>(n)); };
  const auto chance = [&] { return static_cast<double>(random() % 1'000'000U) / 1'000'000.0; };
  const int count = shape.faults + shape.states + shape.findings;
  std::vector<Event> events(static_cast<size_t>(count));
  for (int i = 0; i < count; ++i) {
    Event& event = events[static_cast<size_t>(i)];
    event.id = "e" + std::to_string(i);
    const bool fault = i < shape.faults;
    event.type = fault                             ? EventType::kFault
                 : i < shape.faults + shape.states ? EventType::kState
                                                   : EventType::kFinding;
    event.p_unexplained = fault ? 0.3 * chance() + 0.001 : 0.05 * chance();
    if (shape.extremes && below(6) == 0) event.p_unexplained = 0;
    if (shape.extremes && below(40) == 0) event.p_unexplained = fault ? 0.9 : 1e-6;
    // A fault seldom has causes; a finding seldom causes another.
    const int causes = fault ? (i > 0 && below(5) == 0 ? 1 : 0) : 1 + below(shape.most_causes);
    const int last = std::min(i, shape.faults + shape.states + (below(6) == 0 ? shape.findings : 0));
    for (int k = 0; k < causes && last > 0; ++k) {
      int cause = below(last);
      if (shape.states > 0 && i >= shape.faults + shape.states && below(2) == 0)
        cause = shape.faults + below(shape.states);
      const bool doubled = std::any_of(event.causes.begin(), event.causes.end(),
                                       [&](const Cause& c) { return c.event == cause; });
      if (doubled && !(shape.extremes && below(4) == 0)) continue;
      double how_often = chance();
      if (shape.extremes && below(10) == 0) how_often = below(2);
      event.causes.push_back({cause, how_often});
    }
  }
  Network network;
  std::vector<int> place(static_cast<size_t>(count));
  for (int i = 0; i < count; ++i) place[static_cast<size_t>(i)] = i;
  for (int i = count - 1; i > 0; --i)
    std::swap(place[static_cast<size_t>(i)], place[static_cast<size_t>(below(i + 1))]);
  network.events.resize(static_cast<size_t>(count));
  for (int i = 0; i < count; ++i) {
    Event& event = events[static_cast<size_t>(i)];
    for (Cause& cause : event.causes) cause.event = place[static_cast<size_t>(cause.event)];
    network.events[static_cast<size_t>(place[static_cast<size_t>(i)])] = event;
  }
  for (int r = 0; r < shape.reports; ++r) {
    Report report;
    // Mostly findings, sometimes a state or a fault.
    const int event = below(4) > 0 && shape.findings > 0 ? count - 1 - below(shape.findings) : below(count);
    report.event = place[static_cast<size_t>(event)];
    report.present = below(2) == 0;
    if (below(2) == 0) {
      report.p_if_present = report.present ? 1 : 0;
      report.p_if_absent = report.present ? 0 : 1;
    } else {
      report.p_if_present = report.present ? 0.5 + 0.5 * chance() : 0.3 * chance();
      report.p_if_absent = report.present ? 0.3 * chance() : 0.5 + 0.5 * chance();
    }
    network.reports.push_back(report);
  }
  return network;
}

}  // namespace gearwhy
