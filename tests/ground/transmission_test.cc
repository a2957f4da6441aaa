// A case put on a transmission that was made once, against the same case with facts and network made from the
// beginning: the plain way, spelt out here.
#include <cmath>
#include <map>
#include <memory>
#include <set>

#include "engine/drivetrain/speed_facts.h"
#include "engine/ground/diagnose.h"
#include "engine/ground/silence.h"
#include "tests/support/book.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

using Plain = Diagnosis;

// `lasting`: the facts of the transmission, by which it is known how common an event is without history.
// `variant`: of the transmission, which may be one of a version.
Plain FromTheBeginning(const Rulebook& book, const UnitKnowledge* known, const Case& c,
                       const std::string& variant, const FactStore& lasting) {
  Diagnosis plain;
  plain.book = &book;
  plain.c = &c;
  Diagnostics diagnostics;
  plain.likeliest = {0};
  CaseFacts& facts = plain.worlds.emplace_back();
  FactGiver giver(facts.store, facts.given);
  for (const CaseFact& fact : c.facts)
    giver.Give(Sense::kFact, fact.statement, FactOrigin::kCase, fact.place);
  for (const Observation& observation : c.observations) {
    giver.Give(observation.present ? Sense::kPresent : Sense::kAbsent, observation.event, FactOrigin::kCase,
               observation.place);
  }
  giver.GiveTransmission(book, known, variant, diagnostics);
  facts.readings = JudgeReadings(book, c, facts.store);
  for (const JudgedReading& reading : facts.readings) GiveReading(book.words, reading, giver);
  if (known != nullptr) {
    for (const GivenFact& fact : SpeedFacts(*known->unit, c, book.words, diagnostics))
      giver.Give(Sense::kFact, fact.statement, FactOrigin::kCalculated, fact.place);
  }
  REQUIRE(Chain(book.rules, facts.store, &facts.proofs, diagnostics));
  auto ground = Ground(book, facts.store, diagnostics);
  REQUIRE(ground);
  plain.ground = std::move(*ground);
  TakeHowCommonBy(lasting, plain.ground);
  AddReports(plain.ground, book, {facts.store, facts.proofs, c.observations, facts.readings});
  AddSilence(plain);
  return plain;
}

using Facts = std::set<std::pair<Sense, Statement>>;

Facts AllFacts(const FactStore& store) {
  Facts facts;
  for (FactId fact = 0; fact < store.size(); ++fact)
    facts.emplace(store.Get(fact).sense, store.Get(fact).statement);
  return facts;
}

Facts SomeFacts(const FactStore& store, const std::vector<FactId>& some) {
  Facts facts;
  for (const FactId fact : some) facts.emplace(store.Get(fact).sense, store.Get(fact).statement);
  return facts;
}

// Everything that stands behind an event, with names instead of numbers.
struct Shown {
  double p_unexplained = 0;
  std::string repair;
  std::map<const OddsFactor*, Facts> factors;
  std::map<std::string, std::pair<double, const CauseLine*>> causes;
  friend bool operator==(const Shown&, const Shown&) = default;
};

std::map<std::string, Shown> Show(const GroundNetwork& ground, const FactStore& store) {
  std::map<std::string, Shown> all;
  for (std::size_t i = 0; i < ground.events.size(); ++i) {
    const Event& event = ground.network.events[i];
    Shown& shown = all[event.id];
    shown.p_unexplained = event.p_unexplained;
    shown.repair = ground.events[i].repair;
    for (const AppliedFactor& applied : ground.FactorsOf(static_cast<int>(i)))
      shown.factors[applied.factor] = SomeFacts(store, applied.facts);
    for (std::size_t k = 0; k < event.causes.size(); ++k) {
      const std::string& cause = ground.network.events[static_cast<std::size_t>(event.causes[k].event)].id;
      shown.causes[cause] = {event.causes[k].p_how_often, ground.events[i].links[k].line};
    }
    // What was left unnamed stands behind the events of the transmission.
    CHECK((event.id.ends_with(" named") || ground.Find(ground.events[i].statement) == static_cast<int>(i)));
  }
  return all;
}

std::multiset<std::tuple<std::string, bool, double, double>> ShowReports(const GroundNetwork& ground) {
  std::multiset<std::tuple<std::string, bool, double, double>> reports;
  for (const Report& report : ground.network.reports) {
    reports.emplace(ground.network.events[static_cast<std::size_t>(report.event)].id, report.present,
                    report.p_if_present, report.p_if_absent);
  }
  return reports;
}

void CheckSame(const Diagnosis& put, const Plain& plain) {
  REQUIRE(put.worlds.size() == 1);
  const CaseFacts& facts = put.Likeliest();
  CHECK(AllFacts(facts.store) == AllFacts(plain.Likeliest().store));
  CHECK(Show(put.ground, facts.store) == Show(plain.ground, plain.Likeliest().store));
  CHECK(put.ground.unknown_observations == plain.ground.unknown_observations);
  if (put.firm > 0 || !put.left_out.empty()) return;  // its reports were changed so that it has chances
  CHECK(ShowReports(put.ground) == ShowReports(plain.ground));
  const Chances chances = ComputeChances(plain.ground.network, put.limits);
  CHECK(std::abs(put.chances.logp_reports - chances.logp_reports) < 1e-9);
  for (std::size_t i = 0; i < plain.ground.events.size(); ++i) {
    const auto event = put.ground.Find(plain.ground.events[i].statement);
    if (!event || plain.ground.Find(plain.ground.events[i].statement) != static_cast<int>(i) ||
        std::isnan(chances.p_event[i]))
      continue;
    INFO(plain.ground.network.events[i].id);
    CHECK(std::abs(put.chances.p_event[static_cast<std::size_t>(*event)] - chances.p_event[i]) < 1e-9);
  }
  // What is derived has a proof, what is given a source, and a proof rests on earlier facts.
  for (FactId fact = 0; fact < facts.store.size(); ++fact) {
    const Derivation* derivation = facts.proofs.Find(fact);
    CHECK((derivation == nullptr) == (facts.SourceOf(fact) != nullptr));
    if (derivation == nullptr) continue;
    for (const Premise& premise : derivation->premises) CHECK(premise.fact < fact);
  }
}

TEST_CASE("every shipped case comes to the same on its transmission as from the beginning") {
  ShippedBook shipped;
  std::set<const Transmission*> made;
  int on_the_network = 0;
  for (const std::string& file : ShippedCaseFiles()) {
    INFO(file);
    Case c = ReadShippedCase(shipped, file);
    // Else it stands on several: mixture_test.cc.
    if (c.variant.empty()) c.variant = "light";
    const std::vector<Variant>& versions = shipped.UnitNamed(c.unit).versions;
    if (c.version.empty() && !versions.empty()) c.version = versions.front().name;
    const auto put = shipped.opened->DiagnoseCase(c, {}, shipped.diagnostics);
    REQUIRE(put);
    const Transmission& transmission = *put->Likeliest().transmission;
    made.insert(&transmission);
    on_the_network += &put->ground.events[0] == &transmission.ground.events[0];
    CheckSame(*put, FromTheBeginning(*shipped.book, transmission.known, c, transmission.variant,
                                     *transmission.facts));
  }
  CHECK(on_the_network > 50);  // not made anew: facts of these cases only move chances
  CHECK(made.size() < 13);
}

// A book in which a case's facts change chances, links, events, and what rules had concluded without them.
constexpr const char* kBook = R"(
kinds:
  room: {values: {hall: hall, attic: attic}}
facts:
  old: {says: the house is old, history: true}
  cellar: {says: there is a cellar, history: true}
  dry: {says: it is dry}
  sound: {says: it is sound}
events:
  wire_broken: {type: fault, slots: {room: room}, says: a wire is broken}
  damp: {type: fault, says: it is damp}
  dark: {type: finding, slots: {room: room}, says: it is dark}
rules:
  - {id: dry-without-cellar, when: [{not: cellar}], then: [dry]}
  - {id: sound-when-dry, when: [dry], then: [sound]}
charts:
  - id: dark
    symptom: {dark: $r}
    when: [{room: $r}]
    unexplained: 1%
    causes:
      - {cause: {wire_broken: $r}, how_often: 90%}
      - {cause: damp, how_often: 30%, when: [{room: $r}, cellar]}
chances:
  - {id: wire, fault: {wire_broken: $r}, when: [{room: $r}], chance: 5%, factors: [{id: old-wire, when: [old], odds: 3}]}
  - {id: damp, fault: damp, chance: 10%, factors: [{id: less-damp, when: [dry], odds: 0.2}]}
)";

TEST_CASE("facts of a case may move chances, make links, and deny what followed without them") {
  TestBook test(kBook);
  INFO(test.Errors());
  REQUIRE(test.book);
  const auto transmission = MakeTransmission(*test.book, nullptr, "", test.diagnostics);
  REQUIRE(transmission);
  const std::string dark = "complaint: [{present: {dark: attic}}]\n";
  struct Tried {
    std::string lines;
    bool on_the_network;
    double p_damp;  // before reports
  };
  for (const Tried& tried :
       {Tried{dark, true, 0.02173913}, Tried{dark + "history: [old]\n", true, 0.02173913},
        Tried{dark + "history: [cellar]\n", false, 0.1}, Tried{dark + "history: [old, cellar]\n", false, 0.1},
        Tried{"observed: [{absent: {dark: hall}}, {present: {dark: attic}}]\n", true, 0.02173913}}) {
    INFO(tried.lines);
    const auto c = test.ReadCase("x", "case: x\ntitle: Dark\n" + tried.lines);
    INFO(test.Errors());
    REQUIRE(c);
    const auto put = Diagnose(transmission, *c, {}, test.diagnostics);
    REQUIRE(put);
    CHECK((&put->ground.events[0] == &transmission->ground.events[0]) == tried.on_the_network);
    CheckSame(*put, FromTheBeginning(*test.book, nullptr, *c, "", *transmission->facts));
    const auto damp = put->ground.Find({"damp", {}});
    REQUIRE(damp);
    // Odds 1/9 with 0.2 while it is dry: 0.02222, a chance of 0.02174.
    CHECK(put->ground.network.events[static_cast<std::size_t>(*damp)].p_unexplained ==
          Approx(tried.p_damp).epsilon(1e-6));
  }
}

}  // namespace
}  // namespace gearwhy
