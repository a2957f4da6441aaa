#include "engine/advise/match_words.h"

#include <algorithm>
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
    ground_ = shipped_.opened->GroundCase(case_, shipped_.diagnostics);
    REQUIRE(ground_);
    for (const GroundEvent& event : ground_->ground.events) {
      if (event.word->type == WordType::kFinding) findings_.push_back(event.statement);
    }
    speaker_ = std::make_unique<Speaker>(shipped_.book->words, unit, shipped_.sources);
    matcher_ = std::make_unique<WordsMatcher>(
        findings_, shipped_.book->words,
        [this](const Value& value, const Slot& slot) { return speaker_->SayValue(value, slot); },
        &ground_->Likeliest().store);
  }

  std::vector<WordsMatch> Match(const std::string& text, int most = 6) const {
    return matcher_->Match(text, most).matches;
  }
  const WordsMatcher& matcher() const { return *matcher_; }
  const std::vector<Statement>& findings() const { return findings_; }

 private:
  ShippedBook shipped_;
  Case case_;
  std::optional<Diagnosis> ground_;
  std::vector<Statement> findings_;
  std::unique_ptr<Speaker> speaker_;
  std::unique_ptr<WordsMatcher> matcher_;
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

std::vector<std::string> Ids(const std::vector<Statement>& statements) {
  std::vector<std::string> ids;
  for (const Statement& statement : statements) ids.push_back(StatementId(statement));
  return ids;
}

TEST_CASE("what one line says is taken apart, and nothing is handed from one part to another") {
  const auto likeliest = [](const std::string& text) {
    const Understood understood = TheShipped().matcher().Match(text, 8);
    std::vector<std::string> says;
    for (int i = 0; i < understood.likeliest; ++i) {
      const WordsMatch& match = understood.matches[At(i)];
      const std::string what = match.meant.size() == 1 ? StatementId(match.meant[0]) : match.word + ":...";
      says.push_back((match.present ? "" : "not ") + what);
    }
    return says;
  };
  using Says = std::vector<std::string>;
  CHECK(likeliest("no reverse and slips in second") == Says{"no_drive:R", "slips:D2"});
  CHECK(likeliest("slips in second, flares") == Says{"slips:D2", "flare:..."});
  CHECK(likeliest("no reverse when hot") == Says{"no_drive:R", "worse_hot:R"});
  CHECK(likeliest("does not slip in second but no reverse") == Says{"not slips:D2", "no_drive:R"});
  CHECK(likeliest("keeps shifting up and down") == Says{"hunts"});
  const Understood half = TheShipped().matcher().Match("no reverse, qwerty asdfgh", 8);
  CHECK(half.likeliest == 1);
  CHECK(half.not_understood == Says{"qwerty asdfgh"});
}

TEST_CASE("things are named as they are spoken of, several at once") {
  const auto named = [](const std::string& text, const std::string& word) {
    std::vector<Statement> of_word;
    for (const Statement& finding : TheShipped().findings()) {
      if (finding.name == word) of_word.push_back(finding);
    }
    return Ids(TheShipped().matcher().Named(text, of_word));
  };
  using Names = std::vector<std::string>;
  CHECK(named("first, third", "slips") == Names{"slips:D1", "slips:D3"});
  CHECK(named("2nd and 4th", "slips") == Names{"slips:D2", "slips:D4"});
  CHECK(named("backwards", "slips") == Names{"slips:R"});
  CHECK(named("top gear", "slips") == Names{"slips:D5"});
  CHECK(named("manual low", "slips") == Names{"slips:M1"});
  CHECK(named("forward", "slips") ==
        Names{"slips:D1", "slips:D2", "slips:D3", "slips:D4", "slips:D5", "slips:M1", "slips:M2"});
  CHECK(named("D", "delayed") == Names{"delayed:D1"});
  CHECK(named("2-3", "flare") == Names{"flare:D2:D3"});
  CHECK(named("2-3, 3-4", "flare") == Names{"flare:D2:D3", "flare:D3:D4"});
  CHECK(named("three seconds", "slips").empty());
  CHECK(named("whatever", "slips").empty());
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
