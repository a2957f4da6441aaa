// Place accounts: what broke, told as places: this element alone, that part alone, both.
//
// In: a diagnosis. Out: its likeliest accounts (belief/accounts.h), at most three, each with the likeliest
// fault in each of its places, and what they leave to everything else.
// A fault belongs to the element that its statement names; else to the part that it names, and by that to the
// part's element, where the unit gives it one; a part of no element is a place of its own, and so is a fault
// of no part, such as trouble of the engine. A solenoid or valve that serves an element is not in it: it lies
// elsewhere in the unit, and is reached another way.
// Accounts and *where* are answers of one network: with each account stands how likely the first state of
// *where* is by it, so that the two can be read as one.
// Cost: see belief/accounts.h.
// Errors: none; no accounts where the chances are not exact, and where the reports speak for no fault.
#pragma once

#include <string>
#include <vector>

#include "engine/ground/diagnose.h"

namespace gearwhy {

// Something in the unit, or beside it, that faults belong to.
struct FaultPlace {
  enum class Kind { kElement, kPart, kFault };
  Kind kind = Kind::kFault;
  std::string name;  // "E", "pump"; of a fault of no part its id: "mount_broken"

  auto operator<=>(const FaultPlace&) const = default;
};
std::string_view FaultPlaceKindName(FaultPlace::Kind kind);  // "element", "part", "fault"

// Where the fault belongs; for a state, where it says that the trouble is.
FaultPlace PlaceOf(const Diagnosis& diagnosis, int event);

struct AccountPlace {
  FaultPlace place;
  // The likeliest fault there, and its chance to have arisen by itself, given the account.
  std::string fault;
  Statement statement;
  double chance = 0;
  int alike = 1;  // faults of the place as likely as that, or less likely by a factor of 1.2 at most
};

struct PlaceAccount {
  std::vector<AccountPlace> places;  // by kind and name; empty: nothing that the reports speak for has broken
  double chance = 0;                 // that something broke in each of these places, and nowhere else
  // Of the first state of *where*, given the account; not a number where there is none.
  double chance_where = 0;
  bool is_where = false;  // one of the places is the one that this state names
};

struct PlaceAccounts {
  std::vector<PlaceAccount> likeliest;  // likeliest first
  double rest = 0;                      // anything else, more places at once among it; 0 where there are none
};

// `where`: the first state of *where*, or -1.
PlaceAccounts MakePlaceAccounts(const Diagnosis& diagnosis, int where);

}  // namespace gearwhy
