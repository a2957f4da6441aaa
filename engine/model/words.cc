#include "engine/model/words.h"

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

const Word* Words::Find(std::string_view name) const {
  const auto it = words.find(name);
  return it == words.end() ? nullptr : &it->second;
}

const Trust& Words::TrustOfComplaints() const {
  for (const Trust& trust : trusts) {
    if (trust.of_complaints) return trust;
  }
  return trusts.front();
}

const Trust* Words::FindTrust(std::string_view name) const {
  for (const Trust& trust : trusts) {
    if (trust.name == name) return &trust;
  }
  return nullptr;
}

}  // namespace gearwhy
