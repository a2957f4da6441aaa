#include "engine/model/access.h"

#include <algorithm>
#include <utility>

namespace gearwhy {
namespace {

// The step itself and those on the way to it, the last first; empty where there is no such access.
std::vector<const Access*> WayTo(const Words& words, std::string_view access) {
  std::vector<const Access*> way;
  for (auto it = words.access.find(access); it != words.access.end(); it = words.access.find(it->second.from))
    way.push_back(&it->second);
  return way;
}

// The part of the way that is still to be paid.
std::vector<const Access*> WayFrom(const Words& words, const std::string& access,
                                   const std::set<std::string>& open) {
  std::vector<const Access*> way = WayTo(words, access);
  const auto paid =
      std::find_if(way.begin(), way.end(), [&](const Access* step) { return open.contains(step->name); });
  way.erase(paid, way.end());
  return way;
}

void AddBehind(const Words& words, const std::string& from, std::vector<std::string>& names) {
  std::vector<std::pair<double, std::string>> next;
  for (const auto& [name, access] : words.access) {
    if (access.from == from) next.emplace_back(access.minutes, name);
  }
  std::sort(next.begin(), next.end());
  for (const auto& [minutes, name] : next) {
    if (!from.empty()) names.push_back(name);
    AddBehind(words, name, names);
  }
}

}  // namespace

std::set<std::string> OpenWith(const Words& words, std::string_view access) {
  std::set<std::string> open;
  std::vector<std::string> to_do = {std::string(access)};
  while (!to_do.empty()) {
    const auto step = words.access.find(to_do.back());
    to_do.pop_back();
    if (step == words.access.end() || !open.insert(step->first).second) continue;
    to_do.push_back(step->second.from);
    to_do.insert(to_do.end(), step->second.opens.begin(), step->second.opens.end());
  }
  return open;
}

std::set<std::string> OpenAccess(const Words& words, const std::vector<std::string>& open) {
  std::set<std::string> reached;
  for (const std::string& name : open) reached.merge(OpenWith(words, name));
  return reached;
}

double MinutesToReach(const Words& words, const std::string& access, const std::set<std::string>& open) {
  double minutes = 0;
  for (const Access* step : WayFrom(words, access, open)) minutes += step->minutes;
  return minutes;
}

std::vector<std::string> CautionsToReach(const Words& words, const std::string& access,
                                         const std::set<std::string>& open) {
  std::vector<std::string> cautions;
  for (const Access* step : WayFrom(words, access, open))
    cautions.insert(cautions.begin(), step->cautions.begin(), step->cautions.end());
  std::set<std::string> said;
  std::erase_if(cautions, [&](const std::string& caution) { return !said.insert(caution).second; });
  return cautions;
}

void AddNames(const std::vector<std::string>& more, std::vector<std::string>& names) {
  for (const std::string& name : more) {
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
  }
}

std::string StepThatTakesOut(const Words& words, std::string_view access) {
  for (const Access* step : WayTo(words, access)) {
    if (step->unit_out) return step->name;
  }
  return "";
}

bool NeedsUnitOut(const Words& words, std::string_view access) {
  return !StepThatTakesOut(words, access).empty();
}

bool KeepsFromRunning(const Words& words, std::string_view access) {
  const std::vector<const Access*> way = WayTo(words, access);
  return std::any_of(way.begin(), way.end(), [](const Access* step) { return step->not_running; });
}

bool UnitIsOut(const Words& words, const std::vector<std::string>& open) {
  return std::any_of(open.begin(), open.end(),
                     [&](const std::string& access) { return NeedsUnitOut(words, access); });
}

bool CanRun(const Words& words, const std::vector<std::string>& open) {
  return std::none_of(open.begin(), open.end(),
                      [&](const std::string& access) { return KeepsFromRunning(words, access); });
}

bool IsStart(const Words& words, std::string_view access) { return WayTo(words, access).size() <= 1; }

std::vector<std::string> AccessInOrder(const Words& words) {
  std::vector<std::string> names;
  AddBehind(words, "", names);
  return names;
}

}  // namespace gearwhy
