// Ground checks: the checks of the rulebook made out for this transmission, and the minutes that each still
// costs.
//
// In: a diagnosis. Out: every check whose conditions hold and that tells something nobody has looked at yet
// and somebody could tell (settled.h), in the order of the rulebook; but none that needs the vehicle to run
// while something is open that keeps it from that. Access is a tree: reaching `pan_off` also reaches
// `on_lift`, and what the case says is open
// (`open:`), with all on the way to it, is not paid again.
// Cost: one join a check.
#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

#include "engine/ground/diagnose.h"

namespace gearwhy {

struct GroundCheck {
  const Check* check = nullptr;
  Bindings bindings;
  // "ask-heat:R": the id with what its variables stand for, in order of the variables' names; those that go
  // at once are in neither.
  std::string key;
  std::vector<int> findings;  // events it answers that nobody has reported on or been unable to answer
  // Pairs of them: where the first is present, nobody can tell the second, and nothing is written of it.
  std::vector<std::pair<int, int>> silences = {};
  // Earlier reports that an answer makes weigh otherwise (belief/answers.h), by the finding that is then
  // present alone, and by -1 where none is: an answer that tells how a trouble comes bears on drives made
  // before.
  std::map<int, std::vector<Report>> reweighed = {};
  // The event whose absence says in one report that none of them is so; -1: each is answered by itself.
  int all_good = -1;
};

std::vector<GroundCheck> GroundChecksOf(const Diagnosis& diagnosis);

// Whether something that is open needs the unit out.
bool UnitIsOut(const Words& words, const std::vector<std::string>& open);

// Whether nothing that is open keeps the vehicle from running.
bool CanRun(const Words& words, const std::vector<std::string>& open);

// The accesses that need no more minutes: those named, all that lie on the way to them, and what these open.
std::set<std::string> OpenAccess(const Words& words, const std::vector<std::string>& open);
// Minutes to reach `access` from what is open; 0 when it is open itself.
double MinutesToReach(const Words& words, const std::string& access, const std::set<std::string>& open);
// The cautions of the steps that these minutes go to, the first step's first, by name.
std::vector<std::string> CautionsToReach(const Words& words, const std::string& access,
                                         const std::set<std::string>& open);

}  // namespace gearwhy
