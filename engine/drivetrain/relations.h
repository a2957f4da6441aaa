// Relations: a unit's gear arrangement as homogeneous linear equations in the speeds of its shafts.
//
// In: a Unit whose members all exist. Out: shafts (members that joins make one) by number, one row of
// coefficients for each gear relation and each element. A vector of shaft speeds w is possible when every row
// of `gears`, and of every locked element, gives row . w = 0. The case does not turn and has no number, so a
// row that touches it only lacks that term.
// Source: R. Willis, Principles of Mechanism (1841).
#pragma once

#include <Eigen/Dense>
#include <map>
#include <string>

#include "engine/model/unit.h"

namespace gearwhy {

struct Relations {
  static constexpr int kCase = -1;

  int shafts = 0;
  std::map<std::string, int> shaft;  // of every member, "input", "output" and "case"
  Eigen::MatrixXd gears;             // relations x shafts

  int input() const { return shaft.at("input"); }
  int output() const { return shaft.at("output"); }
  // The speed of `first` relative to `second`.
  Eigen::RowVectorXd ElementRow(const Element& element) const;
};
Relations RelationsOf(const Unit& unit);

// An orthonormal basis of the speeds that all rows allow: shafts x freedoms, possibly without columns.
Eigen::MatrixXd NullSpace(const Eigen::MatrixXd& rows);
// `rows` with one more.
Eigen::MatrixXd WithRow(const Eigen::MatrixXd& rows, const Eigen::RowVectorXd& row);

}  // namespace gearwhy
