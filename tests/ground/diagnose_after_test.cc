// A diagnosis that goes on from the one before against one from the beginning: they must be the same to the
// last bit.
#include <cstring>
#include <fstream>
#include <iterator>
#include <map>
#include <memory>

#include "engine/explain/rank_report.h"
#include "engine/files/load_case.h"
#include "engine/ground/diagnose.h"
#include "engine/render/json.h"
#include "tests/support/book.h"
#include "tests/support/shipped.h"

namespace gearwhy {
namespace {

bool SameBits(const std::vector<double>& a, const std::vector<double>& b) {
  return a.size() == b.size() &&
         (a.empty() || std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0);
}

void CheckSameEvents(const GroundNetwork& a, const GroundNetwork& b) {
  REQUIRE(a.events.size() == b.events.size());
  REQUIRE(a.network.events.size() == b.network.events.size());
  std::size_t different = 0;
  for (std::size_t i = 0; i < a.events.size(); ++i) {
    const GroundEvent &x = a.events[i], &y = b.events[i];
    bool same = x.statement == y.statement && x.word == y.word && x.chance == y.chance &&
                x.chart == y.chart && x.chance_bindings == y.chance_bindings &&
                x.factors.size() == y.factors.size() && x.links.size() == y.links.size() &&
                a.Find(x.statement) == static_cast<int>(i);
    for (std::size_t f = 0; same && f < x.factors.size(); ++f)
      same = x.factors[f].factor == y.factors[f].factor && x.factors[f].facts == y.factors[f].facts;
    for (std::size_t l = 0; same && l < x.links.size(); ++l) {
      same = x.links[l].chart == y.links[l].chart && x.links[l].line == y.links[l].line &&
             x.links[l].bindings == y.links[l].bindings && x.links[l].facts == y.links[l].facts;
    }
    const Event &n = a.network.events[i], &m = b.network.events[i];
    same = same && n.id == m.id && n.type == m.type && n.p_unexplained == m.p_unexplained &&
           n.causes.size() == m.causes.size();
    for (std::size_t c = 0; same && c < n.causes.size(); ++c)
      same = n.causes[c].event == m.causes[c].event && n.causes[c].p_how_often == m.causes[c].p_how_often;
    different += same ? 0 : 1;
  }
  CHECK(different == 0);
}

void CheckSameReports(const GroundNetwork& a, const GroundNetwork& b) {
  CHECK(a.unknown_observations == b.unknown_observations);
  REQUIRE(a.reports.size() == b.reports.size());
  REQUIRE(a.network.reports.size() == b.network.reports.size());
  for (std::size_t r = 0; r < a.reports.size(); ++r) {
    CHECK(a.reports[r].observation == b.reports[r].observation);
    CHECK(a.reports[r].fact == b.reports[r].fact);
    const Report &x = a.network.reports[r], &y = b.network.reports[r];
    CHECK((x.event == y.event && x.present == y.present && x.p_if_present == y.p_if_present &&
           x.p_if_absent == y.p_if_absent));
  }
}

void CheckSame(const Diagnosis& on, const Diagnosis& anew) {
  CheckSameEvents(on.ground, anew.ground);
  CheckSameReports(on.ground, anew.ground);
  CHECK(SameBits(on.chances.p_event, anew.chances.p_event));
  CHECK(SameBits(on.chances.p_by_itself, anew.chances.p_by_itself));
  CHECK(on.chances.logp_reports == anew.chances.logp_reports);
}

std::string ReadText(const std::string& path) {
  std::ifstream file(path);
  return {std::istreambuf_iterator<char>(file), {}};
}

class Shop {
 public:
  const UnitKnowledge* Know(const std::string& unit) {
    if (unit.empty()) return nullptr;
    auto& known = known_[unit];
    if (!known) known = KnowUnit(shipped.UnitNamed(unit), shipped.diagnostics);
    REQUIRE(known);
    return &*known;
  }

  Case Read(const std::string& path) {
    const auto source = ReadSource(path, path, kMaxCaseBytes, shipped.sources, shipped.diagnostics);
    REQUIRE(source);
    const auto root = ParseYaml(shipped.sources, *source, shipped.diagnostics);
    REQUIRE(root);
    const FindUnit find = [&](const std::string& name, const Place& place) {
      return shipped.shelf->Find(name, place, shipped.diagnostics);
    };
    auto c = LoadCase(*root, root->Find("case")->text, *shipped.book, find, shipped.diagnostics);
    INFO(shipped.Errors());
    REQUIRE(c);
    return *c;
  }

  std::string Json(const Diagnosis& diagnosis) {
    // The next checks are made from the same data; they have tests of their own.
    return RankJson(MakeRankReport(diagnosis, nullptr, {}), {}, Speaker(diagnosis, shipped.sources), 2);
  }

  ShippedBook shipped;

 private:
  std::map<std::string, std::optional<UnitKnowledge>> known_;
};

// Everything that the case says, one thing after the other.
void TellBitByBit(Shop& shop, const Case& whole, bool compare_each) {
  const UnitKnowledge* unit = shop.Know(whole.unit);
  Case told = whole;
  told.facts.clear();
  told.observations.clear();
  Diagnostics diagnostics;
  const auto case_of = [&] { return std::make_unique<Case>(told); };
  std::unique_ptr<Case> c = case_of();
  auto on = Diagnose(*shop.shipped.book, unit, *c, {}, diagnostics);
  REQUIRE(on);
  const auto go_on = [&] {
    std::unique_ptr<Case> next = case_of();
    on = DiagnoseAfter(std::move(*on), unit, *next, diagnostics);
    REQUIRE(on);
    c = std::move(next);
    CHECK(on->c == c.get());
    if (compare_each) CheckSame(*on, *Diagnose(*shop.shipped.book, unit, *c, {}, diagnostics));
  };
  std::size_t fact = 0;
  for (const Observation& observation : whole.observations) {
    told.observations.push_back(observation);
    go_on();
    if (fact == whole.facts.size()) continue;
    told.facts.push_back(whole.facts[fact++]);  // between the reports: it may change the network
    go_on();
  }
  while (fact < whole.facts.size()) {
    told.facts.push_back(whole.facts[fact++]);
    go_on();
  }
  const auto anew = Diagnose(*shop.shipped.book, unit, *c, {}, diagnostics);
  REQUIRE(anew);
  CheckSame(*on, *anew);
  CHECK(shop.Json(*on) == shop.Json(*anew));
}

TEST_CASE("going on from the diagnosis before comes to what a new one comes to, for every shipped case") {
  Shop shop;
  int count = 0;
  for (const std::string& path : ListYamlFiles(GEARWHY_SOURCE_DIR "/cases", shop.shipped.diagnostics)) {
    INFO(path);
    TellBitByBit(shop, shop.Read(path), count++ % 16 == 0);
  }
  CHECK(count > 20);
}

TEST_CASE("going on follows facts that change the network, and reports that are taken back") {
  TestBook test(ReadText(GEARWHY_SOURCE_DIR "/tests/cli/golden/ask-new/book/lamp.yaml"));
  INFO(test.Errors());
  REQUIRE(test.book);
  const std::string head = "case: x\ntitle: Dark\n";
  const std::string dark = "complaint: [{present: {dark: attic}}]\n";
  std::unique_ptr<Case> c;
  std::optional<Diagnosis> on;
  for (const std::string& lines :
       {std::string(), dark, dark + "history: [house_is_old]\n",
        "history: [house_is_old]\n" + dark + "observed: [{absent: hums}]\n",
        dark + "measured: [{supply: {room: attic, is: 2 V}}]\n",
        dark + "measured: [{supply: {room: attic, is: 220 V}}]\nunknown: [hums]\n",
        std::string("observed: [{absent: {dark: hall}}, {present: {dark: hall}, trust: customer}]\n")}) {
    INFO(lines);
    auto read = test.ReadCase("x", head + lines);
    INFO(test.Errors());
    REQUIRE(read);
    auto next = std::make_unique<Case>(std::move(*read));
    const auto anew = Diagnose(*test.book, nullptr, *next, {}, test.diagnostics);
    REQUIRE(anew);
    on = on ? DiagnoseAfter(std::move(*on), nullptr, *next, test.diagnostics)
            : Diagnose(*test.book, nullptr, *next, {}, test.diagnostics);
    REQUIRE(on);
    c = std::move(next);
    CheckSame(*on, *anew);
    const bool old = lines.find("house_is_old") != std::string::npos;
    const auto wire = on->ground.Find({"wire_broken", {"attic"}});
    REQUIRE(wire);
    CHECK(on->ground.events[static_cast<std::size_t>(*wire)].factors.size() == (old ? 1U : 0U));
  }
}

}  // namespace
}  // namespace gearwhy
