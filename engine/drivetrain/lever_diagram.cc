#include "engine/drivetrain/lever_diagram.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "engine/drivetrain/relations.h"

namespace gearwhy {
namespace {

// Places nearer than this are one.
constexpr double kSamePlace = 1e-9;

// A lever while it is put together: places by shaft, as any scale has them.
struct Rod {
  std::vector<std::size_t> sets;  // indices into the unit's gearsets
  std::map<int, double> places;
};

std::vector<double> PlacesOfMembers(const Gearset& set) {
  const double sun = set.sun_teeth, ring = set.ring_teeth, large_sun = set.large_sun_teeth;
  switch (set.type) {
    case Gearset::Type::kSimple:
      return {ring, -sun, 0};
    case Gearset::Type::kDualPinion:
      return {ring, sun, 0};
    case Gearset::Type::kRavigneaux:
      return {-ring / sun, ring / large_sun, -1, 0};
  }
  return {};
}

std::vector<Rod> RodsOf(const Unit& unit, const Relations& relations) {
  std::vector<Rod> rods;
  for (std::size_t i = 0; i < unit.gearsets.size(); ++i) {
    const Gearset& set = unit.gearsets[i];
    const std::vector<std::string> members = MemberNames(set.type);
    const std::vector<double> places = PlacesOfMembers(set);
    Rod rod{{i}, {}};
    for (std::size_t m = 0; m < members.size(); ++m)
      rod.places.emplace(relations.shaft.at(set.name + "." + members[m]), places[m]);
    rods.push_back(std::move(rod));
  }
  return rods;
}

// Two shafts of both at different places of each, the first two in their order.
std::optional<std::pair<int, int>> SharedByBoth(const Rod& a, const Rod& b) {
  std::vector<int> shared;
  for (const auto& [shaft, place] : a.places) {
    if (b.places.contains(shaft)) shared.push_back(shaft);
  }
  for (std::size_t i = 0; i < shared.size(); ++i) {
    for (std::size_t j = i + 1; j < shared.size(); ++j) {
      const auto apart = [&](const Rod& rod) {
        return std::abs(rod.places.at(shared[i]) - rod.places.at(shared[j])) > kSamePlace;
      };
      if (apart(a) && apart(b)) return std::pair{shared[i], shared[j]};
    }
  }
  return std::nullopt;
}

void LayOnto(Rod& rod, const Rod& other, const std::pair<int, int>& shared) {
  const auto& [first, second] = shared;
  const double scale =
      (rod.places.at(second) - rod.places.at(first)) / (other.places.at(second) - other.places.at(first));
  for (const auto& [shaft, place] : other.places)
    rod.places.emplace(shaft, rod.places.at(first) + scale * (place - other.places.at(first)));
  rod.sets.insert(rod.sets.end(), other.sets.begin(), other.sets.end());
}

std::vector<Rod> Joined(std::vector<Rod> rods) {
  for (std::size_t i = 0; i < rods.size();) {
    bool grown = false;
    for (std::size_t j = i + 1; j < rods.size() && !grown; ++j) {
      const auto shared = SharedByBoth(rods[i], rods[j]);
      if (!shared) continue;
      LayOnto(rods[i], rods[j], *shared);
      rods.erase(rods.begin() + static_cast<std::ptrdiff_t>(j));
      grown = true;
    }
    if (!grown) ++i;
  }
  return rods;
}

// Places from 0 to 1, the first gearset's sun before its carrier.
void Straighten(Rod& rod, const Unit& unit, const Relations& relations) {
  double least = rod.places.begin()->second, most = least;
  for (const auto& [shaft, place] : rod.places) {
    least = std::min(least, place);
    most = std::max(most, place);
  }
  const Gearset& set = unit.gearsets[rod.sets.front()];
  const auto place_of = [&](const std::string& member) {
    return rod.places.at(relations.shaft.at(set.name + "." + member));
  };
  const bool turn = place_of(MemberNames(set.type).front()) > place_of("carrier");
  for (auto& [shaft, place] : rod.places) {
    place = (place - least) / (most - least);
    if (turn) place = 1 - place;
  }
}

LeverNode MakeNode(const Unit& unit, const Relations& relations, const Rod& rod, int shaft) {
  LeverNode node;
  node.place = rod.places.at(shaft);
  for (const std::size_t i : rod.sets) {
    for (const std::string& member : MemberNames(unit.gearsets[i].type)) {
      const std::string name = unit.gearsets[i].name + "." + member;
      if (relations.shaft.at(name) == shaft) node.members.push_back(name);
    }
  }
  node.input = relations.input() == shaft;
  node.output = relations.output() == shaft;
  node.held = shaft == Relations::kCase;
  for (const Element& element : unit.elements) {
    if (relations.shaft.at(element.first) == shaft || relations.shaft.at(element.second) == shaft)
      if (!node.held) node.elements.push_back(element.name);
  }
  return node;
}

Lever MakeLever(const Unit& unit, const Relations& relations, const Rod& rod) {
  Lever lever;
  for (const std::size_t i : rod.sets) lever.gearsets.push_back(unit.gearsets[i].name);
  for (const auto& [shaft, place] : rod.places) lever.nodes.push_back(MakeNode(unit, relations, rod, shaft));
  std::stable_sort(lever.nodes.begin(), lever.nodes.end(),
                   [](const LeverNode& a, const LeverNode& b) { return a.place < b.place; });
  return lever;
}

// By the two shafts that are furthest apart of those whose speeds are decided.
std::optional<LeverLine> LineOf(const Lever& lever, const DriveState& state) {
  std::vector<std::pair<double, double>> known;  // place, speed
  for (const LeverNode& node : lever.nodes) {
    const auto speed = state.speed.find(node.members.front());
    if (node.held) {
      known.emplace_back(node.place, 0);
    } else if (speed != state.speed.end()) {
      known.emplace_back(node.place, speed->second);
    }
  }
  if (known.size() < 2 || known.back().first - known.front().first < kSamePlace) return std::nullopt;
  const auto& [from, at_from] = known.front();
  const auto& [to, at_to] = known.back();
  const double slope = (at_to - at_from) / (to - from);
  return LeverLine{at_from - slope * from, at_from + slope * (1 - from)};
}

std::vector<std::optional<LeverLine>> LinesOf(const std::vector<Lever>& levers, const DriveState& state) {
  std::vector<std::optional<LeverLine>> lines;
  for (const Lever& lever : levers) lines.push_back(LineOf(lever, state));
  return lines;
}

void AddFailures(const std::vector<ElementFailure>& failures, bool holds_nothing, LeverDiagram& diagram) {
  for (const ElementFailure& failure : failures) {
    if (failure.state.drive != Drive::kRatio || failure.acts_as == failure.range) continue;
    diagram.failures.push_back(
        {failure.element, failure.range, holds_nothing, LinesOf(diagram.levers, failure.state)});
  }
}

}  // namespace

LeverDiagram MakeLeverDiagram(const Unit& unit, const UnitBehaviour& behaviour) {
  const Relations relations = RelationsOf(unit);
  LeverDiagram diagram;
  for (Rod& rod : Joined(RodsOf(unit, relations))) {
    Straighten(rod, unit, relations);
    diagram.levers.push_back(MakeLever(unit, relations, rod));
  }
  for (const RangeBehaviour& range : behaviour.ranges) {
    if (range.driving.drive == Drive::kRatio)
      diagram.ranges.push_back({range.range, LinesOf(diagram.levers, range.driving)});
  }
  AddFailures(behaviour.fails_to_hold, true, diagram);
  AddFailures(behaviour.fails_to_release, false, diagram);
  return diagram;
}

}  // namespace gearwhy
