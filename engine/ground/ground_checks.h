// Ground checks: the checks of the rulebook made out for this transmission, and the minutes that each still
// costs.
//
// In: a diagnosis. Out: every check whose conditions hold and that tells something nobody has looked at yet
// and somebody could tell (settled.h), in the order of the rulebook, those of one look as one; but none
// that needs the vehicle to run while something is open that keeps it from that (model/access.h). What only a
// customer has complained of nobody has looked at: a check by another trust tells it, too.
// Cost: one join a check, for each variant that it may be.
#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

#include "engine/ground/diagnose.h"

namespace gearwhy {

struct GroundCheck {
  const Check* check = nullptr;  // or what a look says of its checks
  Bindings bindings;
  // "ask-how-it-comes:R": the id with what its variables stand for, in order of the variables' names; those
  // that go at once are in neither.
  std::string key;
  std::vector<int> findings;  // events it answers: see above
  // Those of them that a customer complains of, and nobody else has tried yet.
  std::vector<int> complained = {};
  // Pairs of them: where the first is present, nobody can tell the second, and nothing is written of it.
  std::vector<std::pair<int, int>> silences = {};
  // Earlier reports that an answer makes weigh otherwise (belief/answers.h), by the finding that is then
  // present alone, and by -1 where none is: an answer that tells how a trouble comes bears on drives made
  // before.
  std::map<int, std::vector<Report>> reweighed = {};
  // Events of what a customer left unnamed (silence.h) that an answer takes back, because it says what they
  // left open: by the finding that is then present alone, and by -1 where none is. Ascending.
  std::map<int, std::vector<int>> taken_back = {};
  // The event whose absence says in one report that none of them is so; -1: each is answered by itself.
  int all_good = -1;
  std::vector<int> only_in = {};  // the diagnosis' worlds in which it applies, where it does not in all
};

std::vector<GroundCheck> GroundChecksOf(const Diagnosis& diagnosis);

}  // namespace gearwhy
