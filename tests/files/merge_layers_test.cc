// A shop's folders laid over a rulebook: what each verb makes of it, and what is said where it makes no
// sense.
#include "engine/files/merge_layers.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>

#include "engine/files/load_rulebook.h"
#include "tests/support/catch.h"
#include "tests/support/program.h"

namespace gearwhy {
namespace {

constexpr const char* kBook = R"(
kinds:
  element: {from: unit}
facts:
  towed: {says: it towed}
  ran_far: {says: it ran far}
events:
  worn: {type: fault, slots: {element: element}, says: "{element} is worn"}
  bent: {type: fault, says: the rod is bent}
  cannot_hold: {type: state, slots: {element: element}, says: "{element} cannot hold"}
  slips: {type: finding, slots: {element: element}, says: "{element} slips", ask: ["{element} slips"]}
how_often: {usually: 80%, seldom: 6%}
access:
  in_car: {says: in the car}
  pan_off: {says: with the pan off, from: in_car, minutes: 25}
trust:
  seen: {noticed: 98%, mistaken: 2%}
rules:
  - id: towing-runs-far
    when: [towed]
    then: [ran_far]
chances:
  - id: wears
    fault: {worn: $e}
    when: [{element: $e}]
    chance: 2%
    factors:
      - {id: worn-by-towing, when: [towed], odds: 3}
  - {id: bends, fault: bent, chance: 1%}
charts:
  - id: no-hold
    symptom: {cannot_hold: $e}
    when: [{element: $e}]
    unexplained: 0.1%
    causes:
      - {cause: {worn: $e}, how_often: usually}
      - {cause: bent, how_often: seldom}
  - id: slip
    symptom: {slips: $e}
    when: [{element: $e}]
    unexplained: 0.1%
    causes:
      - {cause: {cannot_hold: $e}, how_often: usually}
checks:
  - {id: look, says: a look, tells: [{slips: A}], minutes: 5, access: in_car, how: Look.}
)";

struct Laid {
  Sources sources;
  Diagnostics diagnostics;
  std::optional<Rulebook> book;

  explicit Laid(const std::vector<std::string>& shops) {
    std::vector<BookLayer> layers = {{"rules", {sources.Add("rules/book.yaml", kBook)}}};
    for (std::size_t i = 0; i < shops.size(); ++i) {
      const std::string name = fmt::format("shop{}", i + 1);
      layers.push_back({name, {sources.Add(name + "/own.yaml", shops[i])}});
    }
    book = LoadRulebook(layers, sources, diagnostics);
  }
  std::string Errors() const { return RenderDiagnostics(diagnostics, sources); }
  const Rulebook& Book() const {
    INFO(Errors());
    REQUIRE(book);
    return *book;
  }
};

const Chance& ChanceOf(const Rulebook& book, const std::string& id) {
  const auto it =
      std::find_if(book.chances.begin(), book.chances.end(), [&](const Chance& c) { return c.id == id; });
  REQUIRE(it != book.chances.end());
  return *it;
}

TEST_CASE("a layer tunes numbers without copying their entries") {
  const Laid laid({R"(
changes:
  - {tune: wears, to: {chance: 5%}, because: ours tow}
  - {tune: worn-by-towing, to: {odds: 4}, because: ours tow hard}
  - {tune: {symptom: cannot_hold, cause: worn}, to: {how_often: 95%}, because: we saw it so}
  - {tune: pan_off, to: {minutes: 40}, because: the exhaust is in the way}
  - {tune: look, to: {access: pan_off, minutes: 8}, because: it cannot be seen from outside}
  - {tune: seen, to: {mistaken: 4%}, because: the light is bad}
  - {tune: seldom, to: 10%, because: we use it so}
)"});
  const Rulebook& book = laid.Book();
  CHECK(ChanceOf(book, "wears").p_chance == 0.05);
  CHECK(ChanceOf(book, "wears").factors[0].odds == 4);
  CHECK(book.charts[0].causes[0].p_how_often == 0.95);
  CHECK(book.charts[0].causes[1].p_how_often == 0.10);  // by the word
  CHECK(book.words.access.at("pan_off").minutes == 40);
  CHECK(book.checks[0].access == "pan_off");
  CHECK(book.words.trusts[0].p_mistaken == 0.04);
  REQUIRE(book.layers.changes.size() == 7);
  const LayerChange& first = book.layers.changes[0];
  CHECK(first.layer == 1);
  CHECK(first.called == "wears");
  CHECK(first.kind == "chance");
  CHECK(first.because == "ours tow");
  REQUIRE(first.keys.size() == 1);
  CHECK(first.keys[0].was == "2%");
  CHECK(first.keys[0].is == "5%");
  CHECK(ChangesAt(book.layers.changes, ChanceOf(book, "wears").place) ==
        std::vector<const LayerChange*>{&first});
  CHECK(book.layers.changes[2].called == "no-hold: {worn: $e}");
  CHECK(ChangesAt(book.layers.changes, book.charts[0].causes[0].place).size() == 1);
}

TEST_CASE("a layer replaces, silences and extends, and adds of its own") {
  const Laid laid({R"(
chances:
  - {id: bends-again, fault: bent, when: [ran_far], chance: 3%}
changes:
  - {silence: bends, because: ours cannot bend so}
  - replace: towing-runs-far
    with: {when: [towed], then: [ran_far], because: it tows daily}
    because: said in our words
  - extend: slip
    with: {causes: [{cause: bent, how_often: 30%}]}
    because: we found it so
  - extend: slips
    with: {ask: [slides]}
    because: customers here say so
  - {silence: {symptom: cannot_hold, cause: bent}, because: never seen}
)"});
  const Rulebook& book = laid.Book();
  REQUIRE(book.chances.size() == 2);
  CHECK(ChanceOf(book, "bends-again").p_chance == 0.03);
  CHECK(book.rules[0].because == "it tows daily");
  CHECK(laid.sources.Name(book.rules[0].place.source) == "shop1/own.yaml");
  CHECK(book.charts[0].causes.size() == 1);
  REQUIRE(book.charts[1].causes.size() == 2);
  CHECK(book.layers.Of(book.charts[1].causes[1].place) == 1);
  CHECK(book.words.words.at("slips").ask == std::vector<std::string>{"{element} slips", "slides"});
  REQUIRE(book.layers.added.size() == 1);
  CHECK(book.layers.added[0].called == "bends-again");
}

TEST_CASE("of two layers that change one thing the later wins, and the earlier is marked so") {
  const Laid laid({R"(
changes:
  - {tune: wears, to: {chance: 5%}, because: a}
  - {silence: bends, because: b}
  - {tune: worn-by-towing, to: {odds: 2}, because: c}
)",
                   R"(
changes:
  - {tune: wears, to: {chance: 7%}, because: d}
  - {tune: bends, to: {chance: 9%}, because: e}
)"});
  const Rulebook& book = laid.Book();
  CHECK(ChanceOf(book, "wears").p_chance == 0.07);
  CHECK(ChanceOf(book, "bends").p_chance == 0.09);  // there again
  REQUIRE(book.layers.changes.size() == 5);
  CHECK(book.layers.changes[0].overridden_by == 3);
  CHECK(book.layers.changes[1].overridden_by == 4);
  CHECK(book.layers.changes[2].overridden_by == -1);
  CHECK(book.layers.changes[3].keys[0].was == "5%");
}

TEST_CASE("a change or an added entry can be left out") {
  const Laid whole(
      {"changes:\n  - {tune: wears, to: {chance: 5%}, because: a}\nevents:\n  odd: {type: finding, says: "
       "odd}\n"
       "charts:\n  - {id: odd, symptom: odd, unexplained: 1%, causes: [{cause: bent, how_often: 9%}]}\n"});
  const Layers& layers = whole.Book().layers;
  Sources sources;
  const std::vector<BookLayer> same = {{"rules", {sources.Add("rules/book.yaml", kBook)}},
                                       {"shop1", {sources.Add("shop1/own.yaml", whole.sources.Text(1))}}};
  Diagnostics diagnostics;
  const auto without_change = LoadRulebook(same, sources, diagnostics, layers.changes[0].item);
  REQUIRE(without_change);
  CHECK(ChanceOf(*without_change, "wears").p_chance == 0.02);
  REQUIRE(layers.added.size() == 2);
  const auto without_chart = LoadRulebook(same, sources, diagnostics, layers.added[1].item);
  REQUIRE(without_chart);
  CHECK(without_chart->charts.size() == 2);
}

// A shop file, and all that is said of it.
struct Slip {
  std::string shop, message;
};

TEST_CASE("what cannot be changed is told at its place, with the nearest that there is") {
  const std::vector<Slip> slips = {
      {"changes:\n  - {tune: weers, to: {chance: 5%}, because: b}\n",
       R"(shop1/own.yaml:2:12: error: there is nothing called `weers`; did you mean `wears`? [nothing-to-change]
    2 |   - {tune: weers, to: {chance: 5%}, because: b}
      |            ^^^^^
)"},
      {"changes:\n  - {tune: wears, to: {chanse: 5%}, because: b}\n",
       R"(shop1/own.yaml:2:24: error: a chance has no key `chanse`; did you mean `chance`? [unknown-key]
    2 |   - {tune: wears, to: {chanse: 5%}, because: b}
      |                        ^^^^^^
)"},
      {"changes:\n  - {tune: wears, to: {chance: 5}, because: b}\n",
       R"(shop1/own.yaml:2:32: error: the chance `5` lies outside 0% to 100%; did you mean `5%`? [chance-outside]
    2 |   - {tune: wears, to: {chance: 5}, because: b}
      |                                ^
)"},
      {"changes:\n  - {tune: {symptom: cannot_hold, cause: wron}, to: {how_often: 5%}, because: b}\n",
       R"(shop1/own.yaml:2:42: error: nothing here has the `cause` `wron`; did you mean `worn`? [nothing-to-change]
    2 |   - {tune: {symptom: cannot_hold, cause: wron}, to: {how_often: 5%}, because: b}
      |                                          ^^^^
)"},
      {"changes:\n  - {silence: {type: fault}, because: b}\n",
       R"(shop1/own.yaml:2:15: error: `{type: fault}` may be 2 things; say more of the keys and values of the one that is meant [several-to-change]
    2 |   - {silence: {type: fault}, because: b}
      |               ^
rules/book.yaml:8:3: note: event `worn`
rules/book.yaml:9:3: note: event `bent`
)"},
      {"changes:\n  - {tune: wears, to: {chance: 5%}}\n",
       R"(shop1/own.yaml:2:5: error: a change lacks the key `because` [missing-key]
    2 |   - {tune: wears, to: {chance: 5%}}
      |     ^
)"},
      {"changes:\n  - {tune: wears, because: b}\n",
       R"(shop1/own.yaml:2:5: error: `tune` goes with `to`, as in `to: {chance: 3%}` [bad-change]
    2 |   - {tune: wears, because: b}
      |     ^
)"},
      {"changes:\n  - {silence: wears, tune: bends, to: {chance: 5%}, because: b}\n",
       R"(shop1/own.yaml:2:5: error: a change says one of `tune`, `replace`, `silence` and `extend` [bad-change]
    2 |   - {silence: wears, tune: bends, to: {chance: 5%}, because: b}
      |     ^
)"},
      {"changes:\n  - {silence: wears, to: {chance: 5%}, because: b}\n",
       R"(shop1/own.yaml:2:5: error: what is silenced gets no `to` and no `with` [bad-change]
    2 |   - {silence: wears, to: {chance: 5%}, because: b}
      |     ^
)"},
      {"changes:\n  - {tune: wears, to: {id: w}, because: b}\n",
       R"(shop1/own.yaml:2:24: error: an entry keeps its `id`: others speak of it by that [bad-change]
    2 |   - {tune: wears, to: {id: w}, because: b}
      |                        ^^
)"},
      {"changes:\n  - {tune: no-hold, to: {causes: []}, because: b}\n",
       R"(shop1/own.yaml:2:26: error: `causes` holds entries of its own: tune each of them, or `extend` it with more [bad-change]
    2 |   - {tune: no-hold, to: {causes: []}, because: b}
      |                          ^^^^^^
)"},
      {"changes:\n  - {extend: wears, with: {chance: 4%}, because: b}\n",
       R"(shop1/own.yaml:2:28: error: `chance` is there already, and holds no list or map; `tune` changes it [bad-change]
    2 |   - {extend: wears, with: {chance: 4%}, because: b}
      |                            ^^^^^^
)"},
      {"changes:\n  - {tune: wears, to: {chance: 4%}, because: b}\n  - {tune: wears, to: {chance: 5%}, "
       "because: b}\n",
       R"(shop1/own.yaml:3:12: error: this folder changes `wears` twice; say it once [changed-twice]
    3 |   - {tune: wears, to: {chance: 5%}, because: b}
      |            ^^^^^
shop1/own.yaml:2:12: note: the first time here
)"},
      {"chances:\n  - {id: bends, fault: bent, chance: 4%}\n",
       R"(shop1/own.yaml:2:10: error: the chance `bends` is there already; to change it, write `tune` or `replace` under `changes` [there-already]
    2 |   - {id: bends, fault: bent, chance: 4%}
      |          ^^^^^
rules/book.yaml:29:10: note: it stands here
)"},
      {"changes:\n  - {tune: [wears], to: {chance: 4%}, because: b}\n",
       R"(shop1/own.yaml:2:12: error: what is changed is named by its id, or by keys and values that it has, as in `{symptom: no_drive, cause: cannot_hold}` [bad-change]
    2 |   - {tune: [wears], to: {chance: 4%}, because: b}
      |            ^
)"},
      {"changes:\n  - {extend: {unit: three-speed}, with: {facts: []}, because: b}\n",
       R"(shop1/own.yaml:2:14: error: there is no unit called `three-speed` [nothing-to-change]
    2 |   - {extend: {unit: three-speed}, with: {facts: []}, because: b}
      |              ^
)"},
      {"changes:\n  - {replace: wears, with: {id: wear, fault: bent, chance: 1%}, because: b}\n",
       R"(shop1/own.yaml:2:33: error: an entry keeps its `id`, `wears`: others speak of it by that [bad-change]
    2 |   - {replace: wears, with: {id: wear, fault: bent, chance: 1%}, because: b}
      |                                 ^^^^
)"},
  };
  for (const Slip& slip : slips) {
    INFO(slip.shop);
    const Laid laid({slip.shop});
    CHECK_FALSE(laid.book);
    CHECK(laid.Errors() == slip.message);
  }
}

TEST_CASE("a change that changes nothing is a warning") {
  const Laid laid({"changes:\n  - {tune: wears, to: {chance: 2%}, because: b}\n"});
  CHECK(laid.book);
  CHECK(laid.Errors() == R"(shop1/own.yaml:2:12: warning: `wears` is so already [changes-nothing]
    2 |   - {tune: wears, to: {chance: 2%}, because: b}
      |            ^^^^^
)");
}

// broken_shops.txt: shop files that cannot be, each with all that is said of it. GEARWHY_REWRITE=1 writes
// what is said anew; read the differences.
TEST_CASE("of a hundred broken shop files each is told whole") {
  const std::string path = GEARWHY_SOURCE_DIR "/tests/files/broken_shops.txt";
  const std::string text = ReadAll(path);
  std::string anew;
  int slips = 0;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = text.find("=====\n", at), middle = text.find("-----\n", at);
    REQUIRE(end != std::string::npos);
    REQUIRE(middle < end);
    const std::string shop = text.substr(at, middle - at), told = text.substr(middle + 6, end - middle - 6);
    at = end + 6;
    ++slips;
    INFO(shop);
    const Laid laid({shop});
    CHECK_FALSE(laid.book);
    if (std::getenv("GEARWHY_REWRITE") == nullptr) CHECK(laid.Errors() == told);
    anew += shop + "-----\n" + laid.Errors() + "=====\n";
  }
  CHECK(slips >= 100);
  if (std::getenv("GEARWHY_REWRITE") != nullptr) std::ofstream(path) << anew;
}

}  // namespace
}  // namespace gearwhy
