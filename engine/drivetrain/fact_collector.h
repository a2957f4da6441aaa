// Fact collector: facts that the drivetrain calculates, kept where the words declare them and in the shape in
// which they do.
//
// A fact that the words do not declare is left out: no rule can ask for it. A declaration whose slots do not
// fit is an error at the word.
#pragma once

#include <set>
#include <string>
#include <utility>
#include <vector>

#include "engine/drivetrain/unit_facts.h"

namespace gearwhy {

class FactCollector {
 public:
  using Slots = std::vector<std::pair<std::string, Value>>;

  // Both must outlive this.
  FactCollector(const Words& words, Diagnostics& diagnostics) : words_(words), diagnostics_(diagnostics) {}

  void Give(const std::string& name, const Slots& slots, const Place& place, bool calculated);
  // `element: A` and the like, where the word is the plain walk over the kind of that name.
  void GiveMember(const std::string& kind, const std::string& member, const Place& place);
  // The same, but only where the word is more than the plain walk.
  void GiveUnlessWalk(const std::string& name, const Slots& slots, const Place& place);
  // A fact that a file states and the loader has checked.
  void GiveStated(const Statement& statement, const Place& place);

  std::vector<GivenFact> Take() { return std::move(facts_); }

 private:
  std::string Fill(const Word& word, const Slots& slots, Statement& statement) const;
  std::string Misfit(const Slot& slot, const Value& value) const;

  const Words& words_;
  Diagnostics& diagnostics_;
  std::vector<GivenFact> facts_;
  std::set<std::string> reported_;
};

}  // namespace gearwhy
