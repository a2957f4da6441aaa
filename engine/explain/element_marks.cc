#include "engine/explain/element_marks.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "engine/explain/rank_report.h"
#include "engine/model/policy.h"

namespace gearwhy {
namespace {

struct OfElement {
  int event = -1;
  bool is_state = false;
  double chance = 0, before = 0;
};

ElementMark MakeMark(const Diagnosis& diagnosis, const std::string& element, const OfElement& of,
                     bool suspected) {
  return {element, suspected, diagnosis.ground.events[At(of.event)].statement, of.chance, of.before};
}

std::optional<ElementMark> MarkOf(const Diagnosis& diagnosis, const std::string& element,
                                  const std::vector<OfElement>& all) {
  const OfElement* raised = nullptr;
  const OfElement* commonest = nullptr;
  bool all_low = true;
  for (const OfElement& of : all) {
    if (of.chance >= kRaisedFrom * of.before && (raised == nullptr || of.chance > raised->chance))
      raised = &of;
    if (!of.is_state) continue;
    all_low &= of.chance < kClearedBelow;
    if (commonest == nullptr || of.before > commonest->before) commonest = &of;
  }
  if (raised != nullptr && raised->chance >= kSuspectedFrom)
    return MakeMark(diagnosis, element, *raised, true);
  if (commonest != nullptr && commonest->before > 0 && all_low &&
      commonest->chance * kClearedBy <= commonest->before)
    return MakeMark(diagnosis, element, *commonest, false);
  return std::nullopt;
}

}  // namespace

std::vector<ElementMark> MarkElements(const Diagnosis& diagnosis) {
  std::vector<ElementMark> marks;
  if (diagnosis.unit == nullptr || !NoteExactness(diagnosis).known) return marks;
  std::vector<int> events;
  for (std::size_t i = 0; i < diagnosis.ground.events.size(); ++i) {
    const Word& word = *diagnosis.ground.events[i].word;
    if ((word.where || word.type == WordType::kFault) && !std::isnan(diagnosis.chances.p_event[i]))
      events.push_back(static_cast<int>(i));
  }
  const std::vector<double> before = ChancesBefore(diagnosis, events, diagnosis.limits);
  std::map<std::string, std::vector<OfElement>> by_element;
  for (std::size_t i = 0; i < events.size(); ++i) {
    const FaultPlace place = PlaceOf(diagnosis, events[i]);
    if (place.kind != FaultPlace::Kind::kElement) continue;
    by_element[place.name].push_back({events[i], diagnosis.ground.events[At(events[i])].word->where,
                                      diagnosis.chances.p_event[At(events[i])], before[i]});
  }
  for (const Element& element : diagnosis.unit->elements) {
    if (auto mark = MarkOf(diagnosis, element.name, by_element[element.name]))
      marks.push_back(std::move(*mark));
  }
  return marks;
}

}  // namespace gearwhy
