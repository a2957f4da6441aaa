#include "engine/model/words.h"

#include <algorithm>
#include <variant>

namespace gearwhy {

std::string_view WordTypeName(WordType type) {
  switch (type) {
    case WordType::kFact:
      return "fact";
    case WordType::kFault:
      return "fault";
    case WordType::kState:
      return "state";
    case WordType::kFinding:
      return "finding";
  }
  return "";
}

int Word::SlotIndex(std::string_view slot) const {
  for (std::size_t i = 0; i < slots.size(); ++i) {
    if (slots[i].name == slot) return static_cast<int>(i);
  }
  return -1;
}

const std::string* PartOf(const Word& word, const Statement& statement) {
  const int slot = word.SlotIndex("part");
  return slot < 0 ? nullptr : std::get_if<std::string>(&statement.slots[static_cast<std::size_t>(slot)]);
}

const Word* Words::Find(std::string_view name) const {
  const auto it = words.find(name);
  return it == words.end() ? nullptr : &it->second;
}

namespace {

// The first that is marked; the default where none is.
const Trust& Marked(const std::vector<Trust>& trusts, bool Trust::*mark) {
  const auto it = std::find_if(trusts.begin(), trusts.end(), [&](const Trust& trust) { return trust.*mark; });
  return it == trusts.end() ? trusts.front() : *it;
}

}  // namespace

const Trust& Words::TrustOfComplaints() const { return Marked(trusts, &Trust::of_complaints); }

const Trust& Words::TrustOfTeardown() const { return Marked(trusts, &Trust::of_teardown); }

const Trust* Words::FindTrust(std::string_view name) const {
  for (const Trust& trust : trusts) {
    if (trust.name == name) return &trust;
  }
  return nullptr;
}

}  // namespace gearwhy
