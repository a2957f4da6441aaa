#include "engine/advise/match_words.h"

#include <memory>

#include "engine/ground/diagnose.h"
#include "engine/render/say.h"
#include "tests/support/catch.h"
#include "tests/support/shipped.h"

namespace gearwhy {
namespace {

// The shipped rulebook and the findings of its five-speed unit.
class Shipped {
 public:
  Shipped() {
    const Unit* unit = &shipped_.UnitNamed("ravigneaux-simple-five-speed");
    case_.unit = unit->name;
    const auto ground = shipped_.opened->GroundCase(case_, shipped_.diagnostics);
    REQUIRE(ground);
    for (const GroundEvent& event : ground->ground.events) {
      if (event.word->type == WordType::kFinding) findings_.push_back(event.statement);
    }
    speaker_ = std::make_unique<Speaker>(shipped_.book->words, unit, shipped_.sources);
  }

  std::vector<WordsMatch> Match(const std::string& text, int most = 6) const {
    const auto say_value = [&](const Value& value, const Slot& slot) {
      return speaker_->SayValue(value, slot);
    };
    return MatchFindings(text, findings_, shipped_.book->words, say_value, most);
  }

 private:
  ShippedBook shipped_;
  Case case_;
  std::vector<Statement> findings_;
  std::unique_ptr<Speaker> speaker_;
};

const Shipped& TheShipped() {
  static const Shipped shipped;
  return shipped;
}

TEST_CASE("what a person says finds what they mean, first of all") {
  struct Row {
    std::string said, meant;
  };
  const Row rows[] = {
      {"no reverse", "no_drive:R"},
      {"no reverse when hot", "no_drive:R"},
      {"no revers", "no_drive:R"},
      {"reverse does not move", "no_drive:R"},
      {"won't pull in reverse", "no_drive:R"},
      {"there is no drive in third", "no_drive:D3"},
      {"slips in third", "slips:D3"},
      {"sliping in 3rd gear", "slips:D3"},
      {"it slips under load in D4", "slips:D4"},
      {"slips in manual second", "slips:M2"},
      {"flares 2-3", "flare:D2:D3"},
      {"flare on the 3-4 shift", "flare:D3:D4"},
      {"flairs from second to third", "flare:D2:D3"},
      {"revs jump between fourth and fifth", "flare:D4:D5"},
      {"bangs into gear in reverse", "harsh_engagement:R"},
      {"reverse takes long to engage", "delayed:R"},
      {"no engine braking in manual first", "no_engine_braking:M1"},
      {"creeps in neutral", "drives_in_neutral:N"},
      {"shudders", "shudders_cruising"},
      {"burnt smell", "fluid_smells_burnt"},
      {"whines", "whines_with_engine"},
      {"overheats", "overheats"},
      {"no kickdown", "no_kickdown"},
      {"limp mode", "stays_in_one_range"},
      {"shifts too late", "shifts_late"},
      {"code for the fluid temperature sensor", "code_temperature_sensor"},
      {"line pressure is low at stall in reverse", "pressure_reads_low:R:stall"},
      {"rubber in the pan", "debris:rubber"},
      {"air hisses at brake E", "air_hisses:E"},
      {"stall speed too high in first", "stall_speed_high:D1"},
  };
  for (const Row& row : rows) {
    const std::vector<WordsMatch> matches = TheShipped().Match(row.said);
    std::string got;
    bool among = false;
    for (const WordsMatch& match : matches) {
      got += "\n  " + std::to_string(match.score);
      for (std::size_t i = 0; i < std::min<std::size_t>(3, match.meant.size()); ++i)
        got += " " + StatementId(match.meant[i]);
      among |= match.meant.size() == 1 && StatementId(match.meant[0]) == row.meant;
    }
    INFO(row.said << ": wanted " << row.meant << ", got" << got);
    CHECK(among);
    const bool is_first =
        !matches.empty() && matches[0].meant.size() == 1 && StatementId(matches[0].meant[0]) == row.meant;
    CHECK(is_first);
  }
}

TEST_CASE("slots that were not said are left open, and nonsense finds nothing") {
  const std::vector<WordsMatch> slips = TheShipped().Match("it slips");
  REQUIRE(!slips.empty());
  CHECK(slips[0].word == "slips");
  CHECK(slips[0].meant.size() > 3);
  CHECK(TheShipped().Match("xyzzy").empty());
  CHECK(TheShipped().Match("").empty());
  CHECK(TheShipped().Match("the car is in the").empty());
  CHECK(TheShipped().Match(std::string(100'000, 'x')).empty());
}

TEST_CASE("words are compared without endings, numerals as numbers, denials alike") {
  CHECK(ComparedWords("Slipping, slips; slipped!") == std::vector<std::string>{"slip", "slip", "slip"});
  CHECK(ComparedWords("buzz buzzes buzing") == std::vector<std::string>{"buz", "buz", "buz"});
  CHECK(ComparedWords("flare flares flared") == std::vector<std::string>{"flar", "flar", "flar"});
  CHECK(ComparedWords("2nd second two 2 2-3") ==
        std::vector<std::string>{"#2", "#2", "#2", "#2", "#2", "#3"});
  CHECK(ComparedWords("Won't, no, never, NOT") == std::vector<std::string>{"not", "not", "not", "not"});
  CHECK(ComparedWords("  ?! ").empty());
}

// The numbers' meanings: SAE J2012 / ISO 15031-6, from memory.
TEST_CASE("the number of a code finds that code and no other") {
  const std::pair<const char*, const char*> rows[] = {
      {"P0741", "code_lockup"},         {"p0742", "code_lockup_stuck"},
      {"P0732", "code_wrong_ratio"},    {"P0753", "code_solenoid_electrical"},
      {"P0756", "code_solenoid_stuck"}, {"P0715", "code_speed_sensor"},
      {"P0783", "code_shift"},          {"P0218", "code_fluid_hot"}};
  for (const auto& [said, meant] : rows) {
    INFO(said);
    const auto matches = TheShipped().Match(said);
    REQUIRE(matches.size() == 1);
    CHECK(matches[0].meant[0].name == meant);
  }
  CHECK(TheShipped().Match("P9999").empty());
}

}  // namespace
}  // namespace gearwhy
