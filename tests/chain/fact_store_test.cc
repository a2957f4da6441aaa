// The fact store: numbers, equality, order, copies.
#include "engine/chain/fact_store.h"

#include "tests/support/catch.h"

using namespace gearwhy;

TEST_CASE("a fact is stored once for each sense, and its number is its place in order") {
  FactStore store;
  const Statement slips{"slips", {"D3"}};
  CHECK(store.Add(Sense::kFact, slips) == std::pair(0, true));
  CHECK(store.Add(Sense::kPresent, slips) == std::pair(1, true));
  CHECK(store.Add(Sense::kFact, slips) == std::pair(0, false));
  CHECK(store.size() == 2);
  CHECK(store.Get(1).sense == Sense::kPresent);
  CHECK(store.Get(1).statement == slips);
  CHECK(store.Find(Sense::kPresent, slips) == 1);
  CHECK(store.Find(Sense::kAbsent, slips) == std::nullopt);
  CHECK(store.Find(Sense::kFact, {"slips", {"D2"}}) == std::nullopt);
  CHECK(store.Find(Sense::kFact, {"slips", {}}) == std::nullopt);
}

TEST_CASE("numbers and names are told apart, and numbers compare as doubles") {
  FactStore store;
  CHECK(store.Add(Sense::kFact, {"p", {"1"}}).first == 0);
  CHECK(store.Add(Sense::kFact, {"p", {1.0}}).first == 1);
  CHECK(store.Add(Sense::kFact, {"p", {0.0}}).first == 2);
  CHECK(store.Add(Sense::kFact, {"p", {-0.0}}) == std::pair(2, false));
  CHECK(store.Add(Sense::kFact, {"p", {0.1 + 0.2}}).second);
  CHECK(store.Find(Sense::kFact, {"p", {0.3}}) == std::nullopt);
}

TEST_CASE("facts are found by name and by what fills a slot, in order") {
  FactStore store;
  store.Add(Sense::kFact, {"p", {"a", "b"}});
  store.Add(Sense::kFact, {"q", {"a"}});
  store.Add(Sense::kFact, {"p", {"c", "b"}});
  store.Add(Sense::kFact, {"p", {"a", "c"}});
  CHECK(store.Named(Sense::kFact, "p") == std::vector<FactId>{0, 2, 3});
  CHECK(store.Named(Sense::kPresent, "p").empty());
  CHECK(store.Named(Sense::kFact, "r").empty());
  const auto p = store.FindRelation(Sense::kFact, "p").value();
  CHECK(store.With(p, 0, store.FindValue("a").value()) == std::vector<FactId>{0, 3});
  CHECK(store.With(p, 1, store.FindValue("b").value()) == std::vector<FactId>{0, 2});
  CHECK(store.With(p, 1, store.FindValue("a").value()).empty());
  CHECK(store.With(p, 2, store.FindValue("a").value()).empty());
}

TEST_CASE("a copy of a store stands on its own") {
  FactStore copy;
  {
    FactStore store;
    store.Add(Sense::kFact, {"p", {"a rather long name that lives on the heap"}});
    copy = store;
    store.Add(Sense::kFact, {"p", {"b"}});
  }
  CHECK(copy.size() == 1);
  CHECK(copy.Find(Sense::kFact, {"p", {"a rather long name that lives on the heap"}}) == 0);
  CHECK(copy.Add(Sense::kFact, {"p", {"b"}}) == std::pair(1, true));
  CHECK(copy.GetValue(copy.FindValue("b").value()) == Value{"b"});
}
