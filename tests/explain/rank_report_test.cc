// The list of suspects, over the shipped cases: what holds of any.
#include "engine/explain/rank_report.h"

#include <map>

#include "engine/explain/follows.h"
#include "engine/text/at.h"
#include "tests/support/catch.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

// Opens every third case: the law is of all, and a third of them takes half a minute with sanitizers.
template <typename Visit>
void EachThirdCase(const Visit& visit) {
  ShippedBook shipped;
  int number = 0;
  for (const std::string& file : ShippedCaseFiles()) {
    if (number++ % 3 != 0) continue;
    INFO(file);
    const auto opened = DiagnoseFile(shipped, file);
    visit(*opened->diagnosis, MakeRankReport(*opened->diagnosis, nullptr, {}));
  }
}

TEST_CASE("causes come first, and what follows from them stands with one that brings it about") {
  EachThirdCase([](const Diagnosis& diagnosis, const RankReport& report) {
    Follows follows(diagnosis.ground.network);
    const std::vector<char> spoken_for = SpokenFor(diagnosis, follows);
    bool consequences = false;
    for (const Suspect& suspect : report.suspects) {
      INFO(suspect.fault);
      CHECK((suspect.role == Role::kConsequence || !consequences));
      consequences |= suspect.role == Role::kConsequence;
      for (const Consequence& one : suspect.follows) {
        CHECK(RoleOf(diagnosis, one.event) == Role::kConsequence);
        CHECK(follows.From(suspect.event, one.event));
        CHECK(one.chance == diagnosis.chances.p_event[static_cast<std::size_t>(one.event)]);
      }
    }
    for (std::size_t i = 1; i < report.suspects.size(); ++i) {
      const bool this_one = spoken_for[At(report.suspects[i].event)] != 0;
      const bool before = spoken_for[At(report.suspects[i - 1].event)] != 0;
      if (report.suspects[i].role == Role::kConsequence) continue;
      CHECK((before || !this_one));
      if (this_one == before) CHECK(report.suspects[i].chance <= report.suspects[i - 1].chance + 1e-12);
    }
  });
}

TEST_CASE("two reports that contradict each other are both named, and nothing else is") {
  EachThirdCase([](const Diagnosis& diagnosis, const RankReport& report) {
    std::map<Statement, std::pair<bool, bool>> said;
    for (const Report& one : diagnosis.ground.network.reports) {
      auto& [present, absent] = said[diagnosis.ground.events[static_cast<std::size_t>(one.event)].statement];
      (one.present ? present : absent) = true;
    }
    std::size_t both = 0;
    for (const auto& [statement, reports] : said) both += reports.first && reports.second;
    CHECK(report.contradictions.size() == both);
    for (const Contradiction& one : report.contradictions) {
      CHECK(one.says.present);
      CHECK(!one.denies.present);
      CHECK(one.says.statement == one.denies.statement);
      CHECK(one.says.origin.place.source >= 0);
    }
  });
}

}  // namespace
}  // namespace gearwhy
