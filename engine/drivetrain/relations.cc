#include "engine/drivetrain/relations.h"

#include <vector>

namespace gearwhy {
namespace {

// Coefficients below this count as none; rows are scaled to unit length first.
constexpr double kRankTolerance = 1e-9;

// Which members are one shaft: each name points to another of its group, the group's root to itself.
class Groups {
 public:
  void Add(const std::string& name) { parent_.emplace(name, name); }
  const std::string& Root(const std::string& name) const {
    const std::string* at = &name;
    while (parent_.at(*at) != *at) at = &parent_.at(*at);
    return *at;
  }
  void Join(const std::string& a, const std::string& b) {
    const std::string root_a = Root(a), root_b = Root(b);
    parent_[root_b] = root_a;
  }
  const std::map<std::string, std::string>& names() const { return parent_; }

 private:
  std::map<std::string, std::string> parent_;
};

void AddTerm(Eigen::RowVectorXd& row, int shaft, double coefficient) {
  if (shaft != Relations::kCase) row(shaft) += coefficient;
}

}  // namespace

Relations RelationsOf(const Unit& unit) {
  Groups groups;
  for (const char* end : {"case", "input", "output"}) groups.Add(end);
  for (const Gearset& set : unit.gearsets)
    for (const std::string& member : MemberNames(set.type)) groups.Add(set.name + "." + member);
  for (const std::vector<MemberName>& join : unit.joins)
    for (const MemberName& member : join) groups.Join(join.front(), member);

  Relations relations;
  std::map<std::string, int> number{{groups.Root("case"), Relations::kCase}};
  for (const auto& [name, parent] : groups.names()) {
    const auto [at, is_new] = number.emplace(groups.Root(name), relations.shafts);
    if (is_new) ++relations.shafts;
    relations.shaft[name] = at->second;
  }

  std::vector<Eigen::RowVectorXd> rows;
  // teeth_a * (a - carrier) + teeth_b * (b - carrier) = 0: two wheels seen from the carrier.
  auto relate = [&](const std::string& set, const std::string& a, double teeth_a, const std::string& b,
                    double teeth_b) {
    Eigen::RowVectorXd row = Eigen::RowVectorXd::Zero(relations.shafts);
    AddTerm(row, relations.shaft.at(set + "." + a), teeth_a);
    AddTerm(row, relations.shaft.at(set + "." + b), teeth_b);
    AddTerm(row, relations.shaft.at(set + ".carrier"), -(teeth_a + teeth_b));
    rows.push_back(row);
  };
  for (const Gearset& set : unit.gearsets) {
    switch (set.type) {
      case Gearset::Type::kSimple:  // one planet between sun and ring: they turn against each other
        relate(set.name, "sun", set.sun_teeth, "ring", set.ring_teeth);
        break;
      case Gearset::Type::kDualPinion:  // two planets: sun and ring turn the same way
        relate(set.name, "sun", set.sun_teeth, "ring", -set.ring_teeth);
        break;
      case Gearset::Type::kRavigneaux:
        relate(set.name, "small_sun", set.sun_teeth, "ring", -set.ring_teeth);
        relate(set.name, "large_sun", set.large_sun_teeth, "ring", set.ring_teeth);
        break;
    }
  }
  relations.gears = Eigen::MatrixXd::Zero(0, relations.shafts);
  for (const Eigen::RowVectorXd& row : rows) relations.gears = WithRow(relations.gears, row);
  return relations;
}

Eigen::RowVectorXd Relations::ElementRow(const Element& element) const {
  Eigen::RowVectorXd row = Eigen::RowVectorXd::Zero(shafts);
  AddTerm(row, shaft.at(element.first), 1);
  AddTerm(row, shaft.at(element.second), -1);
  return row;
}

Eigen::MatrixXd NullSpace(const Eigen::MatrixXd& rows) {
  const Eigen::Index shafts = rows.cols();
  Eigen::MatrixXd scaled = rows;
  for (Eigen::Index i = 0; i < scaled.rows(); ++i)
    if (scaled.row(i).norm() > kRankTolerance) scaled.row(i).normalize();
  if (shafts == 0) return Eigen::MatrixXd(0, 0);
  if (scaled.rows() == 0) return Eigen::MatrixXd::Identity(shafts, shafts);
  const Eigen::JacobiSVD<Eigen::MatrixXd> svd(scaled, Eigen::ComputeFullV);
  Eigen::Index rank = 0;
  for (Eigen::Index i = 0; i < svd.singularValues().size(); ++i)
    if (svd.singularValues()(i) > kRankTolerance) ++rank;
  return svd.matrixV().rightCols(shafts - rank);
}

Eigen::MatrixXd WithRow(const Eigen::MatrixXd& rows, const Eigen::RowVectorXd& row) {
  Eigen::MatrixXd result(rows.rows() + 1, row.cols());
  result.topRows(rows.rows()) = rows;
  result.bottomRows(1) = row;
  return result;
}

}  // namespace gearwhy
