#include "engine/model/layers.h"

#include <algorithm>

namespace gearwhy {

std::string_view LayerVerbName(LayerChange::Verb verb) {
  switch (verb) {
    case LayerChange::Verb::kTune:
      return "tune";
    case LayerChange::Verb::kReplace:
      return "replace";
    case LayerChange::Verb::kSilence:
      return "silence";
    case LayerChange::Verb::kExtend:
      return "extend";
  }
  return "";
}

int Layers::Of(const Place& place) const {
  const auto it = of_source.find(place.source);
  return it == of_source.end() ? 0 : it->second;
}

std::vector<const LayerChange*> ChangesAt(const std::vector<LayerChange>& changes, const Place& place) {
  std::vector<const LayerChange*> found;
  for (const LayerChange& change : changes) {
    const auto is_here = [&](const Place& one) {
      return one.source == place.source && one.line == place.line && one.column == place.column;
    };
    if (std::any_of(change.what.begin(), change.what.end(), is_here)) found.push_back(&change);
  }
  return found;
}

}  // namespace gearwhy
