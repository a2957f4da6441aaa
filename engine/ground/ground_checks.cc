#include "engine/ground/ground_checks.h"

#include <algorithm>
#include <map>

#include "engine/ground/settled.h"
#include "engine/model/access.h"
#include "engine/text/at.h"

namespace gearwhy {

namespace {

// What has been said of findings.
struct Said {
  std::set<int> asked;
  std::set<int> known;         // of those: not only by the complaint of a customer
  std::map<int, int> unnamed;  // by finding: the event that it was named

  // Whether a customer has said it, and a mechanic has yet to try it.
  bool ByComplaintAlone(int event) const { return asked.contains(event) && !known.contains(event); }
  // Whether somebody has said it who knows as well as who says it by this trust.
  bool By(const Trust& trust, int event) const {
    return (trust.of_complaints ? asked : known).contains(event);
  }
};

// What one of its checks tells where the conditions are met so, and what nobody knows yet.
void AddFindings(const Diagnosis& diagnosis, const Check& told_by, const Bindings& bindings, const Said& said,
                 const Settled& settled, GroundCheck& check) {
  const Trust& trust = *diagnosis.book->words.FindTrust(told_by.trust);
  for (const Pattern& pattern : told_by.tells) {
    const auto event = diagnosis.ground.Find(Fill(pattern, bindings));
    if (!event || said.By(trust, *event) || settled.absent[At(*event)] || settled.moot[At(*event)] ||
        (settled.present[At(*event)] && !said.ByComplaintAlone(*event)) ||
        std::count(check.findings.begin(), check.findings.end(), *event) > 0)
      continue;
    check.findings.push_back(*event);
    if (said.ByComplaintAlone(*event)) check.complained.push_back(*event);
  }
}

// Whether neither the whole nor any part of it has been reported: a part that has would count twice.
bool MayTellWhole(const Network& network, int whole, const Trust& trust, const Said& said) {
  if (said.By(trust, whole)) return false;
  const std::vector<int> parts = PartsOf(network, whole);
  return std::none_of(parts.begin(), parts.end(), [&](int part) { return said.By(trust, part); });
}

void AddSilences(const Diagnosis& diagnosis, GroundCheck& check) {
  const Words& words = diagnosis.book->words;
  const auto statement = [&](int event) -> const Statement& {
    return diagnosis.ground.events[At(event)].statement;
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

// Earlier reports as they weigh once these findings have been reported as well, over what they weigh now.
std::vector<Report> ReweighedBy(const Diagnosis& diagnosis, const std::map<Statement, bool>& answered) {
  const Reported before = ReportedIn(diagnosis.Likeliest().store);
  const Reported then = [&](const Statement& finding) -> std::optional<bool> {
    const auto it = answered.find(finding);
    if (it == answered.end()) return before(finding);
    return it->second || before(finding).value_or(false);
  };
  std::vector<Report> reweighed;
  for (std::size_t r = 0; r < diagnosis.ground.reports.size(); ++r) {
    const int index = diagnosis.ground.reports[r].observation;
    if (index < 0) continue;
    const Observation& observation = diagnosis.c->observations[At(index)];
    if (observation.under.empty()) continue;
    const Report& now = diagnosis.ground.network.reports[r];
    const double p_common = diagnosis.ground.common->Of(now.event);
    const ReportChances was = WeighReport(diagnosis.book->words, observation, p_common, before);
    const ReportChances is = WeighReport(diagnosis.book->words, observation, p_common, then);
    if (was.p_if_present == is.p_if_present && was.p_if_absent == is.p_if_absent) continue;
    // What is capped, because another report contradicts it, stays capped.
    const bool capped = now.p_if_present != was.p_if_present || now.p_if_absent != was.p_if_absent;
    const ReportChances capped_is = capped ? Softened(is) : is;
    reweighed.push_back({now.event, now.present, capped_is.p_if_present / now.p_if_present,
                         capped_is.p_if_absent / now.p_if_absent});
  }
  return reweighed;
}

void AddReweighed(const Diagnosis& diagnosis, GroundCheck& check) {
  const auto statement = [&](int event) -> const Statement& {
    return diagnosis.ground.events[At(event)].statement;
  };
  const bool tells_how = std::any_of(check.findings.begin(), check.findings.end(), [&](int finding) {
    return TellsCircumstances(diagnosis.book->words, statement(finding));
  });
  if (!tells_how) return;
  std::vector<int> alone = check.findings;
  alone.push_back(-1);
  for (const int present : alone) {
    std::map<Statement, bool> answered;
    for (const int finding : check.findings) {
      if (std::count(check.silences.begin(), check.silences.end(), std::pair(present, finding)) == 0)
        answered[statement(finding)] = finding == present;
    }
    if (auto reweighed = ReweighedBy(diagnosis, answered); !reweighed.empty())
      check.reweighed[present] = std::move(reweighed);
  }
}

// `unnamed`: by finding, the event that it was named; `once`: for these findings.
void AddTakenBack(const std::map<int, int>& unnamed, const SettledOnce& once, GroundCheck& check) {
  const auto settle = [&](int alone, const std::map<int, bool>& answered) {
    std::vector<int>& taken_back = check.taken_back[alone];
    for (const int finding : once(answered)) taken_back.push_back(unnamed.at(finding));
    std::sort(taken_back.begin(), taken_back.end());
  };
  std::map<int, bool> none;
  for (const int finding : check.findings) none[finding] = false;
  for (const int alone : check.findings) {
    std::map<int, bool> answered;
    for (const int finding : check.findings) {
      if (std::count(check.silences.begin(), check.silences.end(), std::pair(alone, finding)) == 0)
        answered[finding] = finding == alone;
    }
    settle(alone, answered);
  }
  settle(-1, check.all_good >= 0 ? std::map<int, bool>{{check.all_good, false}} : none);
}

// What is asked where this check is: itself, or the look that it is a part of.
using AskedAs = std::map<std::string, const Check*>;
AskedAs LooksByCheck(const Rulebook& book) {
  AskedAs asked_as;
  for (const JointLook& look : book.looks) {
    for (const std::string& id : look.of) asked_as[id] = &look.as;
  }
  return asked_as;
}

// Whether it is a complaint, by the word of a customer.
bool IsComplained(const Diagnosis& diagnosis, const GroundReport& report) {
  if (report.observation < 0) return false;
  const Observation& observation = diagnosis.c->observations[At(report.observation)];
  return observation.complaint && observation.present &&
         diagnosis.book->words.FindTrust(observation.trust)->of_complaints;
}

Said SaidIn(const Diagnosis& diagnosis) {
  Said said;
  const auto add = [&](int event, bool is_known) {
    said.asked.insert(event);
    if (is_known) said.known.insert(event);
  };
  for (std::size_t r = 0; r < diagnosis.ground.reports.size(); ++r) {
    const GroundReport& ground = diagnosis.ground.reports[r];
    const int event = diagnosis.ground.network.reports[r].event;
    if (ground.silence != nullptr) {
      said.unnamed[ground.unnamed] = event;
      continue;
    }
    add(event, !IsComplained(diagnosis, ground));
  }
  for (const CaseFact& unknown : diagnosis.c->unknown) {
    if (const auto event = diagnosis.ground.Find(unknown.statement)) add(*event, true);
  }
  return said;
}

}  // namespace

std::vector<GroundCheck> GroundChecksOf(const Diagnosis& diagnosis) {
  const Said said = SaidIn(diagnosis);
  const Settled settled = SettledBy(diagnosis);
  const bool can_run = CanRun(diagnosis.book->words, diagnosis.c->open);
  const std::set<std::string> open = OpenAccess(diagnosis.book->words, diagnosis.c->open);
  const AskedAs asked_as = LooksByCheck(*diagnosis.book);
  std::vector<GroundCheck> checks;
  std::map<std::string, std::size_t> place_of;  // by key
  for (const Check& check : diagnosis.book->checks) {
    const auto look = asked_as.find(check.id);
    const Check& act = look == asked_as.end() ? check : *look->second;
    if ((act.running && !can_run) || open.contains(act.lost_with)) continue;
    for (std::size_t world = 0; world < diagnosis.worlds.size(); ++world) {
      for (const Match& match : FindMatches(check.when, diagnosis.worlds[world].store)) {
        GroundCheck ground;
        ground.check = &act;
        ground.key = act.id;
        for (const Binding& binding : match.bindings) {
          if (std::count(check.at_once.begin(), check.at_once.end(), binding.variable) > 0) continue;
          ground.bindings.push_back(binding);
          ground.key += ":" + ShowValue(binding.value);
        }
        // The same by another match of the conditions, or in another variant, adds to what is known of it.
        const auto [known, is_new] = place_of.emplace(ground.key, checks.size());
        if (is_new) checks.push_back(std::move(ground));
        GroundCheck& here = checks[known->second];
        here.only_in.push_back(static_cast<int>(world));
        AddFindings(diagnosis, check, match.bindings, said, settled, here);
        if (check.all_good && is_new) {
          const auto whole = diagnosis.ground.Find(Fill(*check.all_good, match.bindings));
          const Trust& trust = *diagnosis.book->words.FindTrust(act.trust);
          if (whole && MayTellWhole(diagnosis.ground.network, *whole, trust, said)) here.all_good = *whole;
        }
      }
    }
  }
  std::vector<int> left_open;
  for (const auto& [finding, event] : said.unnamed) left_open.push_back(finding);
  const SettledOnce once = SettledOnceAnswered(diagnosis, std::move(left_open));
  for (GroundCheck& check : checks) {
    std::sort(check.only_in.begin(), check.only_in.end());
    check.only_in.erase(std::unique(check.only_in.begin(), check.only_in.end()), check.only_in.end());
    if (check.only_in.size() == diagnosis.worlds.size()) check.only_in.clear();
    if (check.findings.size() < 2) check.all_good = -1;  // one answer says it by itself
    if (check.findings.size() > 1) AddSilences(diagnosis, check);
    AddReweighed(diagnosis, check);
    if (!said.unnamed.empty()) AddTakenBack(said.unnamed, once, check);
  }
  std::erase_if(checks, [](const GroundCheck& check) { return check.findings.empty(); });
  return checks;
}

}  // namespace gearwhy
