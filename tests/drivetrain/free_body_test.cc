// Random arrangements against an independent formulation: free bodies with mesh forces, solved by plain
// Gaussian elimination.
//
// The engine speaks of relations and their reactions; here every sun, ring, carrier and planet is a body of
// its own with a torque and force balance, the unknowns are the forces at the teeth, the forces on the planet
// pins, and the torques of the elements. Speeds come from pitch-line velocities. Simple and dual-pinion sets;
// joins and locked elements are bodies that act on each other.
#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "engine/drivetrain/arrangement.h"
#include "tests/drivetrain/units.h"
#include "tests/support/catch.h"

namespace gearwhy {
namespace {

using Row = std::vector<double>;

// Solves the rows [coefficients | right side]; nothing if the solution is not unique or there is none.
std::optional<Row> Eliminate(std::vector<Row> rows, std::size_t unknowns) {
  std::size_t done = 0;
  for (std::size_t column = 0; column < unknowns; ++column) {
    std::size_t pivot = done;
    for (std::size_t i = done; i < rows.size(); ++i)
      if (std::abs(rows[i][column]) > std::abs(rows[pivot][column])) pivot = i;
    if (pivot >= rows.size() || std::abs(rows[pivot][column]) < 1e-9) return std::nullopt;
    std::swap(rows[pivot], rows[done]);
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (i == done) continue;
      const double factor = rows[i][column] / rows[done][column];
      for (std::size_t k = 0; k <= unknowns; ++k) rows[i][k] -= factor * rows[done][k];
    }
    ++done;
  }
  for (std::size_t i = done; i < rows.size(); ++i)
    if (std::abs(rows[i][unknowns]) > 1e-7) return std::nullopt;
  Row solution(unknowns);
  for (std::size_t i = 0; i < unknowns; ++i) solution[i] = rows[i][unknowns] / rows[i][i];
  return solution;
}

// Equations in named unknowns, gathered one by one.
class System {
 public:
  using Terms = std::vector<std::pair<std::string, double>>;
  void Equal(const Terms& terms, double right) {
    for (const auto& [name, factor] : terms) index_.emplace(name, index_.size());
    equations_.push_back({terms, right});
  }
  std::optional<std::map<std::string, double>> Solve() const {
    std::vector<Row> rows;
    for (const auto& [terms, right] : equations_) {
      Row row(index_.size() + 1, 0.0);
      for (const auto& [name, factor] : terms) row[index_.at(name)] += factor;
      row.back() = right;
      rows.push_back(row);
    }
    const auto solution = Eliminate(rows, index_.size());
    if (!solution) return std::nullopt;
    std::map<std::string, double> values;
    for (const auto& [name, at] : index_) values[name] = (*solution)[at];
    return values;
  }

 private:
  std::map<std::string, std::size_t> index_;
  std::vector<std::pair<Terms, double>> equations_;
};

// Pitch radii with module 2, so that a radius is a tooth count. A dual-pinion set gets two equal planets in a
// row along the radius.
struct Radii {
  double sun, ring, planet, pin_inner, pin_outer;
};
Radii RadiiOf(const Gearset& set) {
  const double sun = set.sun_teeth, ring = set.ring_teeth;
  if (set.type == Gearset::Type::kSimple) {
    const double planet = (ring - sun) / 2;
    return {sun, ring, planet, sun + planet, sun + planet};
  }
  const double planet = (ring - sun) / 4;
  return {sun, ring, planet, sun + planet, ring - planet};
}

// Speeds by pitch-line velocity: both wheels have one velocity where they mesh. Input speed 1.
std::optional<std::map<std::string, double>> Speeds(const Unit& unit,
                                                    const std::vector<std::string>& locked) {
  System system;
  system.Equal({{"input", 1}}, 1);
  system.Equal({{"case", 1}}, 0);
  system.Equal({{"output", 0}}, 0);
  for (const Gearset& set : unit.gearsets) {
    const Radii r = RadiiOf(set);
    const std::string n = set.name + ".";
    const bool dual = set.type == Gearset::Type::kDualPinion;
    const std::string outer = n + (dual ? "planet2" : "planet");
    // Planet spin is absolute: velocity at the sun is pin velocity less spin times radius.
    system.Equal({{n + "sun", r.sun}, {n + "carrier", -r.pin_inner}, {n + "planet", r.planet}}, 0);
    system.Equal({{n + "ring", r.ring}, {n + "carrier", -r.pin_outer}, {outer, -r.planet}}, 0);
    if (dual)
      system.Equal(
          {{n + "carrier", r.pin_inner - r.pin_outer}, {n + "planet", r.planet}, {n + "planet2", r.planet}},
          0);
  }
  for (const auto& join : unit.joins) system.Equal({{join[0], 1}, {join[1], -1}}, 0);
  for (const Element& element : unit.elements)
    if (std::find(locked.begin(), locked.end(), element.name) != locked.end())
      system.Equal({{element.first, 1}, {element.second, -1}}, 0);
  return system.Solve();
}

// Torques at input torque 1: unknown mesh forces, pin forces, join torques, element torques, output and case
// torque.
std::optional<std::map<std::string, double>> Torques(const Unit& unit,
                                                     const std::vector<std::string>& locked) {
  System system;
  std::map<std::string, System::Terms> on_body;  // torque on each central member
  for (const Gearset& set : unit.gearsets) {
    const Radii r = RadiiOf(set);
    const std::string n = set.name + ".";
    const bool dual = set.type == Gearset::Type::kDualPinion;
    // Tangential forces: `fs` planet on sun, `fr` outer planet on ring, `fm` second planet on first, `p1` and
    // `p2` pins on carrier.
    on_body[n + "sun"].push_back({n + "fs", r.sun});
    on_body[n + "ring"].push_back({n + "fr", r.ring});
    on_body[n + "carrier"].push_back({n + "p1", r.pin_inner});
    if (!dual) {
      system.Equal({{n + "fs", -1}, {n + "fr", -1}, {n + "p1", -1}}, 0);  // forces on the planet
      system.Equal({{n + "fs", r.planet}, {n + "fr", -r.planet}}, 0);     // moments about its pin
    } else {
      on_body[n + "carrier"].push_back({n + "p2", r.pin_outer});
      system.Equal({{n + "fs", -1}, {n + "fm", 1}, {n + "p1", -1}}, 0);
      system.Equal({{n + "fs", r.planet}, {n + "fm", r.planet}}, 0);
      system.Equal({{n + "fm", -1}, {n + "fr", -1}, {n + "p2", -1}}, 0);
      system.Equal({{n + "fm", r.planet}, {n + "fr", -r.planet}}, 0);
    }
  }
  const auto act = [&](const std::string& name, const std::string& first, const std::string& second) {
    on_body[first].push_back({name, 1});
    on_body[second].push_back({name, -1});
  };
  for (std::size_t i = 0; i < unit.joins.size(); ++i)
    act("join" + std::to_string(i), unit.joins[i][0], unit.joins[i][1]);
  for (const Element& element : unit.elements)
    if (std::find(locked.begin(), locked.end(), element.name) != locked.end())
      act(element.name, element.first, element.second);
  on_body["output"].push_back({"T_out", 1});
  on_body["case"].push_back({"T_case", 1});
  for (auto& [body, terms] : on_body) system.Equal(terms, body == "input" ? -1 : 0);
  return system.Solve();
}

// Two sets of any kind and size, random joins, five elements.
Unit RandomUnit(std::mt19937& random) {
  const auto pick = [&](int n) { return static_cast<int>(random() % static_cast<unsigned>(n)); };
  Unit unit;
  for (const char* name : {"a", "b"}) {
    const int sun = 20 + pick(30), ring = sun + 4 * (6 + pick(12));
    unit.gearsets.push_back(pick(2) == 0 ? SimpleSet(name, sun, ring) : DualPinionSet(name, sun, ring));
  }
  const char* kMembers[] = {"sun", "ring", "carrier"};
  const auto member = [&](const char* set) { return std::string(set) + "." + kMembers[pick(3)]; };
  unit.joins = {{"input", member("a")}, {member("a"), member("b")}, {"output", member("b")}};
  const auto any = [&] { return pick(8) == 0 ? std::string("input") : member(pick(2) == 0 ? "a" : "b"); };
  for (const char* name : {"P", "Q", "R", "S", "T"}) {
    const std::string first = any(), second = pick(2) == 0 ? "case" : any();
    if (first != second) AddElement(unit, name, ElementType::kClutch, first, second);
  }
  return unit;
}

TEST_CASE("speeds and torques of random arrangements agree with free bodies and balance") {
  std::mt19937 random(20240229);
  int ratios = 0, compared = 0;
  for (int round = 0; round < 4000; ++round) {
    const Unit unit = RandomUnit(random);
    std::vector<std::string> locked;
    for (const Element& element : unit.elements)
      if (random() % 2 == 0) locked.push_back(element.name);
    const DriveState state = Solve(unit, locked, PowerFlow::kDriving);
    const auto speeds = Speeds(unit, locked);
    INFO("round " << round);
    // A whole and unique motion with the output turning is a ratio, and the same one.
    if (speeds && std::abs(speeds->at("output")) > 1e-6) {
      REQUIRE(state.drive == Drive::kRatio);
      CHECK(state.ratio == Approx(1 / speeds->at("output")).epsilon(1e-9));
      for (const auto& [member, speed] : state.speed) {
        INFO(member);
        CHECK(speed == Approx(speeds->at(member)).epsilon(1e-9).margin(1e-9));
      }
      ++ratios;
    }
    if (state.drive != Drive::kRatio) continue;

    const auto torques = Torques(unit, locked);
    if (!torques) continue;  // redundant elements: the free bodies leave the split open
    ++compared;
    CHECK_FALSE(state.torque_shared);
    const double scale = std::max(1.0, std::abs(state.ratio));
    for (const auto& [element, torque] : state.torque) {
      INFO(element);
      CHECK(torque == Approx(std::abs(torques->at(element))).epsilon(1e-9).margin(1e-9 * scale));
    }
    // The unit as a whole: input, output and case torque add up to nothing, and what goes in comes out.
    const double out = torques->at("T_out"), on_case = torques->count("T_case") ? torques->at("T_case") : 0;
    CHECK(1 + out + on_case == Approx(0).margin(1e-9 * scale));
    CHECK(1 + out * state.speed.at("output") == Approx(0).margin(1e-9 * scale));
  }
  CHECK(ratios > 200);
  CHECK(compared > 200);
}

}  // namespace
}  // namespace gearwhy
