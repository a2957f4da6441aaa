#include "engine/report/next_checks.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace gearwhy {
namespace {

std::size_t At(int index) { return static_cast<std::size_t>(index); }

// A check made ground for this transmission.
struct GroundCheck {
  const Check* check = nullptr;
  Bindings bindings;
  std::vector<int> findings;  // events it answers that nobody has looked at
  double promise = 0;         // of its best finding, for each minute
};

constexpr std::size_t kWorkedOut = 16;  // checks

std::vector<GroundCheck> GroundChecks(const Diagnosis& diagnosis) {
  std::set<int> seen;
  for (const Report& report : diagnosis.ground.network.reports) seen.insert(report.event);
  std::vector<GroundCheck> checks;
  for (const Check& check : diagnosis.book->checks) {
    for (const Match& match : FindMatches(check.when, diagnosis.store)) {
      GroundCheck ground{&check, match.bindings, {}};
      for (const Pattern& pattern : check.tells) {
        const auto event = diagnosis.ground.Find(Fill(pattern, match.bindings));
        if (event && !seen.contains(*event)) ground.findings.push_back(*event);
      }
      if (!ground.findings.empty()) checks.push_back(std::move(ground));
    }
  }
  return checks;
}

// What a finding may tell at a glance: the uncertainty of its causes, as far as they bring it about.
double Promise(const Diagnosis& diagnosis, int finding) {
  double promise = 0;
  for (const Cause& cause : diagnosis.ground.network.events[At(finding)].causes) {
    // A cause that no report bears on has no chance here; it is too rare to be asked about first.
    promise += cause.p_how_often * BinaryEntropy(diagnosis.chances.p_event[At(cause.event)]);
  }
  return promise;
}

// Bits that an answer of limited trust to one finding tells about all faults, each taken by itself.
double BitsOf(const Diagnosis& diagnosis, const WhatIf& what_if, const Trust& trust) {
  const double p_present = what_if.p_present;
  const double p_yes = trust.p_present_if_present * p_present + trust.p_present_if_absent * (1 - p_present);
  if (!(p_yes > 0 && p_yes < 1)) return 0;
  double bits = 0;
  for (std::size_t i = 0; i < diagnosis.ground.events.size(); ++i) {
    if (diagnosis.ground.events[i].word->type != WordType::kFault) continue;
    const double p = diagnosis.chances.p_event[i];
    const double both = p_present * what_if.p_event_if_present[i];
    const double alone = (1 - p_present) * what_if.p_event_if_absent[i];
    const double p_if_yes = (trust.p_present_if_present * both + trust.p_present_if_absent * alone) / p_yes;
    const double p_if_no =
        ((1 - trust.p_present_if_present) * both + (1 - trust.p_present_if_absent) * alone) / (1 - p_yes);
    bits += BinaryEntropy(p) - p_yes * BinaryEntropy(p_if_yes) - (1 - p_yes) * BinaryEntropy(p_if_no);
  }
  return std::max(0.0, bits);
}

double MinutesFor(const Words& words, const Check& check) {
  double minutes = check.minutes;
  for (auto it = words.access.find(check.access); it != words.access.end(); it = words.access.find(it->second.from)) {
    minutes += it->second.minutes;
  }
  return minutes;
}

}  // namespace

double BinaryEntropy(double p) {
  if (!(p > 0 && p < 1)) return 0;
  return -p * std::log2(p) - (1 - p) * std::log2(1 - p);
}

std::vector<NextCheck> FindNextChecks(const Diagnosis& diagnosis, const Speaker& speaker, const BeliefLimits& limits,
                                      int most) {
  const Words& words = diagnosis.book->words;
  std::vector<GroundCheck> checks = GroundChecks(diagnosis);
  for (GroundCheck& check : checks) {
    for (const int finding : check.findings) {
      check.promise = std::max(check.promise, Promise(diagnosis, finding) / std::max(1.0, MinutesFor(words, *check.check)));
    }
  }
  std::stable_sort(checks.begin(), checks.end(),
                   [](const GroundCheck& a, const GroundCheck& b) { return a.promise > b.promise; });
  if (checks.size() > kWorkedOut) checks.resize(kWorkedOut);
  for (GroundCheck& check : checks) {
    const auto best = std::max_element(check.findings.begin(), check.findings.end(), [&](int a, int b) {
      return Promise(diagnosis, a) < Promise(diagnosis, b);
    });
    check.findings = {*best};
  }
  std::vector<int> findings;
  std::map<int, std::size_t> position;
  for (const GroundCheck& check : checks) {
    for (const int finding : check.findings) {
      if (position.emplace(finding, findings.size()).second) findings.push_back(finding);
    }
  }
  const std::vector<WhatIf> what_ifs = ComputeWhatIf(diagnosis.ground.network, findings, limits);
  std::vector<NextCheck> next;
  for (const GroundCheck& ground : checks) {
    const Check& check = *ground.check;
    NextCheck entry;
    for (const int finding : ground.findings) {
      const double bits = BitsOf(diagnosis, what_ifs[position.at(finding)], *words.FindTrust(check.trust));
      entry.bits = std::max(entry.bits, bits);
    }
    if (entry.bits < 1e-3) continue;
    entry.check = check.id;
    entry.says = speaker.SayText(check.says, ground.bindings, check.variables);
    entry.how = speaker.SayText(check.how, ground.bindings, check.variables);
    entry.minutes = MinutesFor(words, check);
    entry.access = words.access.at(check.access).says;
    entry.needs_unit_out = words.NeedsUnitOut(check.access);
    for (const std::string& caution : check.cautions) entry.cautions.push_back(words.cautions.at(caution).says);
    next.push_back(std::move(entry));
  }
  const auto rate = [](const NextCheck& check) { return check.bits / std::max(check.minutes, 1.0); };
  std::stable_sort(next.begin(), next.end(), [&](const NextCheck& a, const NextCheck& b) {
    if (rate(a) != rate(b)) return rate(a) > rate(b);
    return std::tie(a.check, a.says) < std::tie(b.check, b.says);
  });
  if (static_cast<int>(next.size()) > most) next.resize(At(most));
  return next;
}

}  // namespace gearwhy
