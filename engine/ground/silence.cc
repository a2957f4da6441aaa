#include "engine/ground/silence.h"

#include <algorithm>
#include <map>
#include <set>

#include "engine/ground/settled.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// The values of the variable that the conditions allow, in any of the variants that it may be.
std::set<Value> ValuesOf(const Silence& silence, const std::vector<CaseFacts>& worlds) {
  std::set<Value> values;
  for (const CaseFacts& world : worlds) {
    for (const Match& match : FindMatches(silence.when, world.store)) {
      for (const Binding& binding : match.bindings) {
        if (binding.variable == silence.over) values.insert(binding.value);
      }
    }
  }
  return values;
}

// The complaints of one finding, by what they are about.
using Named = std::map<std::string, std::set<Value>>;

Named NamedBy(const Words& words, const Silence& silence, const std::vector<Observation>& observations) {
  Named named;
  const std::string& kind = silence.variables.at(silence.over);
  for (const Observation& observation : observations) {
    if (!observation.complaint || !observation.present || observation.trust != silence.trust) continue;
    const std::vector<Slot>& slots = words.Find(observation.event.name)->slots;
    if (slots.size() == 1 && slots.front().kind == kind)
      named[observation.event.name].insert(observation.event.slots.front());
  }
  return named;
}

// How often a link acts in a world; `world` 0 where there are none.
double HowOften(const Cause& cause, std::size_t world) {
  return cause.in_world.empty() ? cause.p_how_often : cause.in_world[world];
}

// Adds a cause. What acts by several ways acts as often as by any of them.
void Add(const Cause& cause, std::size_t worlds, std::vector<Cause>& causes) {
  auto it = std::find_if(causes.begin(), causes.end(),
                         [&](const Cause& other) { return other.event == cause.event; });
  if (it == causes.end()) it = causes.insert(causes.end(), {cause.event, 0, {}});
  const auto either = [](double a, double b) { return 1 - (1 - a) * (1 - b); };
  if (it->in_world.empty() && !cause.in_world.empty()) it->in_world.assign(worlds, it->p_how_often);
  for (std::size_t w = 0; w < it->in_world.size(); ++w)
    it->in_world[w] = either(it->in_world[w], HowOften(cause, w));
  it->p_how_often = either(it->p_how_often, cause.p_how_often);
}

// What brings the finding about, by way of no other finding but those that somebody has reported.
std::vector<Cause> CausesBehind(int finding, const std::set<int>& reported, const Network& network) {
  const std::size_t worlds = network.worlds.size();
  std::vector<Cause> causes;
  const auto add = [&](const auto& self, const Cause& way) -> void {
    const Event& event = network.events[At(way.event)];
    if (event.type != EventType::kFinding || reported.contains(way.event) || event.causes.empty())
      return Add(way, worlds, causes);
    for (Cause cause : event.causes) {
      if (!way.in_world.empty() || !cause.in_world.empty()) {
        std::vector<double> both;
        for (std::size_t w = 0; w < worlds; ++w) both.push_back(HowOften(way, w) * HowOften(cause, w));
        cause.in_world = std::move(both);
      }
      cause.p_how_often *= way.p_how_often;
      self(self, cause);
    }
  };
  for (const Cause& cause : network.events[At(finding)].causes) add(add, cause);
  return causes;
}

// The event that the finding was named, and that it was not.
void LeaveUnnamed(int finding, const Silence& silence, const std::set<int>& reported, GroundNetwork& ground) {
  const double told = 1 - silence.p_if_present / silence.p_if_absent;
  Event named = ground.network.events[At(finding)];
  named.causes = CausesBehind(finding, reported, ground.network);
  named.id += " named";
  named.p_unexplained *= told;
  for (double& p : named.in_world) p *= told;
  for (Cause& cause : named.causes) {
    cause.p_how_often *= told;
    for (double& p : cause.in_world) p *= told;
  }
  const int event = static_cast<int>(ground.network.events.size());
  ground.network.events.push_back(std::move(named));
  ground.events.AddUnnamed(ground.events[At(finding)]);
  ground.network.reports.push_back({event, false, 0, 1});
  ground.reports.push_back({-1, -1, &silence, finding});
}

}  // namespace

void AddSilence(Diagnosis& diagnosis) {
  GroundNetwork& ground = diagnosis.ground;
  const Rulebook& book = *diagnosis.book;
  std::set<int> reported;
  for (const Report& report : ground.network.reports) reported.insert(report.event);
  const Settled settled = SettledBy(diagnosis);
  for (const Silence& silence : book.silences) {
    const Named named = NamedBy(book.words, silence, diagnosis.c->observations);
    if (named.empty()) continue;
    const std::set<Value> values = ValuesOf(silence, diagnosis.worlds);
    for (const auto& [finding, of] : named) {
      std::vector<int> told, unnamed;
      for (const Value& value : values) {
        const auto event = ground.Find({finding, {value}});
        if (event) (of.contains(value) ? told : unnamed).push_back(*event);
      }
      const auto all = static_cast<double>(told.size() + unnamed.size());
      if (static_cast<double>(told.size()) > silence.named_at_most * all) continue;
      for (const int event : unnamed) {
        if (!settled.Any(event) && reported.insert(event).second)
          LeaveUnnamed(event, silence, reported, ground);
      }
    }
  }
}

}  // namespace gearwhy
