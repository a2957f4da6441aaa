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

const Trust* Words::FindTrust(std::string_view name) const {
  for (const Trust& trust : trusts) {
    if (trust.name == name) return &trust;
  }
  return nullptr;
}

std::set<std::string> Words::OpenWith(std::string_view name) const {
  std::set<std::string> open;
  std::vector<std::string> to_do = {std::string(name)};
  while (!to_do.empty()) {
    const auto step = access.find(to_do.back());
    to_do.pop_back();
    if (step == access.end() || !open.insert(step->first).second) continue;
    to_do.push_back(step->second.from);
    to_do.insert(to_do.end(), step->second.opens.begin(), step->second.opens.end());
  }
  return open;
}

bool Words::NeedsUnitOut(std::string_view name) const {
  // The loader has made sure that the tree has no circle.
  for (auto it = access.find(name); it != access.end(); it = access.find(it->second.from)) {
    if (it->second.unit_out) return true;
  }
  return false;
}

bool Words::KeepsFromRunning(std::string_view name) const {
  for (auto it = access.find(name); it != access.end(); it = access.find(it->second.from)) {
    if (it->second.not_running) return true;
  }
  return false;
}

}  // namespace gearwhy
