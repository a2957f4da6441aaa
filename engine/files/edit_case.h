// Edit case: a change of a case, and when two cases say the same. case_text.h makes the same change to the
// text of the case's file.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/model/case.h"
#include "engine/model/words.h"

namespace gearwhy {

enum class CaseList { kHistory, kMeasured, kComplaint, kObserved, kUnknown, kOpen };
std::string_view CaseListKey(CaseList list);  // "history"

struct CaseChange {
  enum class Kind { kAdd, kRemove };
  Kind kind = Kind::kAdd;
  CaseList list = CaseList::kObserved;
  Statement statement;  // all but kOpen
  std::vector<std::string>
      written;          // beside its slots: how a quantity was written, "130 psi"; empty: in its base unit
  bool present = true;  // kComplaint, kObserved
  std::string trust;    // kComplaint, kObserved: a name in the words; never empty
  std::vector<std::string> under = {};  // kComplaint, kObserved: as in Observation
  std::string note;
  std::string access;  // kOpen: a name in the words

  friend bool operator==(const CaseChange&, const CaseChange&) = default;
};

// The change that takes this one back.
CaseChange Reversed(CaseChange change);

// Makes the change to the case. False when there is nothing to remove.
bool ChangeCase(Case& c, const CaseChange& change);
// How a case stands to a change before it is made: the change would add something to it; it says so already;
// or the same observation, equally trusted, stands there the other way round.
enum class Standpoint { kOpen, kSaysSo, kContrary };
Standpoint StandpointOf(const Case& c, const CaseChange& change);
// Whether two cases say the same, wherever it stands in their files. The order in a list does not count.
bool SameCase(const Case& a, const Case& b);

}  // namespace gearwhy
