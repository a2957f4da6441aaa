#include "engine/study/steadiness.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/belief/worlds.h"
#include "engine/study/moved_frequencies.h"
#include "engine/text/at.h"
#include "engine/text/at_once.h"

namespace gearwhy {
namespace {

// The network with an event for every link between events that bear on the reports or on `event`.
struct Opened {
  Network network;
  std::vector<std::vector<int>> link;  // by event and cause: the event of the link, or -1
};

Opened OpenLinks(const Network& network, int event) {
  const std::vector<char> bears = BearsOnReports(network, {event});
  Opened opened{network, std::vector<std::vector<int>>(network.events.size())};
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    std::vector<int>& links = opened.link[i];
    links.assign(network.events[i].causes.size(), -1);
    if (bears[i] == 0) continue;
    for (std::size_t k = 0; k < links.size(); ++k) {
      const Cause cause = network.events[i].causes[k];
      if (!(cause.p_how_often > 0 && cause.p_how_often < 1)) continue;
      links[k] = static_cast<int>(opened.network.events.size());
      Event link;
      link.id = network.events[i].id + "<-" + network.events[At(cause.event)].id;
      link.type = EventType::kState;
      link.causes.push_back(cause);
      opened.network.events.push_back(std::move(link));
      opened.network.events[i].causes[k] = {links[k], 1};
    }
  }
  return opened;
}

// d log P(reports) by every chance, with the event taken for present or absent besides.
Slopes LogSlopes(const Network& network, const Opened& opened, int event, bool present, BeliefLimits limits) {
  Network asked = opened.network;
  asked.reports.push_back({event, present, present ? 1.0 : 0.0, present ? 0.0 : 1.0});
  for (std::size_t i = network.events.size(); i < asked.events.size(); ++i)
    limits.also.push_back(static_cast<int>(i));
  const Chances chances = ComputeChances(asked, limits);
  Slopes slopes;
  if (!chances.exact || !chances.possible) return slopes;
  const auto slope = [](double acts, double does_not, double q) {
    return std::isnan(acts) || std::isnan(does_not) ? 0 : acts / q - does_not / (1 - q);
  };
  slopes.own.assign(network.events.size(), 0);
  slopes.link.resize(network.events.size());
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    const Event& of = network.events[i];
    const double acts = of.causes.empty() ? chances.p_event[i] : chances.p_by_itself[i];
    if (of.p_unexplained > 0 && of.p_unexplained < 1) slopes.own[i] = slope(acts, 1 - acts, of.p_unexplained);
    slopes.link[i].assign(of.causes.size(), 0);
    for (std::size_t k = 0; k < of.causes.size(); ++k) {
      if (opened.link[i][k] < 0) continue;
      const double link_acts = chances.p_event[At(opened.link[i][k])];
      const double could = chances.p_event[At(of.causes[k].event)];
      slopes.link[i][k] = slope(link_acts, could - link_acts, of.causes[k].p_how_often);
    }
  }
  return slopes;
}

void Subtract(const std::vector<double>& from, std::vector<double>& to) {
  for (std::size_t i = 0; i < to.size(); ++i) to[i] -= from[i];
}

// How far one step of the scale moves a chance that the rulebook gives as `stated` and that stands as `p`:
// factors on odds shift both alike.
double PerStep(const FrequencyScale& scale, double stated, double p) {
  constexpr double kSmall = 1e-3;
  const auto log_odds = [](double chance) { return std::log(chance / (1 - chance)); };
  if (!(stated > 0 && stated < 1)) return 0;
  const double slope =
      (log_odds(scale.Move(stated, kSmall)) - log_odds(scale.Move(stated, -kSmall))) / (2 * kSmall);
  return slope * p * (1 - p);
}

std::vector<RestsOn> ByLine(const Diagnosis& diagnosis, const Network& network, const Slopes& slopes) {
  const FrequencyScale scale(diagnosis.book->words);
  std::map<const void*, std::pair<RestsOn, double>>
      by_line;  // with the steepest of its parts; looked up only
  std::vector<const void*> order;
  const auto add = [&](const void* line, RestsOn part, double slope) {
    const auto [it, is_new] = by_line.try_emplace(line, part, 0.0);
    if (is_new) order.push_back(line);
    if (std::abs(slope) > it->second.second) {
      part.slope = it->second.first.slope;
      it->second = {std::move(part), std::abs(slope)};
    }
    it->second.first.slope += slope;
  };
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    const GroundEvent& source = diagnosis.ground.events[i];
    const Event& event = network.events[i];
    if (source.chance != nullptr && slopes.own[i] != 0) {
      add(source.chance, {"chance", source.chance->id, {}, source.statement, source.chance->place},
          slopes.own[i] * PerStep(scale, source.chance->p_chance, event.p_unexplained));
    } else if (source.chart != nullptr && slopes.own[i] != 0) {
      add(source.chart, {"unexplained", source.chart->id, {}, source.statement, source.chart->place},
          slopes.own[i] * PerStep(scale, source.chart->p_unexplained.value_or(0), event.p_unexplained));
    }
    for (std::size_t k = 0; k < event.causes.size(); ++k) {
      if (slopes.link[i][k] == 0) continue;
      const GroundLink& link = source.links[k];
      add(link.line,
          {"line", link.chart->id, diagnosis.ground.events[At(event.causes[k].event)].statement,
           source.statement, link.line->place},
          slopes.link[i][k] * PerStep(scale, link.line->p_how_often, event.causes[k].p_how_often));
    }
  }
  std::vector<RestsOn> rests_on;
  for (const void* line : order) rests_on.push_back(by_line.at(line).first);
  std::stable_sort(rests_on.begin(), rests_on.end(),
                   [](const RestsOn& a, const RestsOn& b) { return std::abs(a.slope) > std::abs(b.slope); });
  return rests_on;
}

// The likeliest event of the type of another.
int FirstOf(const Network& network, const std::vector<double>& p_event, EventType type) {
  int first = -1;
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    if (network.events[i].type != type || std::isnan(p_event[i])) continue;
    if (first < 0 || p_event[i] > p_event[At(first)]) first = static_cast<int>(i);
  }
  return first;
}

}  // namespace

Slopes SlopesOf(const Network& network, int event, const BeliefLimits& limits) {
  const Opened opened = OpenLinks(network, event);
  Slopes slopes = LogSlopes(network, opened, event, true, limits);
  const Slopes refuted = LogSlopes(network, opened, event, false, limits);
  if (slopes.own.empty() || refuted.own.empty()) return {};
  Subtract(refuted.own, slopes.own);
  for (std::size_t i = 0; i < slopes.link.size(); ++i) Subtract(refuted.link[i], slopes.link[i]);
  return slopes;
}

Steadiness SteadinessOf(const Diagnosis& diagnosis, int verdict, int shakings) {
  Steadiness steady;
  steady.verdict = verdict;
  steady.shakings = shakings;
  const bool several = !diagnosis.ground.network.worlds.empty();
  const auto world = At(diagnosis.likeliest.empty() ? 0 : diagnosis.likeliest.front());
  const Network network = several ? InWorld(diagnosis.ground.network, world) : diagnosis.ground.network;
  const Slopes slopes = SlopesOf(network, verdict, diagnosis.limits);
  if (slopes.own.empty()) return steady;
  steady.known = true;
  if (!several) steady.rests_on = ByLine(diagnosis, network, slopes);
  std::vector<double> chance(At(shakings), 0);
  std::vector<char> same(At(shakings), 0);
  const EventType type = network.events[At(verdict)].type;
  AtOnce(At(shakings), [&](std::size_t i) {
    const MovedFrequencies moved(*diagnosis.book, i + 1);
    const Network shaken = moved.Apply(diagnosis.ground);
    const Chances chances = ComputeChances(several ? InWorld(shaken, world) : shaken, diagnosis.limits);
    chance[i] = chances.p_event[At(verdict)];
    same[i] = FirstOf(network, chances.p_event, type) == verdict;
  });
  steady.same = static_cast<int>(std::count(same.begin(), same.end(), 1));
  steady.least = *std::min_element(chance.begin(), chance.end());
  steady.most = *std::max_element(chance.begin(), chance.end());
  return steady;
}

}  // namespace gearwhy
