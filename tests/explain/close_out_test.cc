// The close-out of shipped cases, and what must hold of it whatever was done.
#include "engine/explain/close_out.h"

#include <algorithm>

#include "engine/model/policy.h"
#include "tests/support/catch.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

struct Closed {
  ShippedBook shipped;
  std::unique_ptr<ShippedCase> shown;
  CloseOut close;

  void Take(Case c) {
    shown = DiagnoseCase(shipped, WithFound(std::move(c), shipped.book->words));
    close = MakeCloseOut(*shown->diagnosis, DecideParts(*shown->diagnosis));
  }
};

std::unique_ptr<Closed> OfShipped(const std::string& name) {
  auto closed = std::make_unique<Closed>();
  closed->Take(ReadShippedCase(closed->shipped, GEARWHY_SOURCE_DIR "/cases/" + name + ".yaml"));
  return closed;
}

std::unique_ptr<Closed> OfText(const std::string& text) {
  auto closed = std::make_unique<Closed>();
  closed->Take(ReadCaseText(closed->shipped, "x", "case: x\ntitle: x\n" + text));
  return closed;
}

using Why = std::vector<NotReady>;

TEST_CASE("shipped cases are ready to close, or not yet for the reason that their story tells") {
  CHECK(OfShipped("seal-renewed-and-driven")->close.not_ready.empty());
  CHECK(OfShipped("five-packs-renewed-one-not-tried")->close.not_ready == Why{NotReady::kTestDue});
  CHECK(OfShipped("plates-renewed-root-left")->close.not_ready == Why{NotReady::kNoRoot, NotReady::kTestDue});
  CHECK(OfShipped("seal-renewed-and-it-still-slides")->close.not_ready == Why{NotReady::kComplaintRemains});
  CHECK(OfShipped("not-found-again-and-nothing-found")->close.not_ready == Why{NotReady::kNothingFound});
}

TEST_CASE("what is ready by exact chances is not by estimates") {
  const auto closed = OfShipped("seal-renewed-and-driven");
  Diagnosis diagnosis = *closed->shown->diagnosis;
  diagnosis.firm = 12;
  diagnosis.firm_error = kRoundedAway;
  CHECK(MakeCloseOut(diagnosis, DecideParts(diagnosis)).not_ready.empty());
  diagnosis.firm_error = 0.04;
  CHECK(MakeCloseOut(diagnosis, DecideParts(diagnosis)).not_ready == Why{NotReady::kNotExact});
}

TEST_CASE("a consequence names the root that was found with it") {
  const auto closed = OfShipped("back-after-plates");
  REQUIRE(closed->close.found.size() == 2);
  const FoundFault &seal = closed->close.found[0], &plates = closed->close.found[1];
  CHECK(seal.role == Role::kRoot);
  CHECK(plates.role == Role::kConsequence);
  REQUIRE(plates.comes_of);
  CHECK(*plates.comes_of == seal.statement);
  CHECK((seal.mended && plates.mended));
}

TEST_CASE("a case without anything found or done has no close-out") {
  const auto closed = OfText("unit: simpson-three-speed\ncomplaint:\n  - present: {slips: D2}\n");
  CHECK_FALSE(closed->close.begun);
  CHECK(closed->close.tests.empty());
}

const std::string kHardSeal =
    "unit: simpson-three-speed\nvariant: light\ncomplaint:\n  - present: {slips: D2}\n    trust: customer\n"
    "found:\n  - seal_hardened: A.servo_seal\n";

TEST_CASE("what was found and not mended keeps the complaint, and mending it takes it away") {
  const auto not_mended = OfText(kHardSeal);
  REQUIRE(not_mended->close.complaints.size() == 1);
  const ComplaintAfter& as_it_came = not_mended->close.complaints[0];
  // Nothing was mended: it is there as much as it was.
  CHECK(as_it_came.after == Approx(as_it_came.before));
  CHECK(std::count(not_mended->close.not_ready.begin(), not_mended->close.not_ready.end(),
                   NotReady::kNotMended) == 1);
  const auto renewed = OfText(kHardSeal + "work:\n  - renewed: A.servo_seal\n");
  const auto mended = OfText(kHardSeal + "mended:\n  - seal_hardened: A.servo_seal\n");
  CHECK(renewed->close.complaints[0].after < as_it_came.after);
  CHECK(renewed->close.found[0].mended);
  CHECK(mended->close.found[0].mended);
  // A new part may have been cut as it went in; one that was put right was not.
  CHECK(mended->close.complaints[0].after < renewed->close.complaints[0].after);
}

TEST_CASE("renewing more leaves less of the complaint") {
  double before = 1;
  std::string work = "work:\n";
  for (const char* part : {"A.servo_seal", "A.servo_piston", "A.band", "pump"}) {
    work += std::string("  - renewed: ") + part + "\n";
    const double after = OfText(kHardSeal + work)->close.complaints[0].after;
    INFO(part);
    CHECK(after < before + 0.02);  // another hand in it is another chance of a mistake
    before = after;
  }
}

TEST_CASE("a drive under other circumstances than the complaint's clears less") {
  const std::string hot = kHardSeal +
                          "observed:\n  - present: {worse_hot: D2}\n    trust: road_test\n"
                          "work:\n  - renewed: A.servo_seal\n";
  const std::string drive = "tried:\n  - absent: {slips: D2}\n    trust: road_test\n";
  const double untried = OfText(hot)->close.complaints[0].after;
  const double cold = OfText(hot + drive + "    under: [cold]\n")->close.complaints[0].after;
  const double same = OfText(hot + drive)->close.complaints[0].after;
  CHECK(same < cold);
  CHECK(cold < untried);
}

TEST_CASE(
    "every element of a unit that was opened is tried with air, and the order of the work does not matter") {
  for (const char* unit : {"simpson-three-speed", "ravigneaux-four-speed", "ravigneaux-simple-five-speed",
                           "lepelletier-six-speed"}) {
    INFO(unit);
    const auto all = OfText(std::string("unit: ") + unit + "\nwork:\n  - renewed: pump\n");
    std::vector<std::string> lines;
    for (const Part& part : all->shown->diagnosis->unit->parts) {
      if (!part.element.empty()) lines.push_back("  - renewed: " + part.id + "\n");
    }
    const auto tested = [&] {
      std::string work;
      for (const std::string& line : lines) work += line;
      const auto closed = OfText(std::string("unit: ") + unit + "\nwork:\n" + work);
      std::vector<std::string> elements;
      for (const DueTest& test : closed->close.tests) {
        if (test.needed) elements.push_back(ShowValue(test.says.bindings.front().value));
      }
      std::sort(elements.begin(), elements.end());
      return elements;
    };
    std::vector<std::string> applied;
    for (const Element& element : all->shown->diagnosis->unit->elements) {
      if (element.type != ElementType::kOneWayClutch) applied.push_back(element.name);
    }
    std::sort(applied.begin(), applied.end());
    CHECK(tested() == applied);
    std::reverse(lines.begin(), lines.end());
    CHECK(tested() == applied);
  }
}

TEST_CASE("a come-back takes unit, variant and work from the case before it") {
  const auto back = OfShipped("back-after-plates");
  const Case& c = back->shown->c;
  CHECK(c.unit == "simpson-three-speed");
  CHECK(c.variant == "light");
  const auto said = [&](const char* name) {
    return std::count_if(c.facts.begin(), c.facts.end(),
                         [&](const CaseFact& fact) { return fact.statement.name == name; });
  };
  CHECK(said("renewed") == 2);
  // The plates are new, so that it is not their age that burnt them again.
  const auto& store = back->shown->diagnosis->Likeliest().store;
  CHECK(store.Find(Sense::kFact, {"as_good_as_new", {std::string("B.frictions")}}));
}

}  // namespace
}  // namespace gearwhy
