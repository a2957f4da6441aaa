#include "engine/report/ground_checks.h"

namespace gearwhy {

std::vector<GroundCheck> GroundChecksOf(const Diagnosis& diagnosis) {
  std::set<int> asked;
  for (const Report& report : diagnosis.ground.network.reports) asked.insert(report.event);
  for (const CaseFact& unknown : diagnosis.c->unknown) {
    if (const auto event = diagnosis.ground.Find(unknown.statement)) asked.insert(*event);
  }
  std::vector<GroundCheck> checks;
  for (const Check& check : diagnosis.book->checks) {
    std::set<std::string> keys;
    for (const Match& match : FindMatches(check.when, diagnosis.store)) {
      GroundCheck ground{&check, match.bindings, check.id, {}};
      for (const Binding& binding : match.bindings) ground.key += ":" + ShowValue(binding.value);
      if (!keys.insert(ground.key).second) continue;  // the same by another way of meeting the conditions
      for (const Pattern& pattern : check.tells) {
        const auto event = diagnosis.ground.Find(Fill(pattern, match.bindings));
        if (event && !asked.contains(*event)) ground.findings.push_back(*event);
      }
      if (!ground.findings.empty()) checks.push_back(std::move(ground));
    }
  }
  return checks;
}

std::set<std::string> OpenAccess(const Words& words, const std::vector<std::string>& open) {
  std::set<std::string> reached;
  for (const std::string& name : open) {
    for (auto it = words.access.find(name); it != words.access.end(); it = words.access.find(it->second.from)) {
      reached.insert(it->first);
    }
  }
  return reached;
}

double MinutesToReach(const Words& words, const std::string& access, const std::set<std::string>& open) {
  double minutes = 0;
  for (auto it = words.access.find(access); it != words.access.end() && !open.contains(it->first);
       it = words.access.find(it->second.from)) {
    minutes += it->second.minutes;
  }
  return minutes;
}

}  // namespace gearwhy
