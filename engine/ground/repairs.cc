#include "engine/ground/repairs.h"

#include <fmt/format.h>

#include "engine/chain/chain.h"

namespace gearwhy {

PartRepairs::PartRepairs(const Rulebook& book, const FactStore& store) : book_(book), store_(store) {
  const Word* word = book.words.Find("part");
  if (book.repairs.empty() || word == nullptr) return;
  const auto part = static_cast<std::size_t>(word->SlotIndex("part"));
  const auto kind = static_cast<std::size_t>(word->SlotIndex("kind"));
  for (const FactId fact : store.Named(Sense::kFact, word->name)) {
    const Statement statement = store.Get(fact).statement;
    kind_of_[std::get<std::string>(statement.slots[part])] = std::get<std::string>(statement.slots[kind]);
  }
}

const Repair* PartRepairs::LineOfPart(const std::string& part, Diagnostics& diagnostics) const {
  const auto kind = kind_of_.find(part);
  if (kind == kind_of_.end()) return nullptr;
  const Repair* without = nullptr;
  const Repair* with = nullptr;
  for (const Repair& line : book_.repairs) {
    if (line.part_kind != kind->second) continue;
    if (line.when.empty()) {
      without = &line;
    } else if (!FindMatches(line.when, store_, {{"part", part}}).empty()) {
      if (with != nullptr && with->access != line.access) {
        diagnostics
            .Error(line.place, "repair-twice",
                   fmt::format("two lines whose conditions hold say with which access `{}` is renewed", part))
            .notes.push_back({with->place, "the other is here"});
      }
      with = &line;
    }
  }
  return with != nullptr ? with : without;
}

const Repair* PartRepairs::LineOf(const Word& fault, const Statement& statement,
                                  Diagnostics& diagnostics) const {
  const std::string* part = PartOf(fault, statement);
  return part == nullptr ? nullptr : LineOfPart(*part, diagnostics);
}

std::string PartRepairs::AccessOf(const Word& fault, const Statement& statement,
                                  Diagnostics& diagnostics) const {
  if (!fault.repair.empty()) return fault.repair;
  const std::string* part = PartOf(fault, statement);
  if (part == nullptr || book_.repairs.empty()) return "";
  const Repair* line = LineOfPart(*part, diagnostics);
  if (line != nullptr) return line->access;
  const auto kind = kind_of_.find(*part);
  if (kind == kind_of_.end()) return "";
  diagnostics.Error(
      fault.place, "no-repair",
      fmt::format(
          "nothing says with which access `{}` is mended at a part of the kind `{}`; add a line for it "
          "to `repairs`, or `repair:` here",
          fault.name, kind->second));
  return "";
}

}  // namespace gearwhy
