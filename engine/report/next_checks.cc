#include "engine/report/next_checks.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "engine/belief/answers.h"
#include "engine/report/ground_checks.h"

namespace gearwhy {
namespace {

std::size_t At(int index) { return static_cast<std::size_t>(index); }

constexpr std::size_t kWorkedOut = 16;  // checks

struct Promising {
  GroundCheck ground;
  double minutes = 0;
  double promise = 0;  // of its best finding, for each minute
};

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

}  // namespace


std::vector<NextCheck> FindNextChecks(const Diagnosis& diagnosis, const Speaker& speaker, const BeliefLimits& limits,
                                      int most) {
  const Words& words = diagnosis.book->words;
  const std::set<std::string> open = OpenAccess(words, diagnosis.c->open);
  std::vector<Promising> checks;
  for (GroundCheck& ground : GroundChecksOf(diagnosis)) {
    Promising check{std::move(ground)};
    check.minutes = check.ground.check->minutes + MinutesToReach(words, check.ground.check->access, open);
    for (const int finding : check.ground.findings) {
      check.promise = std::max(check.promise, Promise(diagnosis, finding) / std::max(1.0, check.minutes));
    }
    checks.push_back(std::move(check));
  }
  std::stable_sort(checks.begin(), checks.end(), [](const Promising& a, const Promising& b) { return a.promise > b.promise; });
  if (checks.size() > kWorkedOut) checks.resize(kWorkedOut);
  std::vector<int> findings;
  std::map<int, std::size_t> position;
  for (Promising& check : checks) {
    std::stable_sort(check.ground.findings.begin(), check.ground.findings.end(),
                     [&](int a, int b) { return Promise(diagnosis, a) > Promise(diagnosis, b); });
    const int best = check.ground.findings.front();
    if (position.emplace(best, findings.size()).second) findings.push_back(best);
  }
  const std::vector<WhatIf> what_ifs = ComputeWhatIf(diagnosis.ground.network, findings, limits);
  std::vector<NextCheck> next;
  for (const Promising& promising : checks) {
    const GroundCheck& ground = promising.ground;
    const Check& check = *ground.check;
    NextCheck entry;
    entry.bits = BitsOf(diagnosis, what_ifs[position.at(ground.findings.front())], *words.FindTrust(check.trust));
    if (entry.bits < 1e-3) continue;
    entry.check = check.id;
    entry.key = ground.key;
    entry.says = speaker.SayText(check.says, ground.bindings, check.variables);
    entry.how = speaker.SayText(check.how, ground.bindings, check.variables);
    entry.own_minutes = check.minutes;
    entry.minutes = promising.minutes;
    entry.access = words.access.at(check.access).says;
    entry.access_name = check.access;
    entry.trust = check.trust;
    entry.needs_unit_out = words.NeedsUnitOut(check.access);
    for (const int finding : ground.findings) {
      const Statement& event = diagnosis.ground.events[At(finding)].statement;
      entry.findings.push_back({event, StatementId(event), speaker.Say(event, true), speaker.Say(event, false), 0, {}, {}});
    }
    for (const std::string& caution : check.cautions) entry.cautions.push_back(words.cautions.at(caution).says);
    next.push_back(std::move(entry));
  }
  const auto rate = [](const NextCheck& check) { return check.bits / std::max(check.minutes, 1.0); };
  std::stable_sort(next.begin(), next.end(), [&](const NextCheck& a, const NextCheck& b) {
    if (rate(a) != rate(b)) return rate(a) > rate(b);
    return a.key < b.key;
  });
  if (static_cast<int>(next.size()) > most) next.resize(At(most));
  return next;
}

}  // namespace gearwhy
