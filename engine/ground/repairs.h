// Repairs: which access mending a fault needs.
//
// In: the rulebook, the facts of one transmission. Out: the access of each fault. The fault's own word goes
// first (`repair:`); then, for a fault of a part, the line of `repairs` for its kind of part, and among those
// one whose conditions hold before one that has none: the same kind of part may sit elsewhere in one unit.
// Cost: one join for each line with conditions.
// Errors: where a book has `repairs` at all, a fault of a part for whose kind it has none; two lines with
// conditions that both hold and name different accesses.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/chain/fact_store.h"
#include "engine/model/rulebook.h"
#include "engine/text/diagnostic.h"

namespace gearwhy {

class PartRepairs {
 public:
  // Both must outlive this.
  PartRepairs(const Rulebook& book, const FactStore& store);

  // Empty when nothing says so.
  std::string AccessOf(const Word& fault, const Statement& statement, Diagnostics& diagnostics) const;
  // The line for the kind of part that `fault` is a fault of; nullptr when there is none.
  const Repair* LineOf(const Word& fault, const Statement& statement, Diagnostics& diagnostics) const;
  // The same for a part itself.
  const Repair* LineOfPart(const std::string& part, Diagnostics& diagnostics) const;

 private:
  const Rulebook& book_;
  const FactStore& store_;
  std::map<std::string, std::string, std::less<>> kind_of_;  // by part
};

}  // namespace gearwhy
