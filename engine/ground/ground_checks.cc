#include "engine/ground/ground_checks.h"

#include <algorithm>
#include <map>

#include "engine/ground/settled.h"

namespace gearwhy {

namespace {

// Whether neither the whole nor any part of it has been reported: a part that has would count twice.
bool MayTellWhole(const Network& network, int whole, const std::set<int>& asked) {
  if (asked.contains(whole)) return false;
  const std::vector<int> parts = PartsOf(network, whole);
  return std::none_of(parts.begin(), parts.end(), [&](int part) { return asked.contains(part); });
}

void AddSilences(const Diagnosis& diagnosis, GroundCheck& check) {
  const Words& words = diagnosis.book->words;
  const auto statement = [&](int event) -> const Statement& {
    return diagnosis.ground.events[static_cast<std::size_t>(event)].statement;
  };
  std::vector<int> needy;
  for (const int finding : check.findings) {
    if (!words.Find(statement(finding).name)->needs.empty()) needy.push_back(finding);
  }
  if (needy.empty()) return;
  for (const int present : check.findings) {
    const std::vector<Implied> known = ImpliedBy(*diagnosis.book, statement(present));
    for (const int other : needy) {
      if (other != present && CannotTell(words, statement(other), known))
        check.silences.emplace_back(present, other);
    }
  }
}

}  // namespace

std::vector<GroundCheck> GroundChecksOf(const Diagnosis& diagnosis) {
  std::set<int> asked;
  for (const Report& report : diagnosis.ground.network.reports) asked.insert(report.event);
  for (const CaseFact& unknown : diagnosis.c->unknown) {
    if (const auto event = diagnosis.ground.Find(unknown.statement)) asked.insert(*event);
  }
  const Settled settled = SettledBy(diagnosis);
  const bool can_run = CanRun(diagnosis.book->words, diagnosis.c->open);
  std::vector<GroundCheck> checks;
  for (const Check& check : diagnosis.book->checks) {
    if (check.running && !can_run) continue;
    std::map<std::string, std::size_t> place_of;  // by key
    for (const Match& match : FindMatches(check.when, diagnosis.store)) {
      GroundCheck ground;
      ground.check = &check;
      ground.key = check.id;
      for (const Binding& binding : match.bindings) {
        if (std::count(check.at_once.begin(), check.at_once.end(), binding.variable) > 0) continue;
        ground.bindings.push_back(binding);
        ground.key += ":" + ShowValue(binding.value);
      }
      // The same by another match of the conditions adds to what is known of it.
      const auto [known, is_new] = place_of.emplace(ground.key, checks.size());
      if (is_new) checks.push_back(std::move(ground));
      std::vector<int>& findings = checks[known->second].findings;
      for (const Pattern& pattern : check.tells) {
        const auto event = diagnosis.ground.Find(Fill(pattern, match.bindings));
        if (!event || asked.contains(*event) || settled.Any(*event) ||
            std::count(findings.begin(), findings.end(), *event) > 0)
          continue;
        findings.push_back(*event);
      }
      if (check.all_good && is_new) {
        const auto whole = diagnosis.ground.Find(Fill(*check.all_good, match.bindings));
        if (whole && MayTellWhole(diagnosis.ground.network, *whole, asked))
          checks[known->second].all_good = *whole;
      }
    }
  }
  for (GroundCheck& check : checks) {
    if (check.findings.size() < 2) check.all_good = -1;  // one answer says it by itself
    if (check.findings.size() > 1) AddSilences(diagnosis, check);
  }
  std::erase_if(checks, [](const GroundCheck& check) { return check.findings.empty(); });
  return checks;
}

bool UnitIsOut(const Words& words, const std::vector<std::string>& open) {
  return std::any_of(open.begin(), open.end(),
                     [&](const std::string& access) { return words.NeedsUnitOut(access); });
}

bool CanRun(const Words& words, const std::vector<std::string>& open) {
  return std::none_of(open.begin(), open.end(),
                      [&](const std::string& access) { return words.KeepsFromRunning(access); });
}

std::set<std::string> OpenAccess(const Words& words, const std::vector<std::string>& open) {
  std::set<std::string> reached;
  for (const std::string& name : open) reached.merge(words.OpenWith(name));
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

std::vector<std::string> CautionsToReach(const Words& words, const std::string& access,
                                         const std::set<std::string>& open) {
  std::vector<std::string> cautions;
  for (auto it = words.access.find(access); it != words.access.end() && !open.contains(it->first);
       it = words.access.find(it->second.from)) {
    cautions.insert(cautions.begin(), it->second.cautions.begin(), it->second.cautions.end());
  }
  return cautions;
}

}  // namespace gearwhy
