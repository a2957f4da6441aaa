// Access: the tree of how far something is taken apart. Every question about it is answered here.
//
// In: the words' `access`, and what a case says is open (`open:`), by name. A step is reached from another and
// costs minutes once: reaching `pan_off` also reaches `on_lift`, and what is open, with all on the way to it,
// is not paid again. The loader has made sure that the tree has no circle.
// Cost: a walk to the start of the tree.
#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "engine/model/words.h"

namespace gearwhy {

// What is open with the access: itself, the steps on the way to it, and what these open besides.
std::set<std::string> OpenWith(const Words& words, std::string_view access);
// The accesses that need no more minutes: all that is open with any of those named.
std::set<std::string> OpenAccess(const Words& words, const std::vector<std::string>& open);
// Minutes to reach `access` from what is open; 0 when it is open itself.
double MinutesToReach(const Words& words, const std::string& access, const std::set<std::string>& open);
// The cautions of the steps that these minutes go to, the first step's first, by name.
// Each once, where it first holds.
std::vector<std::string> CautionsToReach(const Words& words, const std::string& access,
                                         const std::set<std::string>& open);
// Puts the names that are not among them yet behind the others.
void AddNames(const std::vector<std::string>& more, std::vector<std::string>& names);

// The step on the way to it, or itself, that takes the unit out; empty where none does.
std::string StepThatTakesOut(const Words& words, std::string_view access);
bool NeedsUnitOut(const Words& words, std::string_view access);
// Whether it or one it is reached through keeps the vehicle from running.
bool KeepsFromRunning(const Words& words, std::string_view access);
// Whether something that is open needs the unit out.
bool UnitIsOut(const Words& words, const std::vector<std::string>& open);
// Whether nothing that is open keeps the vehicle from running.
bool CanRun(const Words& words, const std::vector<std::string>& open);

// Whether everything begins there (or there is no such access): it is never noted as open.
bool IsStart(const Words& words, std::string_view access);
// All but the start, each behind the one it is reached from, of those from one the cheapest first.
std::vector<std::string> AccessInOrder(const Words& words);

}  // namespace gearwhy
