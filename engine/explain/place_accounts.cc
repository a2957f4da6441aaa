#include "engine/explain/place_accounts.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "engine/belief/accounts.h"
#include "engine/model/policy.h"
#include "engine/text/at.h"
#include "engine/text/for_order.h"

namespace gearwhy {
namespace {

constexpr double kRounding = 1e-12;  // of chances that add up to 1

AccountPlace LikeliestAt(const Diagnosis& diagnosis, const FaultPlace& place, const std::vector<int>& roots,
                         const std::vector<double>& p_root) {
  const auto& events = diagnosis.ground.network.events;
  const int likeliest = *std::min_element(roots.begin(), roots.end(), [&](int a, int b) {
    return ForOrder(p_root[At(a)]) != ForOrder(p_root[At(b)]) ? p_root[At(a)] > p_root[At(b)]
                                                              : events[At(a)].id < events[At(b)].id;
  });
  AccountPlace told;
  told.place = place;
  told.fault = events[At(likeliest)].id;
  told.statement = diagnosis.ground.events[At(likeliest)].statement;
  told.chance = p_root[At(likeliest)];
  told.alike = static_cast<int>(std::count_if(
      roots.begin(), roots.end(), [&](int root) { return p_root[At(root)] * kAlike >= told.chance; }));
  return told;
}

}  // namespace

std::string_view FaultPlaceKindName(FaultPlace::Kind kind) {
  switch (kind) {
    case FaultPlace::Kind::kElement:
      return "element";
    case FaultPlace::Kind::kPart:
      return "part";
    case FaultPlace::Kind::kFault:
      return "fault";
  }
  return "";
}

FaultPlace PlaceOf(const Diagnosis& diagnosis, int event) {
  const GroundEvent& ground = diagnosis.ground.events[At(event)];
  const auto named = [&](std::string_view kind) {
    for (std::size_t i = 0; i < ground.word->slots.size(); ++i) {
      if (ground.word->slots[i].kind == kind) return ShowValue(ground.statement.slots[i]);
    }
    return std::string();
  };
  if (std::string element = named("element"); !element.empty())
    return {FaultPlace::Kind::kElement, std::move(element)};
  const std::string part = named("part");
  if (part.empty()) return {FaultPlace::Kind::kFault, diagnosis.ground.network.events[At(event)].id};
  if (diagnosis.unit != nullptr) {
    const auto& parts = diagnosis.unit->parts;
    const auto found =
        std::find_if(parts.begin(), parts.end(), [&](const Part& other) { return other.id == part; });
    if (found != parts.end() && !found->element.empty()) return {FaultPlace::Kind::kElement, found->element};
  }
  return {FaultPlace::Kind::kPart, part};
}

PlaceAccounts MakePlaceAccounts(const Diagnosis& diagnosis, int where) {
  PlaceAccounts told;
  const Network& network = diagnosis.ground.network;
  if (network.reports.empty()) return told;
  std::map<FaultPlace, int> number;  // places in order, so that they are told in order
  std::vector<int> place_of(network.events.size(), -1);
  const auto counts = [&](std::size_t i) {
    return diagnosis.ground.events[i].word->type == WordType::kFault &&
           Bears(network, diagnosis.chances, static_cast<int>(i));
  };
  for (std::size_t i = 0; i < place_of.size(); ++i) {
    if (counts(i)) number[PlaceOf(diagnosis, static_cast<int>(i))] = 0;
  }
  std::vector<FaultPlace> places;
  for (auto& [place, n] : number) {
    n = static_cast<int>(places.size());
    places.push_back(place);
  }
  for (std::size_t i = 0; i < place_of.size(); ++i) {
    if (counts(i)) place_of[i] = number[PlaceOf(diagnosis, static_cast<int>(i))];
  }
  const Accounts accounts = ComputeAccounts(network, diagnosis.chances, place_of, diagnosis.limits);
  for (const Account& account : accounts.all) {
    if (account.given.p_event.empty()) break;
    if (!told.likeliest.empty() && account.p < kAccountWorthTelling) break;
    PlaceAccount one;
    one.chance = account.p;
    one.chance_where =
        where >= 0 ? account.given.p_event[At(where)] : std::numeric_limits<double>::quiet_NaN();
    for (const int place : account.places) {
      one.places.push_back(
          LikeliestAt(diagnosis, places[At(place)], accounts.roots[At(place)], account.given.p_by_itself));
      one.is_where |= where >= 0 && places[At(place)] == PlaceOf(diagnosis, where);
    }
    told.likeliest.push_back(std::move(one));
  }
  if (told.likeliest.empty()) return told;
  told.rest = 1;
  for (const PlaceAccount& account : told.likeliest) told.rest -= account.chance;
  if (told.rest < kRounding) told.rest = 0;
  return told;
}

}  // namespace gearwhy
