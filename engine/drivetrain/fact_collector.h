// Fact collector: facts that the drivetrain calculates, kept where the words declare them and in the shape in
// which they do.
//
// A fact that the words do not declare is left out: no rule can ask for it. A declaration whose slots do not
// fit is an error at the word.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "engine/drivetrain/unit_facts.h"

namespace gearwhy {

class FactCollector {
 public:
  // A number in the base unit of its dimension; a plain double is kNumber.
  struct Amount {
    double number = 0;
    Dimension dimension = Dimension::kNumber;
  };
  using Filling = std::variant<std::string, double, Amount>;
  using Slots = std::vector<std::pair<std::string, Filling>>;

  // Both must outlive this.
  FactCollector(const Words& words, Diagnostics& diagnostics) : words_(words), diagnostics_(diagnostics) {}

  // `from`: what a calculated one was calculated from. Returns it, where the words have it.
  std::optional<Statement> Give(const std::string& name, const Slots& slots, const Place& place,
                                bool calculated, std::vector<Statement> from = {});
  // `element: A` and the like, where the word is the plain walk over the kind of that name.
  void GiveMember(const std::string& kind, const std::string& member, const Place& place);
  // The same, but only where the word is more than the plain walk.
  void GiveUnlessWalk(const std::string& name, const Slots& slots, const Place& place);
  // A fact that a file states and the loader has checked.
  void GiveStated(const Statement& statement, const Place& place);

  std::vector<GivenFact> Take() { return std::move(facts_); }

 private:
  std::string Fill(const Word& word, const Slots& slots, Statement& statement) const;
  std::string Misfit(const Slot& slot, const Filling& filling) const;

  const Words& words_;
  Diagnostics& diagnostics_;
  std::vector<GivenFact> facts_;
  std::set<std::string> reported_;
};

}  // namespace gearwhy
