#include "engine/files/edit_case.h"

#include <algorithm>
#include <tuple>

namespace gearwhy {
namespace {

// What a case says of one kind, in an order of its own.
template <typename Items, typename Key>
auto Sorted(const Items& items, Key key) {
  std::vector<decltype(key(items.front()))> keys;
  for (const auto& item : items) keys.push_back(key(item));
  std::sort(keys.begin(), keys.end());
  return keys;
}

}  // namespace

std::string_view CaseListKey(CaseList list) {
  switch (list) {
    case CaseList::kHistory:
      return "history";
    case CaseList::kMeasured:
      return "measured";
    case CaseList::kComplaint:
      return "complaint";
    case CaseList::kObserved:
      return "observed";
    case CaseList::kUnknown:
      return "unknown";
    case CaseList::kOpen:
      return "open";
  }
  return "";
}

CaseChange Reversed(CaseChange change) {
  change.kind = change.kind == CaseChange::Kind::kAdd ? CaseChange::Kind::kRemove : CaseChange::Kind::kAdd;
  return change;
}

bool ChangeCase(Case& c, const CaseChange& change) {
  const bool add = change.kind == CaseChange::Kind::kAdd;
  // Adds to a list, or takes the first item out that is meant.
  const auto apply = [&](auto& items, auto make, auto is_meant) {
    if (add) {
      items.push_back(make());
      return true;
    }
    const auto it = std::find_if(items.begin(), items.end(), is_meant);
    if (it == items.end()) return false;
    items.erase(it);
    return true;
  };
  const auto make_fact = [&] { return CaseFact{change.statement, {}, change.list == CaseList::kMeasured}; };
  const auto is_fact = [&](const CaseFact& fact) { return fact.statement == change.statement; };
  switch (change.list) {
    case CaseList::kHistory:
    case CaseList::kMeasured:
      return apply(c.facts, make_fact, is_fact);
    case CaseList::kUnknown:
      return apply(c.unknown, make_fact, is_fact);
    case CaseList::kOpen:
      return apply(
          c.open, [&] { return change.access; },
          [&](const std::string& name) { return name == change.access; });
    case CaseList::kComplaint:
    case CaseList::kObserved:
      break;
  }
  const bool complaint = change.list == CaseList::kComplaint;
  return apply(
      c.observations,
      [&] {
        return Observation{change.statement, change.present, complaint, change.trust,
                           change.under,     change.note,    {}};
      },
      [&](const Observation& o) {
        return o.complaint == complaint && o.event == change.statement && o.present == change.present &&
               o.trust == change.trust && o.under == change.under;
      });
}

Standpoint StandpointOf(const Case& c, const CaseChange& change) {
  const auto has = [](const auto& items, auto is_meant) {
    return std::any_of(items.begin(), items.end(), is_meant);
  };
  const auto is_fact = [&](const CaseFact& fact) { return fact.statement == change.statement; };
  const auto observed = [&](bool present) {
    return has(c.observations, [&](const Observation& o) {
      return o.event == change.statement && o.trust == change.trust && o.under == change.under &&
             o.present == present;
    });
  };
  const bool add = change.kind == CaseChange::Kind::kAdd;
  bool there = false;
  switch (change.list) {
    case CaseList::kHistory:
    case CaseList::kMeasured:
      there = has(c.facts, is_fact);
      break;
    case CaseList::kUnknown:
      there = has(c.unknown, is_fact);
      break;
    case CaseList::kOpen:
      there = has(c.open, [&](const std::string& name) { return name == change.access; });
      break;
    case CaseList::kComplaint:
    case CaseList::kObserved:
      there = observed(change.present);
      if (add && !there && observed(!change.present)) return Standpoint::kContrary;
      break;
  }
  return there == add ? Standpoint::kSaysSo : Standpoint::kOpen;
}

bool SameCase(const Case& a, const Case& b) {
  const auto fact = [](const CaseFact& f) { return std::tuple(f.statement, f.reading); };
  const auto report = [](const Observation& o) {
    return std::tuple(o.complaint, o.event, o.present, o.trust, o.under, o.note);
  };
  const auto name = [](const std::string& n) { return n; };
  const auto expectation = [](const Expectation& e) {
    return std::tuple(e.event, e.suspected, e.within, e.at_least.value_or(-1), e.at_most.value_or(-1),
                      e.rules);
  };
  return std::tie(a.id, a.title, a.unit, a.variant, a.version, a.note) ==
             std::tie(b.id, b.title, b.unit, b.variant, b.version, b.note) &&
         Sorted(a.facts, fact) == Sorted(b.facts, fact) &&
         Sorted(a.observations, report) == Sorted(b.observations, report) &&
         Sorted(a.unknown, fact) == Sorted(b.unknown, fact) && Sorted(a.open, name) == Sorted(b.open, name) &&
         Sorted(a.found, fact) == Sorted(b.found, fact) && Sorted(a.work, fact) == Sorted(b.work, fact) &&
         Sorted(a.mended, fact) == Sorted(b.mended, fact) && a.after == b.after &&
         Sorted(a.tried, report) == Sorted(b.tried, report) &&
         Sorted(a.expect, expectation) == Sorted(b.expect, expectation);
}

}  // namespace gearwhy
