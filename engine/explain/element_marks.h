// Element marks: which elements of a unit the reports of a case accuse, and which they clear.
//
// In: a diagnosis with a unit. Out: a mark for every element that has one, in the order of the unit.
// Method. What counts of an element are the states of trouble (`where` of the words) and the faults that belong to it
// (place_accounts.h). It is suspected where the likeliest of them that the reports have raised has at least
// kSuspectedFrom; it is cleared where none of its states is as likely as kClearedBelow any more, and the
// likeliest before looking has become less likely by kClearedBy. Cost: one pass over the network with nothing
// observed. Errors: none; no marks where the chances are not known.
#pragma once

#include <string>
#include <vector>

#include "engine/ground/diagnose.h"

namespace gearwhy {

struct ElementMark {
  std::string element;
  bool suspected = false;  // else it is cleared
  Statement statement;     // the state or fault that it goes by
  double chance = 0, before = 0;
};

std::vector<ElementMark> MarkElements(const Diagnosis& diagnosis);

}  // namespace gearwhy
