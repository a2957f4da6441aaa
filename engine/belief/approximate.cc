#include "engine/belief/approximate.h"

#include <algorithm>
#include <bit>
#include <cassert>
#include <cmath>
#include <cstdint>
#include <limits>
#include <memory>
#include <random>
#include <tuple>

#include "engine/belief/compiled_network.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr double kMinusInfinity = -std::numeric_limits<double>::infinity();
constexpr int kPilotRounds = 4;
constexpr int kPilotDraws = 2'000;
constexpr double kLargestTilt = 1e8;

// The seed is a digest of every number in the network (FNV-1a over 64-bit words).
uint64_t Seed(const Network& network) {
  uint64_t hash = 14695981039346656037ULL;
  const auto mix = [&](uint64_t word) { hash = (hash ^ word) * 1099511628211ULL; };
  for (const Event& event : network.events) {
    mix(std::bit_cast<uint64_t>(event.p_unexplained));
    for (const Cause& cause : event.causes) {
      mix(static_cast<uint64_t>(cause.event));
      mix(std::bit_cast<uint64_t>(cause.p_how_often));
    }
  }
  for (const Report& report : network.reports) {
    mix(static_cast<uint64_t>(report.event));
    mix(std::bit_cast<uint64_t>(report.p_if_present));
    mix(std::bit_cast<uint64_t>(report.p_if_absent));
  }
  return hash ^ (hash >> 32);
}

class Uniform {
 public:
  explicit Uniform(uint64_t seed) : random_(seed) {}
  double operator()() { return static_cast<double>(random_() >> 11) * 0x1p-53; }

 private:
  std::mt19937_64 random_;
};

struct StruckLink {
  int cause = 0;
  int effect = 0;
  double q = 0;
  double average = 0;  // what was ORed into the effect's leak
};

// The proposal: the network with links struck and causes tilted.
struct Proposal {
  Network network;
  std::vector<StruckLink> struck;
  std::vector<int> changed;  // effects of struck links, ascending
  std::vector<double> tilt;  // by event: factor on its odds; 1 is none
};

// Chances before any report as if causes were independent: good enough for an average contribution.
std::vector<double> RoughChances(const Network& network) {
  std::vector<double> p(network.events.size(), 0);
  for (int event : CausesFirst(network)) {
    double absent = 1 - network.events[At(event)].p_unexplained;
    for (const Cause& cause : network.events[At(event)].causes)
      absent *= 1 - cause.p_how_often * p[At(cause.event)];
    p[At(event)] = 1 - absent;
  }
  return p;
}

struct LinkPlace {
  int effect = -1;
  size_t cause = 0;  // in the effect's list
};

// The weakest uncertain links into events of the largest clique; if it has too few, out of them. First those
// whose cause has other effects, for they close loops. At most `most`, at least one, none if there is none.
std::vector<LinkPlace> WeakestLinks(const Network& network, const CompiledNetwork& compiled,
                                    const std::vector<double>& p, const std::vector<int>& effects,
                                    std::size_t most) {
  std::vector<char> in_clique(network.events.size(), 0);
  for (int event : compiled.widest()) in_clique[At(event)] = 1;
  struct Candidate {
    bool only_out;
    bool closes_nothing;
    double strength;
    LinkPlace place;
  };
  std::vector<Candidate> candidates;
  for (size_t e = 0; e < network.events.size(); ++e) {
    if (compiled.place(static_cast<int>(e)) == CompiledNetwork::Place::kAbsent) continue;
    for (size_t k = 0; k < network.events[e].causes.size(); ++k) {
      const Cause& cause = network.events[e].causes[k];
      if (compiled.place(cause.event) != CompiledNetwork::Place::kVariable) continue;
      if (!in_clique[e] && !in_clique[At(cause.event)]) continue;
      candidates.push_back({!in_clique[e],
                            effects[At(cause.event)] <= 1,
                            cause.p_how_often * p[At(cause.event)],
                            {static_cast<int>(e), k}});
    }
  }
  std::stable_sort(candidates.begin(), candidates.end(), [](const Candidate& a, const Candidate& b) {
    return std::tie(a.only_out, a.closes_nothing, a.strength) <
           std::tie(b.only_out, b.closes_nothing, b.strength);
  });
  std::vector<LinkPlace> weakest;
  for (size_t i = 0; i < std::min(most, candidates.size()); ++i) weakest.push_back(candidates[i].place);
  return weakest;
}

Proposal Thin(const Network& network, const BeliefLimits& limits) {
  const std::vector<double> rough = RoughChances(network);
  Proposal proposal;
  proposal.network = network;
  proposal.tilt.assign(network.events.size(), 1.0);
  std::vector<int> effects(network.events.size(), 0);
  for (const Event& event : network.events) {
    for (const Cause& cause : event.causes) ++effects[At(cause.event)];
  }
  while (true) {
    CompiledNetwork::Options options;
    options.merge = false;
    options.for_draws = true;
    const CompiledNetwork compiled(proposal.network, limits, options);
    if (compiled.fits()) return proposal;
    // The wider, the more at once: every order costs some milliseconds.
    const int over = std::max(1, compiled.width() - limits.max_width);
    std::vector<LinkPlace> weakest = WeakestLinks(proposal.network, compiled, rough, effects, At(over));
    // The last of an event's causes first, so that the places of the others stay what they are.
    std::sort(weakest.begin(), weakest.end(),
              [](const LinkPlace& a, const LinkPlace& b) { return a.cause > b.cause; });
    for (const LinkPlace& place : weakest) {
      const int effect = place.effect;
      Event& event = proposal.network.events[At(effect)];
      const Cause cause = event.causes[place.cause];
      const double average = cause.p_how_often * rough[At(cause.event)];
      proposal.struck.push_back({cause.event, effect, cause.p_how_often, average});
      proposal.changed.push_back(effect);
      --effects[At(cause.event)];
      event.causes.erase(event.causes.begin() + static_cast<std::ptrdiff_t>(place.cause));
      event.p_unexplained += average * (1 - event.p_unexplained);
    }
    std::sort(proposal.changed.begin(), proposal.changed.end());
    proposal.changed.erase(std::unique(proposal.changed.begin(), proposal.changed.end()),
                           proposal.changed.end());
  }
}

// A tilt of t is a report that is t times as likely when the event is present.
Network Tilted(const Proposal& proposal) {
  Network network = proposal.network;
  for (size_t i = 0; i < proposal.tilt.size(); ++i) {
    const double t = proposal.tilt[i];
    if (t != 1)
      network.reports.push_back({static_cast<int>(i), true, std::min(1.0, t), std::min(1.0, 1 / t)});
  }
  return network;
}

double AbsentGivenCauses(const Event& event, const std::vector<char>& present) {
  double absent = 1 - event.p_unexplained;
  for (const Cause& cause : event.causes) {
    if (present[At(cause.event)]) absent *= 1 - cause.p_how_often;
  }
  return absent;
}

// Draws from a compiled proposal; `visit(present, weight)` sees each. The weight's scale is true / proposal,
// both unnormalised.
template <typename Visit>
void Draw(const Network& truth, const Proposal& proposal, const CompiledNetwork& compiled, int draws,
          Uniform& uniform, Visit visit) {
  std::vector<char> value;
  std::vector<char> present(truth.events.size(), 0);
  for (int d = 0; d < draws; ++d) {
    compiled.draws().Sample([&] { return uniform(); }, &value);
    double weight = 1;
    for (size_t i = 0; i < present.size(); ++i) {
      const int event = static_cast<int>(i);
      switch (compiled.place(event)) {
        case CompiledNetwork::Place::kPresent:
          present[i] = 1;
          break;
        case CompiledNetwork::Place::kVariable:
          present[i] = value[At(compiled.variable(event))];
          break;
        default:
          present[i] = 0;
      }
      const double t = proposal.tilt[i];
      if (t != 1) weight /= present[i] ? std::min(1.0, t) : std::min(1.0, 1 / t);
    }
    for (int event : proposal.changed) {
      const double absent = AbsentGivenCauses(truth.events[At(event)], present);
      const double proposed = AbsentGivenCauses(proposal.network.events[At(event)], present);
      weight *= present[At(event)] ? (1 - absent) / (1 - proposed) : absent / proposed;
    }
    visit(present, weight);
  }
}

double Odds(double p) { return p / std::max(1 - p, 1e-12); }

// Raises the struck causes to the chance that they, or the part of the effects' leaks that stands for them,
// are present.
void TiltByShares(const Network& truth, CompiledNetwork& compiled, Proposal* proposal) {
  std::vector<double> p(truth.events.size(), 0);
  std::vector<double> by_itself(truth.events.size(), 0);
  compiled.Solve({}, false, &p, &by_itself);
  std::vector<double> neither(truth.events.size(), 1);
  for (const StruckLink& link : proposal->struck) {
    const double leak = proposal->network.events[At(link.effect)].p_unexplained;
    if (leak > 0)
      neither[At(link.cause)] *= 1 - std::min(1.0, by_itself[At(link.effect)] * link.average / leak);
  }
  for (size_t i = 0; i < p.size(); ++i) {
    const CompiledNetwork::Place place = compiled.place(static_cast<int>(i));
    const bool uncertain =
        place == CompiledNetwork::Place::kVariable || place == CompiledNetwork::Place::kMerged;
    if (neither[i] == 1 || !uncertain || p[i] <= 0 || p[i] >= 1) continue;
    const double wanted = 1 - neither[i] * (1 - p[i]);
    proposal->tilt[i] = std::clamp(Odds(wanted) / Odds(p[i]), 1.0, kLargestTilt);
  }
}

// Moves the tilts towards the chances that weighed pilot draws show.
void TiltByPilot(const Network& truth, const CompiledNetwork& compiled, Uniform& uniform,
                 Proposal* proposal) {
  std::vector<double> plain(truth.events.size(), 0);
  std::vector<double> weighed(truth.events.size(), 0);
  double total = 0;
  Draw(truth, *proposal, compiled, kPilotDraws, uniform,
       [&](const std::vector<char>& present, double weight) {
         total += weight;
         for (const StruckLink& link : proposal->struck) {
           if (!present[At(link.cause)]) continue;
           plain[At(link.cause)] += 1;
           weighed[At(link.cause)] += weight;
         }
       });
  if (total <= 0) return;
  std::vector<char> done(truth.events.size(), 0);
  for (const StruckLink& link : proposal->struck) {
    const size_t i = At(link.cause);
    if (done[i]) continue;
    done[i] = 1;
    if (compiled.place(link.cause) != CompiledNetwork::Place::kVariable) continue;
    // A cause struck m times was counted m times on both sides. Kept within 2% to 98%, so that neither answer
    // is ever rare.
    double times = 0;
    for (const StruckLink& other : proposal->struck) times += other.cause == link.cause;
    const double drawn = std::clamp(plain[i] / (times * kPilotDraws), 1e-3, 1 - 1e-3);
    const double wanted = std::clamp(weighed[i] / (times * total), 0.02, 0.98);
    proposal->tilt[i] =
        std::clamp(proposal->tilt[i] * Odds(wanted) / Odds(drawn), 1 / kLargestTilt, kLargestTilt);
  }
}

// The proposal as a tree to draw from. It refers to what it was compiled of.
struct Compiled {
  Network tilted;
  std::unique_ptr<CompiledNetwork> tree;

  void Compile(const Proposal& proposal, const BeliefLimits& limits) {
    CompiledNetwork::Options options;
    options.merge = false;
    options.for_draws = true;
    tree.reset();
    tilted = Tilted(proposal);
    tree = std::make_unique<CompiledNetwork>(tilted, limits, options);
    const bool fits = tree->Build();  // it was thinned until it does
    assert(fits);
    (void)fits;
  }
};

// Makes up for the links that were struck.
void Tilt(const Network& part, const BeliefLimits& limits, Uniform& uniform, Proposal& proposal,
          Compiled& compiled) {
  BeliefLimits as_wide_as_need_be = limits;
  // It was thinned until chains fit, and an OR tree is hardly wider than they.
  as_wide_as_need_be.max_width = 60;
  const Network tilted = compiled.tilted;
  CompiledNetwork sums(tilted, as_wide_as_need_be, {});
  if (sums.Build()) {  // else the pilot draws have to do alone
    TiltByShares(part, sums, &proposal);
    compiled.Compile(proposal, limits);
  }
  for (int round = 0; round < kPilotRounds; ++round) {
    TiltByPilot(part, *compiled.tree, uniform, &proposal);
    compiled.Compile(proposal, limits);
  }
}

}  // namespace

Samples DrawSamples(const Network& network, const BeliefLimits& limits) {
  assert(network.worlds.empty());
  const Ancestry ancestry = AncestorsOfReports(network);
  const Network& part = ancestry.network;
  Proposal proposal = Thin(part, limits);
  Uniform uniform(Seed(network));

  Compiled compiled;
  compiled.Compile(proposal, limits);
  Samples samples;
  samples.present.assign(network.events.size(), {});
  samples.logp_reports = kMinusInfinity;
  if (compiled.tree->logp_reports() == kMinusInfinity)
    return samples;  // whatever the network allows the proposal allows
  if (!proposal.struck.empty()) Tilt(part, limits, uniform, proposal, compiled);

  const std::vector<int> order = CausesFirst(network);
  std::vector<char> all(network.events.size(), 0);
  double sum = 0;
  double sum_squares = 0;
  Draw(part, proposal, *compiled.tree, limits.samples, uniform,
       [&](const std::vector<char>& present, double weight) {
         for (int event : order) {
           const int in_part = ancestry.index_of[At(event)];
           all[At(event)] = in_part >= 0 ? present[At(in_part)]
                                         : uniform() >= AbsentGivenCauses(network.events[At(event)], all);
           samples.present[At(event)].push_back(all[At(event)]);
         }
         samples.weight.push_back(weight);
         sum += weight;
         sum_squares += weight * weight;
         samples.largest_weight = std::max(samples.largest_weight, weight);
       });
  if (sum <= 0) return samples;
  const double draws = static_cast<double>(limits.samples);
  samples.logp_reports = compiled.tree->logp_reports() + std::log(sum / draws);
  samples.largest_weight /= sum;
  const double relative_variance = std::max(0.0, sum_squares * draws / (sum * sum) - 1);
  samples.logp_error =
      1.96 * std::sqrt(relative_variance / draws) + (proposal.struck.empty() ? 0 : samples.largest_weight);
  for (double& weight : samples.weight) weight /= sum;
  return samples;
}

double PresentGivenCauses(const Network& network, int event, const Samples& samples, size_t draw) {
  double absent = 1 - network.events[At(event)].p_unexplained;
  for (const Cause& cause : network.events[At(event)].causes) {
    if (samples.present[At(cause.event)][draw]) absent *= 1 - cause.p_how_often;
  }
  return 1 - absent;
}

Chances ApproximateChances(const Network& network, const BeliefLimits& limits) {
  const Samples samples = DrawSamples(network, limits);
  Chances chances;
  chances.exact = false;
  chances.logp_reports = samples.logp_reports;
  chances.logp_error = samples.logp_error;
  chances.p_event.assign(network.events.size(), 0);
  chances.p_by_itself.assign(network.events.size(), 0);
  for (size_t i = 0; i < network.events.size(); ++i) {
    const Event& event = network.events[i];
    for (size_t d = 0; d < samples.weight.size(); ++d) {
      if (!samples.present[i][d]) continue;
      chances.p_event[i] += samples.weight[d];
      if (event.p_unexplained > 0) {
        chances.p_by_itself[i] += samples.weight[d] * event.p_unexplained /
                                  PresentGivenCauses(network, static_cast<int>(i), samples, d);
      }
    }
    double variance = 0;
    for (size_t d = 0; d < samples.weight.size(); ++d) {
      const double off = (samples.present[i][d] ? 1 : 0) - chances.p_event[i];
      variance += samples.weight[d] * samples.weight[d] * off * off;
    }
    chances.error = std::max(chances.error, 1.96 * std::sqrt(variance));
  }
  chances.possible = !samples.weight.empty();  // else not even the proposal allows the reports
  const bool none_agrees = samples.logp_reports == kMinusInfinity;
  chances.error = none_agrees ? 1 : std::min(1.0, chances.error + samples.largest_weight);
  return chances;
}

}  // namespace gearwhy
