// How likely a report is, from its trust and the circumstances it was made under. The numbers are worked out
// by hand from the shares in the text.
#include "engine/model/report_chances.h"

#include <cmath>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

// Cold hides 80 of a hundred troubles that are known to come hot, and 10 where nobody has said.
Words TwoWords() {
  Words words;
  const auto finding = [&](const char* name, std::vector<Slot> slots) {
    Word word;
    word.name = name;
    word.type = WordType::kFinding;
    word.slots = std::move(slots);
    words.words[name] = word;
  };
  finding("slips", {{"range", "range", {}, {}}});
  finding("flare", {{"from", "range", {}, {}}, {"to", "range", {}, {}}});
  finding("worse_hot", {{"range", "range", {}, {}}});
  finding("worse_cold", {{"range", "range", {}, {}}});
  words.circumstances["cold"] = {"cold", "cold", "", "hot", "worse_cold", 0.9, 0.05, {}};
  words.circumstances["hot"] = {"hot", "hot", "", "cold", "worse_hot", 0.8, 0.1, {}};
  return words;
}

Reported Says(std::optional<bool> worse_hot) {
  return [=](const Statement& s) {
    return s == Statement{"worse_hot", {"R"}} ? worse_hot : std::optional<bool>();
  };
}

// Of a hundred troubles 99 are noticed, of a hundred reports one is mistaken.
const Trust kRoad{"road", 0.99, 0.01, false, "", {}};

TEST_CASE("a report misses some, and mistakes some") {
  // An even chance: 0.01/0.99 of as many false alarms as troubles that are noticed.
  CHECK(std::abs(ChancesOfReport(kRoad, 0.5, true).p_if_present - 0.99) < 1e-12);
  CHECK(std::abs(ChancesOfReport(kRoad, 0.5, true).p_if_absent - 0.01) < 1e-12);
  CHECK(std::abs(ChancesOfReport(kRoad, 0.5, false).p_if_present - 0.01) < 1e-12);
  CHECK(std::abs(ChancesOfReport(kRoad, 0.5, false).p_if_absent - 0.99) < 1e-12);
  // Of a hundred, 80 do not show and 99 of each hundred others are noticed: 19.8 are found.
  CHECK(std::abs(ChancesOfReport(kRoad, 0.5, false, 0.8).p_if_present - 0.802) < 1e-12);
  CHECK(std::abs(ChancesOfReport(kRoad, 0.5, false, 0.8).p_if_absent - 0.99) < 1e-12);
}

// By Bayes' rule (Bayes 1763, in any handbook), with what is before the report.
double BelievedAfter(const Trust& trust, double p, bool present) {
  const ReportChances chances = ChancesOfReport(trust, p, present);
  return p * chances.p_if_present / (p * chances.p_if_present + (1 - p) * chances.p_if_absent);
}

TEST_CASE("of a hundred reports the same number is mistaken, however rare what they report") {
  for (const double p : {1e-5, 1e-3, 0.02, 0.2, 0.5})
    CHECK(std::abs(BelievedAfter(kRoad, p, true) - 0.99) < 1e-9);
  // What is more common than not is believed at least as much.
  CHECK(BelievedAfter(kRoad, 0.9, true) > 0.99);
  // Two reports that contradict each other: the one is mistaken once, the other misses once in a hundred.
  const ReportChances yes = ChancesOfReport(kRoad, 0.001, true), no = ChancesOfReport(kRoad, 0.001, false);
  const double with = 0.001 * yes.p_if_present * no.p_if_present;
  const double without = 0.999 * yes.p_if_absent * no.p_if_absent;
  CHECK(std::abs(with / (with + without) - 0.4975) < 1e-3);
}

TEST_CASE("that something common is absent can be reported, and that something impossible is there") {
  CHECK(BelievedAfter(kRoad, 0.98, false) < 0.4);
  CHECK(ChancesOfReport(kRoad, 0, true).p_if_absent > 0);
  CHECK(ChancesOfReport({"certain", 1, 0, false, "", {}}, 0.3, true).p_if_absent == 0);
}

TEST_CASE(
    "cold hides what is known to come hot, less where nobody has said, and nothing that comes cold, too") {
  const Words words = TwoWords();
  const Statement slips{"slips", {"R"}};
  CHECK(std::abs(MissedUnder(words, slips, {"cold"}, Says(true)) - 0.8) < 1e-12);
  CHECK(std::abs(MissedUnder(words, slips, {"cold"}, Says({})) - 0.1) < 1e-12);
  CHECK(MissedUnder(words, slips, {"cold"}, Says(false)) == 0);
  CHECK(MissedUnder(words, slips, {"hot"}, Says(true)) == 0);
  CHECK(std::abs(MissedUnder(words, slips, {"hot"}, Says({})) - 0.05) < 1e-12);
  CHECK(MissedUnder(words, slips, {}, Says(true)) == 0);
  // That it comes hot is itself no trouble that cold would hide.
  CHECK(MissedUnder(words, {"worse_hot", {"R"}}, {"cold"}, Says(true)) == 0);
  // Any of the things an event speaks of, and no other.
  CHECK(std::abs(MissedUnder(words, {"flare", {"D2", "R"}}, {"cold"}, Says(true)) - 0.8) < 1e-12);
  CHECK(std::abs(MissedUnder(words, {"flare", {"D2", "D3"}}, {"cold"}, Says(true)) - 0.1) < 1e-12);
}

TEST_CASE("how a trouble comes says nothing once the trouble was looked for and not found") {
  const Words words = TwoWords();
  const Statement slips{"slips", {"R"}}, flare{"flare", {"D2", "R"}}, hot{"worse_hot", {"R"}};
  const auto absent = [&](const Statement& one) { return one == slips; };
  CHECK(TellsOfNothing(words, hot, {slips, hot}, absent));
  CHECK(
      !TellsOfNothing(words, hot, {slips, flare, hot}, absent));  // another trouble of the same range stands
  CHECK(!TellsOfNothing(words, hot, {hot}, absent));              // nothing else was said
  CHECK(!TellsOfNothing(words, {"worse_hot", {"D2"}}, {slips, hot}, absent));
  CHECK(!TellsOfNothing(words, slips, {slips}, absent));
}

TEST_CASE("the circumstances under which a trouble comes are told by the reports") {
  const Words words = TwoWords();
  CHECK(ComesUnder(words, {"slips", {"R"}}, Says(true)) == std::vector<std::string>{"hot"});
  CHECK(ComesUnder(words, {"slips", {"D3"}}, Says(true)).empty());
  CHECK(ComesUnder(words, {"slips", {"R"}}, Says(false)).empty());
}

}  // namespace
}  // namespace gearwhy
