#include "engine/files/expand_versions.h"

#include <algorithm>

namespace gearwhy {
namespace {

// Of one variant and one version; of a unit without variants, of the version alone.
Variant Pair(const Variant* variant, double p_variant, const Variant& version, double p_version) {
  Variant pair = version;
  pair.version = version.name;
  pair.p_chance = p_version;
  if (variant == nullptr) return pair;
  pair.variant = variant->name;
  pair.name = variant->name + "-" + version.name;
  pair.says = variant->says + ", " + version.says;
  pair.variant_says = variant->says;
  pair.place = variant->place;
  pair.p_chance = p_variant * p_version;
  pair.facts = variant->facts;
  pair.facts.insert(pair.facts.end(), version.facts.begin(), version.facts.end());
  pair.fact_places = variant->fact_places;
  pair.fact_places.insert(pair.fact_places.end(), version.fact_places.begin(), version.fact_places.end());
  return pair;
}

template <typename Number>
void SayByPair(const std::vector<Variant>& pairs, std::map<std::string, Number>& said) {
  if (said.empty() || said.contains("")) return;
  std::map<std::string, Number> by_pair;
  for (const Variant& pair : pairs) {
    if (const auto it = said.find(pair.variant); it != said.end()) by_pair[pair.name] = it->second;
  }
  said = std::move(by_pair);
}

}  // namespace

void ExpandVersions(Unit& unit, const std::map<std::string, std::vector<std::string>>& only_in) {
  if (unit.versions.empty()) return;
  const std::vector<double> p_variants = ChancesOfVariants(unit);
  unit.plain_variants = std::move(unit.variants);
  unit.variants = unit.versions;
  const std::vector<double> p_versions = ChancesOfVariants(unit);
  unit.variants.clear();
  for (std::size_t v = 0; v < std::max<std::size_t>(1, unit.plain_variants.size()); ++v) {
    const Variant* variant = unit.plain_variants.empty() ? nullptr : &unit.plain_variants[v];
    for (std::size_t i = 0; i < unit.versions.size(); ++i) {
      unit.variants.push_back(
          Pair(variant, variant == nullptr ? 1 : p_variants[v], unit.versions[i], p_versions[i]));
    }
  }
  for (Part& part : unit.parts) {
    SayByPair(unit.variants, part.count);
    const auto versions = only_in.find(part.id);
    if (part.variants.empty() && versions == only_in.end()) continue;
    const auto holds = [](const std::vector<std::string>& all, const std::string& name) {
      return all.empty() || std::find(all.begin(), all.end(), name) != all.end();
    };
    std::vector<std::string> pairs;
    for (const Variant& pair : unit.variants) {
      if (holds(part.variants, pair.variant) &&
          (versions == only_in.end() || holds(versions->second, pair.version)))
        pairs.push_back(pair.name);
    }
    part.variants = std::move(pairs);
  }
  for (Stack& stack : unit.stacks) SayByPair(unit.variants, stack.depth);
  SayByPair(unit.variants, unit.engine_torque);
}

}  // namespace gearwhy
