#include "engine/drivetrain/fact_collector.h"

#include <fmt/format.h>

#include <algorithm>

namespace gearwhy {
namespace {

// "{element, range, share}".
std::string ListSlots(const FactCollector::Slots& slots) {
  std::string text;
  for (const auto& [name, value] : slots) text += (text.empty() ? "" : ", ") + name;
  return "{" + text + "}";
}

Value ValueOf(const FactCollector::Filling& filling) {
  if (const auto* name = std::get_if<std::string>(&filling)) return *name;
  if (const auto* number = std::get_if<double>(&filling)) return *number;
  return std::get<FactCollector::Amount>(filling).number;
}

}  // namespace

std::optional<Statement> FactCollector::Give(const std::string& name, const Slots& slots, const Place& place,
                                             bool calculated, std::vector<Statement> from) {
  const Word* word = words_.Find(name);
  if (word == nullptr) return std::nullopt;
  Statement statement{name, {}};
  const std::string why = Fill(*word, slots, statement);
  if (why.empty()) {
    facts_.push_back({statement, place, calculated, std::move(from)});
    return statement;
  }
  if (reported_.insert(name).second) {
    diagnostics_.Error(word->place, "unit-fact-shape",
                       fmt::format("`{}` is given by the unit as a fact with the slots {}; {}", name,
                                   ListSlots(slots), why));
  }
  return std::nullopt;
}

void FactCollector::GiveMember(const std::string& kind, const std::string& member, const Place& place) {
  const Word* word = words_.Find(kind);
  if (word != nullptr && word->IsWalk()) Give(kind, {{"is", member}}, place, false);
}

void FactCollector::GiveUnlessWalk(const std::string& name, const Slots& slots, const Place& place) {
  const Word* word = words_.Find(name);
  if (word != nullptr && !word->IsWalk()) Give(name, slots, place, false);
}

void FactCollector::GiveStated(const Statement& statement, const Place& place) {
  facts_.push_back({statement, place, false, {}});
}

// Fills the statement's slots in the word's order; returns what does not fit, or nothing.
std::string FactCollector::Fill(const Word& word, const Slots& slots, Statement& statement) const {
  if (word.IsEvent()) return fmt::format("here it is a {}", WordTypeName(word.type));
  for (const auto& [name, value] : slots) {
    if (word.SlotIndex(name) < 0) return fmt::format("here it has no slot `{}`", name);
  }
  for (const Slot& slot : word.slots) {
    const auto given =
        std::find_if(slots.begin(), slots.end(), [&](const auto& pair) { return pair.first == slot.name; });
    if (given != slots.end()) {
      const std::string why = Misfit(slot, given->second);
      if (!why.empty()) return why;
      statement.slots.push_back(ValueOf(given->second));
    } else if (slot.otherwise) {
      statement.slots.push_back(*slot.otherwise);
    } else {
      return fmt::format("here it also has `{}`", slot.name);
    }
  }
  return "";
}

std::string FactCollector::Misfit(const Slot& slot, const Filling& filling) const {
  if (!std::holds_alternative<std::string>(filling)) {
    const Amount* amount = std::get_if<Amount>(&filling);
    const Dimension dimension = amount == nullptr ? Dimension::kNumber : amount->dimension;
    return slot.dimension == dimension
               ? ""
               : fmt::format("its slot `{}` must hold a {}", slot.name, DimensionName(dimension));
  }
  if (slot.dimension) return fmt::format("its slot `{}` must hold a name", slot.name);
  const auto kind = words_.kinds.find(slot.kind);
  if (kind == words_.kinds.end() || kind->second.open) return "";
  const std::vector<std::string>& values = kind->second.values;
  const std::string& name = std::get<std::string>(filling);
  if (std::find(values.begin(), values.end(), name) != values.end()) return "";
  return fmt::format("the kind `{}` of its slot `{}` lacks `{}`", slot.kind, slot.name, name);
}

}  // namespace gearwhy
