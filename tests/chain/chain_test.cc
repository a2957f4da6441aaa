// The chain on rulebooks small enough to work out by hand.
#include "engine/chain/chain.h"

#include "engine/chain/proof.h"
#include "tests/chain/rule_text.h"
#include "tests/support/catch.h"

using namespace gearwhy;
using namespace gearwhy::test;

namespace {

// "path:a:b" for facts, "present slips:D3" for observations.
std::string Show(const FactStore& store, FactId fact) {
  const StoredFact stored = store.Get(fact);
  const std::string id = StatementId(stored.statement);
  return stored.sense == Sense::kFact ? id : (stored.sense == Sense::kPresent ? "present " : "absent ") + id;
}

std::vector<std::string> ShowFrom(const FactStore& store, FactId first) {
  std::vector<std::string> shown;
  for (FactId fact = first; fact < store.size(); ++fact) shown.push_back(Show(store, fact));
  return shown;
}

// What the rules add, in order.
std::vector<std::string> Derive(const std::vector<Rule>& rules, FactStore store) {
  Diagnostics diagnostics;
  REQUIRE(CheckStrata(rules, diagnostics));
  const int given = store.size();
  REQUIRE(Chain(rules, store, nullptr, diagnostics));
  REQUIRE(!diagnostics.HasErrors());
  return ShowFrom(store, given);
}

std::string ShowMessages(const Diagnostics& diagnostics, const Sources& sources) {
  return RenderDiagnostics(diagnostics, sources);
}

FactStore Path(int nodes) {
  FactStore store;
  for (int i = 0; i + 1 < nodes; ++i) {
    store.Add(Sense::kFact, {"edge", {"n" + std::to_string(i), "n" + std::to_string(i + 1)}});
  }
  return store;
}

}  // namespace

TEST_CASE("a value or a statement is shown as it is typed") {
  CHECK(StatementId({"overheats", {}}) == "overheats");
  CHECK(StatementId({"no_drive", {"R"}}) == "no_drive:R");
  CHECK(StatementId({"flare", {"D2", "D3"}}) == "flare:D2:D3");
  CHECK(StatementId({"line_pressure", {"D1", 3.25}}) == "line_pressure:D1:3.25");
  CHECK(ShowValue(0.1) == "0.1");
  CHECK(ShowValue(180000.0) == "180000");
  CHECK(ShowValue("piston_B") == "piston_B");
}

TEST_CASE("what the rules conclude, in the order of their rounds") {
  struct Row {
    std::string what, rules, facts;
    std::vector<std::string> derived;
  };
  const std::vector<Row> rows = {
      {"no rules", "", "p(a).", {}},
      {"a rule without conditions fires once", "r: p(a), q.", "", {"p:a", "q"}},
      {"a rule without conditions does not tell what is given", "r: p(a).", "p(a).", {}},
      {"a join", "r: g(X,Z) :- p(X,Y), p(Y,Z).", "p(a,b). \n p(b,c). \n p(d,e).", {"g:a:c"}},
      {"a variable twice in one statement", "r: loop(X) :- p(X,X).", "p(a,b).\np(c,c).", {"loop:c"}},
      {"a variable twice in one statement, bound before",
       "r: hit(X) :- q(X), p(X,X).",
       "p(a,b).\np(c,c).\nq(c).\nq(a).",
       {"hit:c"}},
      {"a value in a slot", "r: hit(Y) :- p(a,Y).", "p(a,b).\np(b,c).", {"hit:b"}},
      {"a slot left out matches anything",
       "r: from(X) :- p(X,_).",
       "p(a,b).\np(a,c).\np(b,c).",
       {"from:a", "from:b"}},
      {"numbers compare by size",
       "r: low(R) :- pressure(R,P), limit(R,L), P < L.",
       "pressure(d1,3).\npressure(d2,4).\nlimit(d1,3.5).\nlimit(d2,3.5).",
       {"low:d1"}},
      {"of a number on the right a share may be taken",
       "r: thin(P) :- reads(P,T), new(P,N), T < 50% of N.",
       "reads(a,0.7).\nreads(b,0.8).\nnew(a,1.6).\nnew(b,1.6).",
       {"thin:a"}},
      {"a comparison may stand before what binds it",
       "r: low(R) :- P < L, not exempt(R), pressure(R,P), limit(R,L).",
       "pressure(d1,3).\npressure(d2,2).\nexempt(d2).\nlimit(d1,3.5).\nlimit(d2,3.5).",
       {"low:d1"}},
      {"a number is never a name",
       "r: same(X,Y) :- p(X), p(Y), X = Y.\ns: other(X,Y) :- p(X), p(Y), X != Y.",
       "p(a).\np(1).",
       {"same:a:a", "same:1:1"}},
      {"names have no size", "r: hit :- p(X), p(Y), X < Y.\ns: hat :- p(X), X >= X.", "p(a).\np(b).", {}},
      {"numbers are equal when they are the same double",
       "r: hit(X) :- p(X), X = 0.3.",
       "p(0.3).\np(0.30000000000000004).",
       {"hit:0.3"}},
      {"minus nought is nought", "r: hit :- p(-0).", "p(0).", {"hit"}},
      {"not: no such statement is known",
       "r: free(X) :- item(X), not taken(X).",
       "item(a).\nitem(b).\ntaken(a).",
       {"free:b"}},
      {"not with a slot left out: none at all",
       "r: free(X) :- item(X), not taken(X,_).",
       "item(a).\nitem(b).\ntaken(a,c).",
       {"free:b"}},
      {"not of a statement nobody makes", "r: free(X) :- item(X), not never(X).", "item(a).", {"free:a"}},
      {"not waits until what it asks is complete",
       "late: free(X) :- item(X), not taken(X).\nearly: taken(X) :- mark(X).\nearlier: mark(b) :- item(b).",
       "item(a).\nitem(b).",
       {"mark:b", "taken:b", "free:a"}},
      {"two conclusions in different strata",
       "both: p(a), q(a) :- s.\nless: q(b) :- s, not p(b).\nlast: t(X) :- dom(X), not q(X).",
       "s.\ndom(a).\ndom(b).\ndom(c).",
       {"p:a", "q:a", "q:b", "t:c"}},
      {"fact, present and absent are three statements",
       "r: heard(X) :- present slips(X).\ns: denied(X) :- absent slips(X).\nt: known(X) :- slips(X).",
       "present slips(d1).\nabsent slips(d2).\nslips(d3).",
       {"heard:d1", "denied:d2", "known:d3"}},
      {"unknown is not absent: not present does not need absent, and absent needs to be said",
       "r: unheard(X) :- range(X), not present slips(X).\ns: denied(X) :- range(X), absent slips(X).",
       "range(d1).",
       {"unheard:d1"}},
      {"a rule may conclude an observation",
       "r: present low :- p(X), X < 3.\ns: seen :- present low.",
       "p(2).",
       {"present low", "seen"}},
      {"a closure, round by round",
       "base: path(X,Y) :- edge(X,Y).\nstep: path(X,Z) :- path(X,Y), path(Y,Z).",
       "edge(a,b).\nedge(b,c).\nedge(c,d).",
       {"path:a:b", "path:b:c", "path:c:d", "path:a:c", "path:b:d", "path:a:d"}},
      {"the same name with another number of slots is not met", "r: hit(X) :- p(X).", "p(a,b).", {}},
  };
  for (const Row& row : rows) {
    INFO(row.what);
    CHECK(Derive(Rules(row.rules), Facts(row.facts)) == row.derived);
  }
}

TEST_CASE("the closure of a chain of 300 nodes has each pair once and is found without wandering") {
  const std::vector<Rule> rules =
      Rules("base: path(X,Y) :- edge(X,Y).\nstep: path(X,Z) :- edge(X,Y), path(Y,Z).");
  FactStore store = Path(300);
  Diagnostics diagnostics;
  ChainLimits limits;
  // 44850 pairs, each found once by trying a path and then an edge that ends in it; nothing is tried in vain
  // but the ends.
  limits.max_steps = 100'000;
  REQUIRE(Chain(rules, store, nullptr, diagnostics, limits));
  CHECK(store.Named(Sense::kFact, "path").size() == 299 * 300 / 2);
}

TEST_CASE("the closure of a ring through the square rule") {
  // Every node reaches every node, itself as well.
  FactStore store = Path(60);
  store.Add(Sense::kFact, {"edge", {"n59", "n0"}});
  Diagnostics diagnostics;
  REQUIRE(Chain(Rules("base: path(X,Y) :- edge(X,Y).\nstep: path(X,Z) :- path(X,Y), path(Y,Z)."), store,
                nullptr, diagnostics));
  CHECK(store.Named(Sense::kFact, "path").size() == 60 * 60);
}

TEST_CASE("a join looks facts up by the slots that are bound") {
  // Two chains of 2000 facts that meet in one value: a search without an index would try four million pairs.
  FactStore store;
  for (int i = 0; i < 2000; ++i) {
    store.Add(Sense::kFact, {"left", {"l" + std::to_string(i), static_cast<double>(i)}});
    store.Add(Sense::kFact, {"right", {static_cast<double>(i + 1999), "r" + std::to_string(i)}});
  }
  ChainLimits limits;
  limits.max_steps = 5'000;
  Diagnostics diagnostics;
  REQUIRE(Chain(Rules("r: pair(X,Z) :- left(X,Y), right(Y,Z)."), store, nullptr, diagnostics, limits));
  CHECK(store.Named(Sense::kFact, "pair").size() == 1);
}

TEST_CASE("a rule with very many conditions does not overflow the stack") {
  std::string text = "long: done(X) :- p(X)";
  for (int i = 0; i < 400; ++i) text += ", p(X)";
  CHECK(Derive(Rules(text + "."), Facts("p(a).\np(b).")) == std::vector<std::string>{"done:a", "done:b"});
}

TEST_CASE("a proof goes back to what was given, with premises as written") {
  const std::vector<Rule> rules = Rules(
      "lost: leaks(P) :- pressure(P,B), B < 3, not sealed(P).\n"
      "weak: present weak(E) :- leaks(P), part_of(P,E).\n"
      "again: present weak(E) :- part_of(P,E), leaks(P).");
  FactStore store = Facts("part_of(piston,brake).\npressure(piston,2.5).\npart_of(piston,brake).");
  ProofBook book;
  Diagnostics diagnostics;
  REQUIRE(store.size() == 2);
  REQUIRE(Chain(rules, store, &book, diagnostics));
  REQUIRE(ShowFrom(store, 2) == std::vector<std::string>{"leaks:piston", "present weak:brake"});

  CHECK(book.Find(0) == nullptr);
  CHECK(book.Find(99) == nullptr);
  const Derivation* leaks = book.Find(2);
  REQUIRE(leaks != nullptr);
  CHECK(leaks->rule == rules.data());
  CHECK(leaks->is_new);
  CHECK(leaks->bindings == Bindings{{"B", 2.5}, {"P", "piston"}});
  REQUIRE(leaks->premises.size() == 3);
  CHECK(leaks->premises[0].fact == 1);
  CHECK(leaks->premises[1].kind == Condition::Kind::kCompare);
  CHECK(leaks->premises[1].fact == -1);
  CHECK(leaks->premises[2].kind == Condition::Kind::kNot);

  const Derivation* weak = book.Find(3);
  REQUIRE(weak != nullptr);
  CHECK(weak->rule == &rules[1]);
  CHECK(weak->premises[0].fact == 2);
  CHECK(weak->premises[1].fact == 0);
}

TEST_CASE("a given fact that follows from what it led to stays given") {
  const std::vector<Rule> rules = Rules("there: q(X) :- p(X).\nback: p(X) :- q(X).");
  FactStore store = Facts("p(a).");
  ProofBook book;
  Diagnostics diagnostics;
  REQUIRE(Chain(rules, store, &book, diagnostics));
  CHECK(book.Find(0) == nullptr);
  REQUIRE(book.Find(1) != nullptr);
  CHECK(book.Find(1)->premises[0].fact == 0);
}

TEST_CASE("why not: the condition that fails after the longest way") {
  const std::vector<Rule> rules = Rules(
      "strong: cannot_hold(E) :- N > 2, part_of(P,E), cracked(P), count(P,N).\n"
      "other: cannot_hold(brake_d) :- burnt(brake_d).\n"
      "seen: present cannot_hold(E) :- part_of(_,E).\n"
      "exempt: quiet(E) :- part_of(P,E), not cracked(P).\n"
      "two: quiet(E), cannot_hold(E) :- silent(E).");
  const FactStore store = Facts("part_of(p1,b).\npart_of(p2,b).\ncracked(p2).\ncount(p2,1).\npart_of(p2,c).");
  struct Row {
    std::string what, id;
    std::vector<std::string> misses;  // rule, conditions met, failed condition, bindings
  };
  const auto show = [](const std::vector<NearMiss>& misses) {
    std::vector<std::string> shown;
    for (const NearMiss& miss : misses) {
      std::string text = miss.rule->id + " " + std::to_string(miss.conditions_met) + " " +
                         std::to_string(miss.failed_condition);
      for (const Binding& binding : miss.bindings)
        text += " " + binding.variable + "=" + ShowValue(binding.value);
      shown.push_back(text);
    }
    return shown;
  };
  using Shown = std::vector<std::string>;
  // All statements of `strong` are met, only then can the comparison, written first, be asked.
  CHECK(show(WhyNot(rules, store, Sense::kFact, {"cannot_hold", {"b"}})) ==
        Shown{"strong 3 0 E=b N=1 P=p2", "two 0 0 E=b"});
  // Something nobody has heard of.
  CHECK(show(WhyNot(rules, store, Sense::kFact, {"cannot_hold", {"x"}})) ==
        Shown{"strong 0 1 E=x", "two 0 0 E=x"});
  // A conclusion with a value of its own is about that value only.
  CHECK(show(WhyNot(rules, store, Sense::kFact, {"cannot_hold", {"brake_d"}})) ==
        Shown{"strong 0 1 E=brake_d", "other 0 0", "two 0 0 E=brake_d"});
  CHECK(show(WhyNot(rules, store, Sense::kFact, {"quiet", {"c"}})) ==
        Shown{"exempt 1 1 E=c P=p2", "two 0 0 E=c"});
  // A rule that did fire is left out, and so is one that concludes something else.
  CHECK(show(WhyNot(rules, store, Sense::kPresent, {"cannot_hold", {"b"}})) == Shown{});
  CHECK(show(WhyNot(rules, store, Sense::kFact, {"nothing_like_it", {}})) == Shown{});
}

TEST_CASE("a circle through not is reported once, with its rules") {
  struct Row {
    std::string what, rules, messages;
  };
  const std::vector<Row> rows = {
      {"a rule against itself", "odd: p(X) :- q(X), not p(X).\n",
       "book.yaml:1:1: error: rules run in a circle through `not`: no `p` gives `p`; let one of them "
       "conclude another "
       "statement [not-cycle]\n"
       "    1 | odd: p(X) :- q(X), not p(X).\n"
       "      | ^^^\n"
       "book.yaml:1:1: note: by rule `odd` no `p` gives `p`\n"},
      {"over a third statement, past one that is not on the circle",
       "side: z :- a.\n"
       "give: b(X), y :- a, c(X).\n"
       "deny: a :- d, not present b(_).\n"
       "hear: present b(X) :- b(X).\n",
       "book.yaml:3:1: error: rules run in a circle through `not`: no `present: b` gives `a`, `a` gives `b`, "
       "`b` gives `present: "
       "b`; let one of them conclude another statement [not-cycle]\n"
       "    3 | deny: a :- d, not present b(_).\n"
       "      | ^^^^\n"
       "book.yaml:3:1: note: by rule `deny` no `present: b` gives `a`\n"
       "book.yaml:2:1: note: by rule `give` `a` gives `b`\n"
       "book.yaml:4:1: note: by rule `hear` `b` gives `present: b`\n"},
      {"two nots on one circle are one circle", "l: left :- on, not right.\nr: right :- on, not left.\n",
       "book.yaml:1:1: error: rules run in a circle through `not`: no `right` gives `left`, no `left` gives "
       "`right`; let one of "
       "them conclude another statement [not-cycle]\n"
       "    1 | l: left :- on, not right.\n"
       "      | ^\n"
       "book.yaml:1:1: note: by rule `l` no `right` gives `left`\n"
       "book.yaml:2:1: note: by rule `r` no `left` gives `right`\n"},
      {"two circles", "l: p :- not p.\nr: q :- not q.\n",
       "book.yaml:1:1: error: rules run in a circle through `not`: no `p` gives `p`; let one of them "
       "conclude another statement "
       "[not-cycle]\n"
       "    1 | l: p :- not p.\n"
       "      | ^\n"
       "book.yaml:1:1: note: by rule `l` no `p` gives `p`\n"
       "book.yaml:2:1: error: rules run in a circle through `not`: no `q` gives `q`; let one of them "
       "conclude another statement "
       "[not-cycle]\n"
       "    2 | r: q :- not q.\n"
       "      | ^\n"
       "book.yaml:2:1: note: by rule `r` no `q` gives `q`\n"},
      {"a circle without not is none", "l: p :- q.\nr: q :- p, not s.\n", ""},
      {"another sense is another statement", "l: present p :- q, not p.\nr: absent p :- not present p.\n",
       ""},
  };
  for (const Row& row : rows) {
    INFO(row.what);
    Sources sources;
    sources.Add("book.yaml", row.rules);
    Diagnostics diagnostics;
    CHECK(CheckStrata(Rules(row.rules), diagnostics) == row.messages.empty());
    CHECK(ShowMessages(diagnostics, sources) == row.messages);
  }
}

TEST_CASE("a rulebook that explodes ends with one error at the rule to blame") {
  const std::string text =
      "few: item(X) :- seed(X).\n"
      "many: triple(X,Y,Z) :- item(X), item(Y), item(Z).\n"
      "idle: hit :- item(X), item(Y), item(Z), item(W), X = Y, X != Z, Y != W, Z = W, W = X.\n";
  const std::vector<Rule> rules = Rules(text);
  Sources sources;
  sources.Add("book.yaml", text);
  FactStore seeds;
  for (int i = 0; i < 30; ++i) seeds.Add(Sense::kFact, {"seed", {static_cast<double>(i)}});

  SECTION("too many facts") {
    FactStore store = seeds;
    Diagnostics diagnostics;
    ChainLimits limits;
    limits.max_facts = 1000;
    CHECK(!Chain(rules, store, nullptr, diagnostics, limits));
    CHECK(store.size() == 1000);
    CHECK(ShowMessages(diagnostics, sources) ==
          "book.yaml:2:1: error: more than 1000 facts follow from the rules, 940 of them by rule `many`; let "
          "its conditions "
          "share more variables, or name more of their slots [rulebook-explodes]\n"
          "    2 | many: triple(X,Y,Z) :- item(X), item(Y), item(Z).\n"
          "      | ^^^^\n");
  }
  SECTION("too many steps, by a rule that concludes nothing") {
    FactStore store = seeds;
    Diagnostics diagnostics;
    ChainLimits limits;
    limits.max_steps = 1'000;
    CHECK(!Chain({rules[0], rules[2]}, store, nullptr, diagnostics, limits));
    CHECK(ShowMessages(diagnostics, sources).find("the rules are not done after 1000 steps, ") !=
          std::string::npos);
    CHECK(diagnostics.error_count() == 1);
    CHECK(diagnostics.Sorted().at(0).place.line == 3);
    CHECK(diagnostics.Sorted().at(0).code == "rulebook-explodes");
  }
  SECTION("exactly enough is not too many") {
    FactStore store = seeds;
    Diagnostics diagnostics;
    ChainLimits limits;
    limits.max_facts = 30 + 30 + 27000;
    CHECK(Chain(rules, store, nullptr, diagnostics, limits));
    CHECK(store.size() == limits.max_facts);
    CHECK(!diagnostics.HasErrors());
  }
}

TEST_CASE("matches of conditions start from what is given") {
  const FactStore store = Facts("edge(a,b).\nedge(b,c).\nedge(a,c).\nmark(c).");
  const auto conditions = Conditions("mark(Y)\nX != Y\nedge(X,Y)");
  const std::vector<Match> all = FindMatches(conditions, store);
  REQUIRE(all.size() == 2);
  CHECK(all[0].bindings == Bindings{{"X", "b"}, {"Y", "c"}});
  CHECK(all[1].bindings == Bindings{{"X", "a"}, {"Y", "c"}});
  CHECK(all[0].premises.at(2).fact == 1);
  const std::vector<Match> given = FindMatches(conditions, store, {{"W", 7.0}, {"X", "a"}});
  REQUIRE(given.size() == 1);
  CHECK(given[0].bindings == Bindings{{"W", 7.0}, {"X", "a"}, {"Y", "c"}});
  CHECK(FindMatches(conditions, store, {{"X", "nowhere"}}).empty());
  // No conditions hold once.
  CHECK(FindMatches({}, store, {{"X", "a"}}).size() == 1);
  // A value that no fact holds can still be compared.
  CHECK(FindMatches(Conditions("X != b\nX != c"), store, {{"X", "nowhere"}}).size() == 1);
  CHECK(FindMatches(Conditions("X < 3"), store, {{"X", 2.5}}).size() == 1);
  CHECK(FindMatches(Conditions("not edge(X,_)"), store, {{"X", "c"}}).size() == 1);
  CHECK(FindMatches(Conditions("not edge(X,_)"), store, {{"X", "a"}}).empty());
}

TEST_CASE(
    "a program runs on any number of stores that stand on its base, until one denies what the base "
    "concluded") {
  const std::vector<Rule> rules =
      Rules("free: free(X) :- item(X), not taken(X).\nuse: used(X) :- free(X), wanted(X).");
  const auto base = std::make_shared<FactStore>(Facts("item(a).\nitem(b)."));
  const RuleProgram program(rules, *base);
  Diagnostics diagnostics;
  REQUIRE(program.Run(*base, nullptr, diagnostics) == Chained::kDone);
  REQUIRE(ShowFrom(*base, 2) == std::vector<std::string>{"free:a", "free:b"});
  struct Row {
    Statement fact;
    Chained end;
    std::vector<std::string> derived;
  };
  const std::vector<Row> rows = {
      {{"wanted", {"b"}}, Chained::kDone, {"used:b"}}, {{"item", {"c"}}, Chained::kDone, {"free:c"}},
      {{"taken", {"c"}}, Chained::kDone, {}},  // nothing was concluded of it
      {{"taken", {"a"}}, Chained::kDenied, {}},        {{"unheard", {"of"}}, Chained::kDone, {}},
  };
  for (const Row& row : rows) {
    INFO(StatementId(row.fact));
    FactStore store(base);
    store.Add(Sense::kFact, row.fact);
    CHECK(program.Run(store, nullptr, diagnostics) == row.end);
    CHECK(ShowFrom(store, 5) == row.derived);
  }
  CHECK(base->size() == 4);
}

TEST_CASE("a pattern is filled from bindings") {
  const Pattern pattern{"flare", {Variable{"a"}, Value{"D3"}, Variable{"n"}}, {}};
  CHECK(Fill(pattern, {{"a", "D2"}, {"m", 1.0}, {"n", 2.0}}) == Statement{"flare", {"D2", "D3", 2.0}});
}
