#include "engine/advise/weigh_checks.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <string_view>
#include <tuple>

#include "engine/model/access.h"
#include "engine/model/policy.h"
#include "engine/model/report_chances.h"
#include "engine/text/at.h"
#include "engine/text/for_order.h"

namespace gearwhy {
namespace {

constexpr double kLeastToBlame = 1e-6;  // of all blame together: less is rounding
constexpr double kLeastShare = 1e-6;    // of an answer that is planned for
// One in so many of the checks that are worked out is there for its bits, whatever it takes.
constexpr std::ptrdiff_t kOfBits = 3;

double SumOf(const std::vector<double>& values) { return std::accumulate(values.begin(), values.end(), 0.0); }

// The part of each fault's blame that goes with an answer: as much as the fault brings the answer about. The
// parts add up to the whole, so that an answer about some other trouble moves nothing.
std::vector<double> PartOf(const std::vector<double>& blame, const EventChances& now, const Answer& answer) {
  std::vector<double> part(blame.size(), 0);
  for (std::size_t i = 0; i < blame.size(); ++i) {
    if (blame[i] > 0) part[i] = blame[i] * answer.p * answer.then.p_by_itself[i] / now.p_by_itself[i];
  }
  return part;
}

const Answers* KnownAnswers(const WeighedChecks* known, const CheckAtAGlance& one) {
  if (known == nullptr) return nullptr;
  for (const WeighedCheck& weighed : known->checks) {
    if (weighed.check == one.check && weighed.asked == one.asked && weighed.answers.exact)
      return &weighed.answers;
  }
  return nullptr;
}

// So many: the first, some that tell most whatever they take; and before them, should there be too much work
// for all, the first look of the plan and the best trial of a complaint.
std::vector<CheckAtAGlance> Chosen(const std::vector<GroundCheck>& checks,
                                   const std::vector<CheckAtAGlance>& glanced, int most,
                                   const Confirmation::Plan& plan) {
  std::vector<CheckAtAGlance> chosen = glanced;
  const auto count = static_cast<std::ptrdiff_t>(std::min(glanced.size(), At(most)));
  const auto by_rate = chosen.begin() + count - count / kOfBits;
  std::stable_sort(by_rate, chosen.end(), [](const CheckAtAGlance& a, const CheckAtAGlance& b) {
    return ForOrder(a.bits) > ForOrder(b.bits);
  });
  chosen.erase(chosen.begin() + count, chosen.end());
  const auto put_first = [&](const auto& is_it) {
    const auto it = std::find_if(glanced.begin(), glanced.end(), is_it);
    if (it == glanced.end()) return;
    std::erase_if(chosen, [&](const CheckAtAGlance& one) { return one.check == it->check; });
    chosen.insert(chosen.begin(), *it);
  };
  put_first([&](const CheckAtAGlance& one) { return !checks[one.check].complained.empty(); });
  if (plan.any) put_first([&](const CheckAtAGlance& one) { return one.check == plan.check; });
  return chosen;
}

// The answers to each of the chosen, taken over where they are known.
std::vector<Answers> AnswersOf(const std::vector<CheckAtAGlance>& chosen, const Words& words,
                               const Network& network, const HowCommon& common, const EventChances& now,
                               const std::vector<GroundCheck>& checks, const WeighedChecks* known_checks,
                               const BeliefLimits& limits) {
  std::vector<Answers> all(chosen.size());
  std::vector<Question> questions;
  std::vector<std::size_t> unknown;  // of the chosen: those whose answers have to be worked out
  for (std::size_t i = 0; i < chosen.size(); ++i) {
    if (const Answers* known = KnownAnswers(known_checks, chosen[i])) {
      all[i] = *known;
      continue;
    }
    unknown.push_back(i);
    questions.push_back(AnswersTo(checks[chosen[i].check], chosen[i].asked,
                                  *words.FindTrust(checks[chosen[i].check].check->trust), common));
  }
  std::vector<Answers> worked_out = ComputeAnswers(network, now, questions, limits);
  for (std::size_t u = 0; u < unknown.size(); ++u) all[unknown[u]] = std::move(worked_out[u]);
  return all;
}

// Which share of the blame lies elsewhere after the answer, with nothing as one of those that may be to
// blame: half the sum of what each gains or loses, the mean over the answers.
double BlameMoved(const std::vector<double>& blame, const EventChances& now, const Answers& answers) {
  const double whole = std::max(1.0, SumOf(blame));
  const double nothing = std::max(0.0, 1 - SumOf(blame));
  double mean = 0;
  const auto add = [&](const Answer& answer) {
    if (answer.p <= 0) return;
    const std::vector<double> part = PartOf(blame, now, answer);
    const double sum = SumOf(part) / answer.p, whole_then = std::max(1.0, sum);
    double moved = std::abs(std::max(0.0, 1 - sum) - nothing);
    for (std::size_t i = 0; i < blame.size(); ++i)
      moved += std::abs(part[i] / answer.p / whole_then - blame[i] / whole);
    mean += answer.p * moved / 2;
  };
  for (const Answer& answer : answers.answers) add(answer);
  add(answers.rest);
  return mean;
}

// The minutes and checks until the cause has been seen, with this check first.
void TellWayToCause(const std::vector<double>& blame, const EventChances& now,
                    const Confirmation& confirmation, const std::vector<char>& opened, WeighedCheck& entry) {
  const Look* look = nullptr;
  for (const Look& other : confirmation.looks()) {
    if (other.check == entry.check) look = &other;
  }
  const double whole = SumOf(blame);
  entry.minutes_to_cause = entry.minutes;
  entry.checks_to_cause = 1;
  // What an answer has shown needs no more looks. `seen`: the finding that it reports, -1 for none.
  const auto add = [&](const Answer& answer, int seen, bool several) {
    std::vector<double> part = PartOf(blame, now, answer);
    for (const Sight& sight : look != nullptr ? look->sights : std::vector<Sight>{}) {
      if (sight.finding == seen) part[At(sight.fault)] = 0;
      // Where several are reported, this one is among them at least as often as it is seen at all.
      if (several) part[At(sight.fault)] *= 1 - sight.p_seen;
    }
    const double share = SumOf(part) / whole;
    if (share <= kLeastShare) return;
    const Confirmation::Plan plan = confirmation.Make(part, opened);
    entry.minutes_to_cause += share * plan.minutes;
    entry.checks_to_cause += share * plan.looks;
  };
  for (std::size_t a = 0; a < entry.answers.answers.size(); ++a)
    add(entry.answers.answers[a], a < entry.asked.size() ? entry.asked[a] : -1, false);
  add(entry.answers.rest, -1, true);
}

// Of the checks that lead to the cause equally soon the handiest come first, those before the others that
// move enough by themselves: what tells nothing is no better for being handy.
void HandiestFirst(const std::vector<GroundCheck>& checks, std::vector<WeighedCheck>& soonest_first) {
  const auto handiness = [&](const WeighedCheck& entry) {
    return std::tuple(entry.minutes - checks[entry.check].check->minutes, entry.minutes, entry.check);
  };
  for (auto first = soonest_first.begin(); first != soonest_first.end();) {
    const double up_to = first->minutes_to_cause * (1 + kEquallySoon);
    const auto end = std::find_if(first, soonest_first.end(),
                                  [&](const WeighedCheck& entry) { return entry.minutes_to_cause > up_to; });
    const auto that_move = std::stable_partition(
        first, end, [](const WeighedCheck& entry) { return entry.moves >= kLeastMoved; });
    std::sort(first, that_move,
              [&](const WeighedCheck& a, const WeighedCheck& b) { return handiness(a) < handiness(b); });
    first = end;
  }
}

}  // namespace

double BitsAtAGlance(const Network& network, const EventChances& now, int finding, const Trust& trust,
                     const HowCommon& common) {
  const Event& event = network.events[At(finding)];
  double p_absent = 1 - event.p_unexplained;
  for (const Cause& cause : event.causes) {
    const double p = now.p_event[At(cause.event)];
    if (p > 0) p_absent *= 1 - cause.p_how_often * p;  // NaN: no report bears on it
  }
  const ReportChances as_present = ChancesOfReport(trust, common.AtAGlance(finding), true);
  const auto reported = [&](double p_present) {
    return as_present.p_if_present * p_present + as_present.p_if_absent * (1 - p_present);
  };
  const double now_bits = BinaryEntropy(reported(1 - p_absent));
  double bits = 0;
  for (const Cause& cause : event.causes) {
    const double p = now.p_event[At(cause.event)];
    if (!(p > 1e-4 && p < 1 - 1e-4)) continue;
    const double without = p_absent / (1 - cause.p_how_often * p);
    const double if_present = BinaryEntropy(reported(1 - without * (1 - cause.p_how_often)));
    const double if_absent = BinaryEntropy(reported(1 - without));
    bits += now_bits - p * if_present - (1 - p) * if_absent;
  }
  return std::max(0.0, bits);
}

double CheckAtAGlance::rate() const { return bits / std::max(1.0, minutes); }

std::vector<CheckAtAGlance> GlanceAt(const Words& words, const Network& network, const HowCommon& common,
                                     const EventChances& now, const std::vector<GroundCheck>& checks,
                                     const std::vector<std::string>& open_names) {
  const std::set<std::string> open = OpenAccess(words, open_names);
  std::vector<CheckAtAGlance> glanced;
  for (std::size_t c = 0; c < checks.size(); ++c) {
    const Check& check = *checks[c].check;
    const Trust& trust = *words.FindTrust(check.trust);
    CheckAtAGlance one{c, {}, check.minutes + MinutesToReach(words, check.access, open), 0};
    std::vector<std::pair<double, int>> by_bits;
    for (const int finding : checks[c].findings)
      by_bits.emplace_back(-ForOrder(BitsAtAGlance(network, now, finding, trust, common)), finding);
    std::stable_sort(by_bits.begin(), by_bits.end());
    for (const auto& [minus_bits, finding] : by_bits) {
      one.asked.push_back(finding);
      one.bits -= minus_bits;
    }
    glanced.push_back(std::move(one));
  }
  std::stable_sort(glanced.begin(), glanced.end(), [](const CheckAtAGlance& a, const CheckAtAGlance& b) {
    return ForOrder(a.rate()) > ForOrder(b.rate());
  });
  return glanced;
}

Question AnswersTo(const GroundCheck& check, const std::vector<int>& findings, const Trust& trust,
                   const HowCommon& common) {
  const auto report = [&](int finding, bool present) {
    const ReportChances chances = ChancesOfReport(trust, common.Of(finding), present);
    return Report{finding, present, chances.p_if_present, chances.p_if_absent};
  };
  Question question;
  const auto add_reweighed = [&](int alone) {
    Posed& posed = question.back();
    if (const auto it = check.reweighed.find(alone); it != check.reweighed.end())
      posed.reweighed = it->second;
    if (const auto it = check.taken_back.find(alone); it != check.taken_back.end())
      posed.taken_back = it->second;
  };
  for (const int alone : findings) {
    question.emplace_back();
    for (const int finding : findings) {
      const std::pair silenced(alone, finding);
      if (std::count(check.silences.begin(), check.silences.end(), silenced) == 0)
        question.back().reports.push_back(report(finding, finding == alone));
    }
    add_reweighed(alone);
  }
  question.emplace_back();
  if (check.all_good >= 0) {
    question.back().reports.push_back(report(check.all_good, false));
  } else {
    for (const int finding : findings) question.back().reports.push_back(report(finding, false));
  }
  add_reweighed(-1);
  return question;
}

WeighedChecks WeighChecks(const Words& words, const Network& network, const HowCommon& common,
                          const EventChances& now, const std::vector<GroundCheck>& checks,
                          const std::vector<std::string>& open_names, const WeighOptions& options,
                          const BeliefLimits& limits) {
  const std::set<std::string> open_set = OpenAccess(words, open_names);
  const Confirmation confirmation(words, network, checks);
  const std::vector<char> open = confirmation.Open(open_set);
  std::vector<double> blame = BlameOf(network, now.p_by_itself);
  if (SumOf(blame) < kLeastToBlame) blame.assign(blame.size(), 0);
  const Confirmation::Plan plan = confirmation.Make(blame, open);
  WeighedChecks weighed;
  weighed.minutes_to_cause = plan.minutes;
  weighed.has_look = plan.any;
  weighed.first_look = plan.check;

  const std::vector<CheckAtAGlance> chosen =
      Chosen(checks, GlanceAt(words, network, common, now, checks, open_names), options.worked_out, plan);
  std::vector<Answers> all = AnswersOf(chosen, words, network, common, now, checks, options.known, limits);
  std::vector<int> faults;
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    if (network.events[i].type == EventType::kFault) faults.push_back(static_cast<int>(i));
  }
  for (std::size_t i = 0; i < chosen.size(); ++i) {
    WeighedCheck entry;
    entry.check = chosen[i].check;
    entry.asked = chosen[i].asked;
    entry.answers = std::move(all[i]);
    entry.minutes = entry.minutes_beside_repair = chosen[i].minutes;
    entry.bits = entry.answers.exact ? BitsAbout(faults, now, entry.answers) : chosen[i].bits;
    if (entry.answers.exact) entry.moves = BlameMoved(blame, now, entry.answers);
    if (plan.any) {
      const std::vector<char> opened = confirmation.With(open, checks[entry.check].check->access);
      TellWayToCause(blame, now, confirmation, opened, entry);
      if (entry.check == plan.check && plan.minutes < entry.minutes_to_cause) {
        entry.minutes_to_cause = plan.minutes;
        entry.checks_to_cause = plan.looks;
      }
    }
    weighed.checks.push_back(std::move(entry));
  }
  const auto by = [&](const WeighedCheck& entry) {
    const double bits_a_minute = entry.bits / std::max(1.0, entry.minutes);
    return std::tuple(plan.any ? ForOrder(entry.minutes_to_cause) : 0, -ForOrder(bits_a_minute),
                      std::string_view(checks[entry.check].key));
  };
  std::stable_sort(weighed.checks.begin(), weighed.checks.end(),
                   [&](const WeighedCheck& a, const WeighedCheck& b) { return by(a) < by(b); });
  if (plan.any) HandiestFirst(checks, weighed.checks);
  return weighed;
}

}  // namespace gearwhy
