#include "engine/report/weigh_checks.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace gearwhy {
namespace {

std::size_t At(int index) { return static_cast<std::size_t>(index); }

struct Glanced {
  std::size_t check = 0;
  std::vector<int> asked;
  double minutes = 0;
  double rate = 0;
};

// The part of each fault's blame that goes with an answer: as much as the fault brings the answer about. The
// parts add up to the whole, so that an answer about some other trouble moves nothing.
std::vector<double> PartOf(const std::vector<double>& blame, const EventChances& now, const Answer& answer) {
  std::vector<double> part(blame.size(), 0);
  for (std::size_t i = 0; i < blame.size(); ++i) {
    if (blame[i] > 0) part[i] = blame[i] * answer.p * answer.then.p_by_itself[i] / now.p_by_itself[i];
  }
  return part;
}

const Answers* KnownAnswers(const WeighedChecks* known, const Glanced& one) {
  if (known == nullptr) return nullptr;
  for (const WeighedCheck& weighed : known->checks) {
    if (weighed.check == one.check && weighed.asked == one.asked && weighed.answers.exact)
      return &weighed.answers;
  }
  return nullptr;
}

}  // namespace

double BitsAtAGlance(const Network& network, const EventChances& now, int finding, const Trust& trust) {
  const Event& event = network.events[At(finding)];
  double p_absent = 1 - event.p_unexplained;
  for (const Cause& cause : event.causes) {
    const double p = now.p_event[At(cause.event)];
    if (p > 0) p_absent *= 1 - cause.p_how_often * p;  // NaN: no report bears on it
  }
  const auto reported = [&](double p_present) {
    return trust.p_present_if_present * p_present + trust.p_present_if_absent * (1 - p_present);
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

WeighedChecks WeighChecks(const Words& words, const Network& network, const EventChances& now,
                          const std::vector<GroundCheck>& checks, const std::vector<std::string>& open_names,
                          const WeighOptions& options, const BeliefLimits& limits) {
  const std::set<std::string> open_set = OpenAccess(words, open_names);
  const Confirmation confirmation(words, network, checks);
  const std::vector<char> open = confirmation.Open(open_set);
  const std::vector<double> blame = BlameOf(network, now.p_by_itself);
  const Confirmation::Plan plan = confirmation.Make(blame, open);
  WeighedChecks weighed;
  weighed.minutes_to_cause = plan.minutes;
  weighed.has_look = plan.any;
  weighed.first_look = plan.check;

  std::vector<Glanced> glanced;
  for (std::size_t c = 0; c < checks.size(); ++c) {
    const Check& check = *checks[c].check;
    const Trust& trust = *words.FindTrust(check.trust);
    Glanced one{c, {}, check.minutes + MinutesToReach(words, check.access, open_set), 0};
    std::vector<std::pair<double, int>> by_bits;
    for (const int finding : checks[c].findings)
      by_bits.emplace_back(-BitsAtAGlance(network, now, finding, trust), finding);
    std::stable_sort(by_bits.begin(), by_bits.end());
    for (const auto& [minus_bits, finding] : by_bits) {
      if (!one.asked.empty() &&
          (static_cast<int>(one.asked.size()) >= options.findings || -minus_bits < 0.002))
        break;
      one.asked.push_back(finding);
      one.rate -= minus_bits;
    }
    one.rate /= std::max(1.0, one.minutes);
    glanced.push_back(std::move(one));
  }
  std::stable_sort(glanced.begin(), glanced.end(),
                   [](const Glanced& a, const Glanced& b) { return a.rate > b.rate; });
  const std::size_t count = std::min(glanced.size(), At(options.worked_out));
  std::vector<Glanced> chosen(glanced.begin(), glanced.begin() + static_cast<std::ptrdiff_t>(count));
  // The first look comes first, should there be too much work for all.
  if (plan.any) {
    const auto is_first_look = [&](const Glanced& one) { return one.check == plan.check; };
    std::erase_if(chosen, is_first_look);
    const auto first_look = std::find_if(glanced.begin(), glanced.end(), is_first_look);
    if (first_look != glanced.end()) chosen.insert(chosen.begin(), *first_look);
  }

  std::vector<Answers> all(chosen.size());
  std::vector<Question> questions;
  std::vector<std::size_t> unknown;  // of the chosen: those whose answers have to be worked out
  for (std::size_t i = 0; i < chosen.size(); ++i) {
    const Glanced& one = chosen[i];
    if (const Answers* known = KnownAnswers(options.known, one)) {
      all[i] = *known;
      continue;
    }
    unknown.push_back(i);
    const Trust& trust = *words.FindTrust(checks[one.check].check->trust);
    Question question;
    for (const int finding : one.asked)
      question.push_back({finding, trust.p_present_if_present, trust.p_present_if_absent});
    questions.push_back(std::move(question));
  }
  std::vector<Answers> worked_out = ComputeAnswers(network, now, questions, limits);
  for (std::size_t u = 0; u < unknown.size(); ++u) all[unknown[u]] = std::move(worked_out[u]);

  std::vector<int> faults;
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    if (network.events[i].type == EventType::kFault) faults.push_back(static_cast<int>(i));
  }
  const double whole = std::accumulate(blame.begin(), blame.end(), 0.0);
  for (std::size_t i = 0; i < chosen.size(); ++i) {
    WeighedCheck entry;
    entry.check = chosen[i].check;
    entry.asked = chosen[i].asked;
    entry.minutes = chosen[i].minutes;
    entry.answers = std::move(all[i]);
    entry.bits = entry.answers.exact ? BitsAbout(faults, now, entry.answers)
                                     : chosen[i].rate * std::max(1.0, entry.minutes);
    const std::vector<char> opened = confirmation.With(open, checks[entry.check].check->access);
    const Look* look = nullptr;
    for (const Look& other : confirmation.looks()) {
      if (other.check == entry.check) look = &other;
    }
    entry.minutes_to_cause = plan.any ? entry.minutes : 0;
    for (std::size_t a = 0; a < entry.answers.answers.size() && whole > 0; ++a) {
      std::vector<double> part = PartOf(blame, now, entry.answers.answers[a]);
      if (look != nullptr && a < entry.asked.size()) {
        for (const Sight& sight : look->sights) {  // what this answer has shown needs no more looks
          if (entry.asked[a] == sight.finding) part[At(sight.fault)] = 0;
        }
      }
      const double share = std::accumulate(part.begin(), part.end(), 0.0) / whole;
      if (share > 1e-6) entry.minutes_to_cause += share * confirmation.Make(part, opened).minutes;
    }
    if (plan.any && entry.check == plan.check)
      entry.minutes_to_cause = std::min(entry.minutes_to_cause, plan.minutes);
    weighed.checks.push_back(std::move(entry));
  }
  const auto score = [&](const WeighedCheck& entry) {
    const bool by_minutes = options.order == CheckOrder::kMinutesToCause && plan.any;
    return by_minutes ? -entry.minutes_to_cause : entry.bits / std::max(1.0, entry.minutes);
  };
  std::stable_sort(weighed.checks.begin(), weighed.checks.end(),
                   [&](const WeighedCheck& a, const WeighedCheck& b) {
                     const double score_a = score(a);
                     const double score_b = score(b);
                     if (score_a != score_b) return score_a > score_b;
                     return checks[a.check].key < checks[b.check].key;
                   });
  return weighed;
}

}  // namespace gearwhy
