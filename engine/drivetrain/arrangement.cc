#include "engine/drivetrain/arrangement.h"

#include <algorithm>
#include <bit>
#include <cmath>

#include "engine/drivetrain/relations.h"

namespace gearwhy {
namespace {

using Eigen::MatrixXd;
using Eigen::RowVectorXd;
using Eigen::VectorXd;

constexpr double kDrag = 1e-5;  // of a shaft that nothing loads; the load of the driven end is 1
// Of speeds and torques that must not have the wrong sense, relative to the largest.
constexpr double kSenseTolerance = 1e-8;
constexpr double kTorqueTolerance = 1e-9;  // less than this share of the input torque is none
constexpr double kFreedomTolerance = 1e-9;

bool Contains(const std::vector<std::string>& names, const std::string& name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

// What is locked for certain and which one-way clutches are free to choose.
struct Held {
  std::vector<const Element*> locked;
  std::vector<const Element*> one_way;
};

Held HeldBy(const Unit& unit, const std::vector<std::string>& applied,
            const std::vector<std::string>& broken) {
  Held held;
  for (const Element& element : unit.elements) {
    if (Contains(applied, element.name)) {
      held.locked.push_back(&element);
    } else if (element.type == ElementType::kOneWayClutch && !Contains(broken, element.name)) {
      held.one_way.push_back(&element);
    }
  }
  return held;
}

MatrixXd WithLocked(const Relations& relations, MatrixXd rows, const std::vector<const Element*>& locked) {
  for (const Element* element : locked) rows = WithRow(rows, relations.ElementRow(*element));
  return rows;
}

// Subsets of `count` things as bit masks, the small ones first.
std::vector<unsigned> SubsetsBySize(std::size_t count) {
  std::vector<unsigned> subsets(std::size_t{1} << count);
  for (unsigned i = 0; i < subsets.size(); ++i) subsets[i] = i;
  std::stable_sort(subsets.begin(), subsets.end(),
                   [](unsigned a, unsigned b) { return std::popcount(a) < std::popcount(b); });
  return subsets;
}

// How far a choice of holding one-way clutches is from a motion that can be: the largest speed or torque of
// the wrong sense. 0 is right. Infinite when a holding clutch is redundant (a smaller choice then serves as
// well).
//   `allowed`  basis of the speeds allowed with no one-way clutch holding
//   `one_way`  their relative speeds in that basis, one row each
//   `drag`, `push`  by shaft: resistance, and the torque from outside
double Violation(const MatrixXd& allowed, const MatrixXd& one_way, unsigned holding, const VectorXd& drag,
                 const VectorXd& push) {
  MatrixXd held(0, allowed.cols());
  for (Eigen::Index i = 0; i < one_way.rows(); ++i)
    if (holding >> i & 1u) held = WithRow(held, one_way.row(i));
  const MatrixXd free = NullSpace(held);
  if (free.cols() + held.rows() != allowed.cols()) return std::numeric_limits<double>::infinity();

  // The least of half the drag power minus the pushing power.
  const MatrixXd basis = allowed * free;
  VectorXd freedom = VectorXd::Zero(free.cols());
  if (free.cols() > 0)
    freedom = (basis.transpose() * drag.asDiagonal() * basis).ldlt().solve(basis.transpose() * push);
  const VectorXd speed = basis * freedom;
  const VectorXd unbalanced = allowed.transpose() * (drag.asDiagonal() * speed - push);

  double violation = 0;
  const VectorXd overrun = one_way * (free * freedom);
  const double speed_scale = std::max(speed.size() > 0 ? speed.cwiseAbs().maxCoeff() : 0.0, 1e-12);
  for (Eigen::Index i = 0; i < one_way.rows(); ++i)
    if (!(holding >> i & 1u)) violation = std::max(violation, -overrun(i) / speed_scale);
  if (held.rows() > 0) {
    const VectorXd torque = held.transpose().colPivHouseholderQr().solve(unbalanced);
    const double torque_scale = std::max(1.0, torque.cwiseAbs().maxCoeff());
    violation = std::max(violation, -torque.minCoeff() / torque_scale);
  }
  return violation;
}

// The one-way clutches that hold.
std::vector<const Element*> FindHolding(const Relations& relations, const MatrixXd& locked_rows,
                                        const std::vector<const Element*>& one_way, const VectorXd& drag,
                                        const VectorXd& push) {
  const MatrixXd allowed = NullSpace(locked_rows);
  MatrixXd relative(static_cast<Eigen::Index>(one_way.size()), allowed.cols());
  for (std::size_t i = 0; i < one_way.size(); ++i)
    relative.row(static_cast<Eigen::Index>(i)) = relations.ElementRow(*one_way[i]) * allowed;

  unsigned best = 0;
  double least = std::numeric_limits<double>::infinity();
  for (unsigned subset : SubsetsBySize(one_way.size())) {
    const double violation = Violation(allowed, relative, subset, drag, push);
    if (violation < least) {
      least = violation;
      best = subset;
    }
    if (violation <= kSenseTolerance) break;
  }
  std::vector<const Element*> holding;
  for (std::size_t i = 0; i < one_way.size(); ++i)
    if (best >> i & 1u) holding.push_back(one_way[i]);
  return holding;
}

RowVectorXd ShaftRow(const MatrixXd& basis, int shaft) {
  if (shaft == Relations::kCase) return RowVectorXd::Zero(basis.cols());
  return basis.row(shaft);
}

// Drive, ratio and speeds that the locked rows leave.
DriveState StateOf(const Relations& relations, const MatrixXd& rows) {
  DriveState state;
  const MatrixXd basis = NullSpace(rows);
  MatrixXd ends(2, basis.cols());
  ends.row(0) = ShaftRow(basis, relations.input());
  ends.row(1) = ShaftRow(basis, relations.output());
  const MatrixXd inner = NullSpace(ends);  // motions with both ends at rest
  const Eigen::Index freedoms = basis.cols() - inner.cols();
  if (freedoms == 2) return state;
  state.drive = Drive::kLocked;
  if (freedoms == 0) return state;

  // The one motion of the ends: what is orthogonal to the inner ones.
  const VectorXd motion = NullSpace(inner.transpose()).col(0);
  const Eigen::Vector2d end_speeds = ends * motion;
  if (end_speeds.cwiseAbs().minCoeff() <= kFreedomTolerance * end_speeds.cwiseAbs().maxCoeff()) return state;
  state.drive = Drive::kRatio;
  state.ratio = end_speeds(0) / end_speeds(1);
  for (const auto& [member, shaft] : relations.shaft) {
    const RowVectorXd row = ShaftRow(basis, shaft);
    const bool determined = inner.cols() == 0 || (row * inner).cwiseAbs().maxCoeff() <= kFreedomTolerance;
    if (determined) state.speed[member] = row.dot(motion) / end_speeds(0);
  }
  return state;
}

// Fills in the torques of the locked elements at unit input torque.
void AddTorques(const Relations& relations, const std::vector<const Element*>& locked, DriveState& state) {
  if (locked.empty()) return;
  const MatrixXd geared = NullSpace(relations.gears);
  MatrixXd rows(static_cast<Eigen::Index>(locked.size()), relations.shafts);
  for (std::size_t i = 0; i < locked.size(); ++i)
    rows.row(static_cast<Eigen::Index>(i)) = relations.ElementRow(*locked[i]);
  VectorXd outside = VectorXd::Zero(relations.shafts);
  outside(relations.input()) += 1;
  outside(relations.output()) -= state.ratio;

  // For every motion the gears allow, the locked elements' torques do the negative of the outside torques'
  // work.
  const MatrixXd work = (rows * geared).transpose();
  Eigen::CompleteOrthogonalDecomposition<MatrixXd> split;
  split.setThreshold(kFreedomTolerance);
  split.compute(work);
  const VectorXd torque = split.solve(-geared.transpose() * outside);
  const double scale = std::max(1.0, std::abs(state.ratio));
  const MatrixXd open = NullSpace(work);  // splits that the balance does not settle
  for (std::size_t i = 0; i < locked.size(); ++i) {
    const Eigen::Index row = static_cast<Eigen::Index>(i);
    const double share = std::abs(torque(row));
    const bool carries = share > kTorqueTolerance * scale;
    const bool one_way = locked[i]->type == ElementType::kOneWayClutch;
    state.torque[locked[i]->name] = carries ? share : 0;
    if (carries && torque(row) < 0) state.holds_forward.push_back(locked[i]->name);
    if (carries && one_way) state.one_way_holding.push_back(locked[i]->name);
    if (carries && open.cols() > 0 && open.row(row).cwiseAbs().maxCoeff() > kFreedomTolerance)
      state.torque_shared = true;
  }
  std::sort(state.one_way_holding.begin(), state.one_way_holding.end());
}

}  // namespace

DriveState Solve(const Unit& unit, const std::vector<std::string>& applied, PowerFlow flow,
                 const std::vector<std::string>& broken) {
  const Relations relations = RelationsOf(unit);
  const Held held = HeldBy(unit, applied, broken);
  const MatrixXd locked_rows = WithLocked(relations, relations.gears, held.locked);
  DriveState state;
  if (relations.input() == Relations::kCase || relations.output() == Relations::kCase) {
    state.drive = Drive::kLocked;
    return state;
  }

  const bool coasting = flow == PowerFlow::kCoasting;
  double sense = 1;
  if (coasting) {
    const DriveState driving = Solve(unit, applied, PowerFlow::kDriving, broken);
    if (driving.drive == Drive::kRatio && driving.ratio < 0) sense = -1;
  }
  VectorXd drag = VectorXd::Constant(relations.shafts, kDrag);
  VectorXd push = VectorXd::Zero(relations.shafts);
  drag(coasting ? relations.input() : relations.output()) = 1;
  push(coasting ? relations.output() : relations.input()) = sense;

  const std::vector<const Element*> holding = FindHolding(relations, locked_rows, held.one_way, drag, push);
  state = StateOf(relations, WithLocked(relations, locked_rows, holding));
  if (state.drive == Drive::kRatio) {
    std::vector<const Element*> locked = held.locked;
    locked.insert(locked.end(), holding.begin(), holding.end());
    AddTorques(relations, locked, state);
    // A one-way clutch that only drag presses home does not hold anything that matters.
    for (const Element* clutch : holding)
      if (state.torque.at(clutch->name) == 0) state.torque.erase(clutch->name);
  }
  return state;
}

bool SameRatio(const DriveState& a, const DriveState& b) {
  return a.drive == Drive::kRatio && b.drive == Drive::kRatio &&
         std::abs(a.ratio - b.ratio) <= 1e-6 * std::max(std::abs(a.ratio), std::abs(b.ratio));
}

}  // namespace gearwhy
