#include "engine/advise/interview.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/model/needs.h"

namespace gearwhy {
namespace {

constexpr int kLookedThrough = 60;  // checks

std::size_t At(int index) { return static_cast<std::size_t>(index); }

// What the check measures here, as far as the case has no number for it yet.
std::vector<Measurement> MeasurementsOf(const Diagnosis& diagnosis, const CaseChecks& checks,
                                        const std::string& key) {
  std::vector<Measurement> measures;
  for (const GroundCheck& ground : checks.ground) {
    if (ground.key != key) continue;
    for (const Pattern& pattern : ground.check->measures) {
      const Word& word = *diagnosis.book->words.Find(pattern.name);
      Measurement measure;
      Pattern filled = pattern;
      for (std::size_t i = 0; i < word.slots.size(); ++i) {
        if (!std::holds_alternative<Anything>(filled.terms[i])) continue;
        filled.terms[i].emplace<Value>(0.0);
        measure.quantities.push_back(static_cast<int>(i));
      }
      measure.fact = Fill(filled, ground.bindings);
      const bool known =
          std::any_of(diagnosis.c->facts.begin(), diagnosis.c->facts.end(), [&](const CaseFact& fact) {
            Statement blank = fact.statement;
            if (blank.name != measure.fact.name) return false;
            for (const int i : measure.quantities) blank.slots[At(i)] = 0.0;
            return blank == measure.fact;
          });
      if (!known) measures.push_back(std::move(measure));
    }
    break;
  }
  return measures;
}

// Where the vehicle runs for the check, under which circumstances to try it.
void TellUnder(const Diagnosis& diagnosis, NextQuestion& question) {
  const Rulebook& book = *diagnosis.book;
  const auto check = std::find_if(book.checks.begin(), book.checks.end(),
                                  [&](const Check& c) { return c.id == question.check.check; });
  if (check == book.checks.end() || !check->running) return;
  std::set<std::string> known;
  for (const AskedFinding& finding : question.check.findings) {
    for (const std::string& name : ComesUnder(book.words, finding.event, ReportedIn(diagnosis.store)))
      known.insert(name);
  }
  for (const std::string& name : known) {
    const Circumstance& circumstance = book.words.circumstances.find(name)->second;
    if (known.contains(circumstance.opposite)) continue;  // both: it cannot be tried at once
    question.under.push_back(name);
    const Circumstance& other = book.words.circumstances.find(circumstance.opposite)->second;
    question.how_under += fmt::format(
        "{}{}{}The answer counts as found {}; where it was otherwise, say so behind it, as in 2 {}.",
        question.how_under.empty() ? "" : " ", circumstance.how, circumstance.how.empty() ? "" : " ",
        circumstance.says, other.name);
  }
}

// The circumstances of an answer: those named, and else those under which it was to be tried.
std::vector<std::string> UnderOf(const Words& words, const NextQuestion& question, const Reply& reply) {
  std::set<std::string> under(reply.under.begin(), reply.under.end());
  for (const std::string& name : question.under) {
    if (!under.contains(words.circumstances.find(name)->second.opposite)) under.insert(name);
  }
  return {under.begin(), under.end()};
}

constexpr std::size_t kWatched = 3;  // of the likeliest faults

double ChanceOf(const FaultChances& faults, const std::string& fault) {
  const auto it =
      std::find_if(faults.begin(), faults.end(), [&](const FaultChance& f) { return f.fault == fault; });
  return it == faults.end() ? 0 : it->chance;
}

// The key of the first look of the shortest way, where what it shows is likely; else empty.
std::string LikelyLook(const Diagnosis& diagnosis, const CaseChecks& checks) {
  if (!checks.weighed.has_look) return "";
  const GroundCheck& look = checks.ground[checks.weighed.first_look];
  const auto& network = diagnosis.ground.network;
  for (const int finding : look.findings) {
    for (const Cause& cause : network.events[At(finding)].causes) {
      const bool is_fault = network.events[At(cause.event)].type == EventType::kFault;
      if (is_fault && diagnosis.chances.p_event[At(cause.event)] >= kLikely) return look.key;
    }
  }
  return "";
}

}  // namespace

bool WorthAsking(double bits, double minutes) {
  return bits >= kLeastBits && bits >= kLeastBitsPerMinute * std::max(minutes, 1.0);
}

NextStep FindNextStep(const Diagnosis& diagnosis, const CaseChecks& case_checks,
                      const InterviewState& state) {
  // By what is not known no question can be chosen.
  if (!ExactnessOf(diagnosis).IsKnown()) return {};
  const Words& words = diagnosis.book->words;
  const bool unit_out = UnitIsOut(words, diagnosis.c->open);
  std::vector<NextCheck> checks = FindNextChecks(diagnosis, case_checks, kLookedThrough);
  std::erase_if(checks, [&](const NextCheck& check) { return state.passed.contains(check.key); });
  const auto make = [&](NextStep::Kind kind, const NextCheck& check) {
    NextStep step{kind, {check, {}}};
    TellUnder(diagnosis, step.question);
    if (!state.measured.contains(check.key))
      step.question.measures = MeasurementsOf(diagnosis, case_checks, check.key);
    // First before second, as a list is read; what tells most may stand anywhere in it.
    std::vector<AskedFinding>& findings = step.question.check.findings;
    std::sort(findings.begin(), findings.end(), [&](const AskedFinding& a, const AskedFinding& b) {
      return diagnosis.ground.Find(a.event) < diagnosis.ground.Find(b.event);
    });
    return step;
  };
  // What is left of a check that is being made costs nothing more.
  for (const NextCheck& check : checks) {
    if (check.key == state.going_on) return make(NextStep::Kind::kAsk, check);
  }
  const std::string likely_look = LikelyLook(diagnosis, case_checks);
  const NextCheck* best_out = nullptr;
  const NextCheck* best_in = nullptr;
  bool out_comes_first = false;  // of those worth asking
  for (const NextCheck& check : checks) {
    if (!state.ask_anything && !WorthAsking(check.bits, check.minutes) && check.key != likely_look) continue;
    const NextCheck*& best = check.needs_unit_out && !unit_out ? best_out : best_in;
    if (best == nullptr) best = &check;
    if (best_in == nullptr) out_comes_first = true;
  }
  // What cannot be worked out is no reason to take it out.
  const double p_out = case_checks.outcome ? case_checks.outcome->marked : 0;
  const bool may_stay_in =
      p_out < kMayStayIn && best_in != nullptr && WorthAsking(best_in->bits, best_in->minutes);
  if (best_in != nullptr && (!out_comes_first || state.keep_unit_in || may_stay_in))
    return make(NextStep::Kind::kAsk, *best_in);
  const bool stays_in = state.keep_unit_in || (p_out <= kLeaveInUpTo && !state.ask_anything);
  if (best_out != nullptr && !stays_in) return make(NextStep::Kind::kUnitOut, *best_out);
  return {};
}

bool SeenDirectly(const Diagnosis& diagnosis, const RankReport& report) {
  const auto root = std::find_if(report.suspects.begin(), report.suspects.end(),
                                 [](const Suspect& suspect) { return suspect.role != Role::kConsequence; });
  if (root == report.suspects.end() || root->chance < 0.95) return false;
  for (const Unexplained& unexplained : report.unexplained) {
    if (unexplained.complaint) return false;
  }
  const auto& network = diagnosis.ground.network;
  for (std::size_t r = 0; r < network.reports.size(); ++r) {
    const Report& seen = network.reports[r];
    const int observation = diagnosis.ground.reports[r].observation;
    if (!seen.present || observation < 0) continue;
    // Somebody looked at the part itself.
    const std::string& trust = diagnosis.c->observations[At(observation)].trust;
    if (!diagnosis.book->words.FindTrust(trust)->direct) continue;
    const Event& event = network.events[At(seen.event)];
    if (event.id == root->fault) return true;
    if (event.type != EventType::kFinding) continue;
    for (const Cause& cause : event.causes) {
      if (network.events[At(cause.event)].id == root->fault && cause.p_how_often >= 0.8) return true;
    }
  }
  return false;
}

std::optional<CaseChange> OpenedBy(const Diagnosis& diagnosis, const std::string& access) {
  const Words& words = diagnosis.book->words;
  const auto known = words.access.find(access);
  // The root of the tree is where everything begins.
  if (known == words.access.end() || known->second.from.empty()) return std::nullopt;
  if (OpenAccess(words, diagnosis.c->open).contains(access)) return std::nullopt;
  CaseChange change;
  change.list = CaseList::kOpen;
  change.access = access;
  return change;
}

std::vector<CaseChange> ChangesOf(const Diagnosis& diagnosis, const NextQuestion& question,
                                  const Reply& reply) {
  std::vector<CaseChange> changes;
  const auto named = [](const std::vector<int>& indices, std::size_t i) {
    return std::find(indices.begin(), indices.end(), static_cast<int>(i)) != indices.end();
  };
  const std::vector<std::string> under = UnderOf(diagnosis.book->words, question, reply);
  bool looked = false;
  if (question.check.all_good && reply.present.empty() && reply.unknown.empty()) {
    CaseChange change;
    change.statement = *question.check.all_good;
    change.present = false;
    change.trust = question.check.trust;
    change.under = under;
    changes.push_back(std::move(change));
    if (auto opened = OpenedBy(diagnosis, question.check.access_name)) changes.push_back(std::move(*opened));
    return changes;
  }
  std::vector<Implied> known;
  for (const int i : reply.present) {
    const std::vector<Implied> implied = ImpliedBy(*diagnosis.book, question.check.findings[At(i)].event);
    known.insert(known.end(), implied.begin(), implied.end());
  }
  for (std::size_t i = 0; i < question.check.findings.size(); ++i) {
    CaseChange change;
    change.statement = question.check.findings[i].event;
    if (named(reply.unknown, i)) {
      change.list = CaseList::kUnknown;
    } else {
      const bool present = named(reply.present, i);
      if (!present && CannotTell(diagnosis.book->words, change.statement, known)) continue;
      change.list = CaseList::kObserved;
      change.present = present;
      change.trust = question.check.trust;
      change.under = under;
      looked = true;
    }
    changes.push_back(std::move(change));
  }
  if (looked) {
    if (auto opened = OpenedBy(diagnosis, question.check.access_name)) changes.push_back(std::move(*opened));
  }
  return changes;
}

FaultChances FaultChancesOf(const Diagnosis& diagnosis) {
  FaultChances faults;
  for (std::size_t i = 0; i < diagnosis.ground.events.size(); ++i) {
    const Event& event = diagnosis.ground.network.events[i];
    const double chance = diagnosis.chances.p_event[i];
    if (event.type == EventType::kFault && !std::isnan(chance))
      faults.push_back({event.id, diagnosis.ground.events[i].statement, chance});
  }
  std::sort(faults.begin(), faults.end(), [](const FaultChance& a, const FaultChance& b) {
    return a.chance != b.chance ? a.chance > b.chance : a.fault < b.fault;
  });
  return faults;
}

std::vector<MovedSuspect> MovedSuspects(const FaultChances& before, const Diagnosis& after) {
  const FaultChances now = FaultChancesOf(after);
  FaultChances shown(now.begin(), now.begin() + static_cast<std::ptrdiff_t>(std::min(now.size(), kWatched)));
  const FaultChance* fallen = nullptr;
  double fall = 0;
  for (std::size_t i = 0; i < before.size() && i < kWatched; ++i) {
    const bool is_shown = std::any_of(shown.begin(), shown.end(),
                                      [&](const FaultChance& f) { return f.fault == before[i].fault; });
    const double lost = before[i].chance - ChanceOf(now, before[i].fault);
    if (is_shown || lost <= fall) continue;
    fall = lost;
    fallen = &before[i];
  }
  if (fallen != nullptr) shown.push_back(*fallen);
  std::vector<MovedSuspect> moved;
  for (const FaultChance& one : shown) {
    const double was = ChanceOf(before, one.fault), is = ChanceOf(now, one.fault);
    if (std::abs(is - was) < 0.005) continue;
    moved.push_back({one.fault, one.statement, was, is});
  }
  return moved;
}

Standing Conclude(const Diagnosis& diagnosis, const CaseChecks& checks, const RankReport& report,
                  NextStep::Kind kind) {
  const Words& words = diagnosis.book->words;
  Standing standing;
  standing.kind = kind;
  standing.exactness = report.exactness;
  standing.unexplained = report.unexplained;
  standing.unit_is_out = UnitIsOut(words, diagnosis.c->open);
  for (const Suspect& suspect : report.suspects) {
    if (suspect.role == Role::kConsequence) continue;
    standing.lead = suspect;
    break;
  }
  for (const Suspect& suspect : report.suspects) {
    const bool is_lead = standing.lead && suspect.fault == standing.lead->fault;
    if (!is_lead && suspect.chance >= kLikely && !suspect.repair.empty()) standing.besides.push_back(suspect);
  }
  if (!report.where.empty() && (!standing.lead || report.where[0].chance > standing.lead->chance)) {
    standing.where = report.where[0];
  }
  if (!report.exactness.known) return standing;
  if (kind == NextStep::Kind::kUnitOut || kind == NextStep::Kind::kEnough)
    standing.pull = DecidePull(diagnosis, checks);
  for (const NextCheck& check : FindNextChecks(diagnosis, checks, kLookedThrough)) {
    if (!standing.settles || check.bits > standing.settles->bits) standing.settles = check;
  }
  const bool settled = kind == NextStep::Kind::kSettled;
  if (settled || (standing.settles && standing.settles->bits < kLeastBits)) standing.settles.reset();
  if (!standing.lead) return standing;
  const auto lead = std::find_if(
      diagnosis.ground.events.begin(), diagnosis.ground.events.end(), [&](const GroundEvent& event) {
        return event.word->type == WordType::kFault && StatementId(event.statement) == standing.lead->fault;
      });
  if (lead == diagnosis.ground.events.end() || lead->repair.empty()) return standing;
  // The same checks with everything open that the repair opens.
  const std::set<std::string> open = OpenAccess(words, diagnosis.c->open);
  std::vector<std::string> opened = diagnosis.c->open;
  opened.push_back(lead->repair);
  const auto runs = [&](const NextCheck& next) {
    return std::any_of(checks.ground.begin(), checks.ground.end(), [&](const GroundCheck& ground) {
      return ground.key == next.key && ground.check->running;
    });
  };
  for (const NextCheck& check :
       FindNextChecks(diagnosis, WeighOpened(diagnosis, checks, opened), kLookedThrough)) {
    if (check.minutes > check.own_minutes || check.bits < kLeastBits || standing.while_open.size() == 4)
      continue;
    if (!settled && open.contains(check.access_name)) continue;  // it could have been asked
    if (standing.settles && standing.settles->key == check.key) continue;
    const auto access = words.access.find(check.access_name);
    if (access == words.access.end() || access->second.from.empty()) continue;
    if (runs(check) && !CanRun(words, opened)) continue;
    standing.while_open.push_back(check);
  }
  return standing;
}

}  // namespace gearwhy
