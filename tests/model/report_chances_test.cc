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

TEST_CASE("a report of limited trust misses some and mistakes some") {
  const Trust road{"road", 0.99, 0.01, false, "", {}};
  CHECK(std::abs(ChancesOfReport(road, true).p_if_present - 0.99) < 1e-12);
  CHECK(std::abs(ChancesOfReport(road, true).p_if_absent - 0.01) < 1e-12);
  CHECK(std::abs(ChancesOfReport(road, false).p_if_present - 0.01) < 1e-12);
  CHECK(std::abs(ChancesOfReport(road, false).p_if_absent - 0.99) < 1e-12);
  // Of a hundred, 80 do not show and 99 of each hundred others are noticed: 19.8 are found.
  CHECK(std::abs(ChancesOfReport(road, false, 0.8).p_if_present - 0.802) < 1e-12);
  CHECK(std::abs(ChancesOfReport(road, false, 0.8).p_if_absent - 0.99) < 1e-12);
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

TEST_CASE("the circumstances under which a trouble comes are told by the reports") {
  const Words words = TwoWords();
  CHECK(ComesUnder(words, {"slips", {"R"}}, Says(true)) == std::vector<std::string>{"hot"});
  CHECK(ComesUnder(words, {"slips", {"D3"}}, Says(true)).empty());
  CHECK(ComesUnder(words, {"slips", {"R"}}, Says(false)).empty());
}

}  // namespace
}  // namespace gearwhy
