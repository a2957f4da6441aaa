// Accounts of places: by hand in a small world, and what must hold of every shipped case.
#include "engine/explain/place_accounts.h"

#include <cmath>

#include "engine/explain/rank_report.h"
#include "tests/support/dark_house.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

// No light in the hall: wire, shade or fuse, each a place of its own, weighed over all eight combinations.
TEST_CASE("an account is the chance that its places broke and no other did, by hand") {
  const DarkHouse house("history: [house_is_old]\nobserved: [{present: {dark: hall}}]\n");
  double all = 0, fuse_alone = 0, wire_alone = 0, both = 0;
  for (int on = 0; on < 8; ++on) {
    const bool wire = (on & 1) != 0, shade = (on & 2) != 0, fuse = (on & 4) != 0;
    const double p = (wire ? kWire : 1 - kWire) * (shade ? kShade : 1 - kShade) * (fuse ? kFuse : 1 - kFuse) *
                     NoLight(wire, shade, fuse);
    all += p;
    if (on == 4) fuse_alone = p;
    if (on == 1) wire_alone = p;
    if (on == 5) both = p;
  }
  const int where = house.Event("no_current:hall");
  const PlaceAccounts accounts = MakePlaceAccounts(*house.diagnosis, where);
  REQUIRE(accounts.likeliest.size() == 2);
  const PlaceAccount& first = accounts.likeliest[0];
  REQUIRE(first.places.size() == 1);
  CHECK(first.places[0].fault == "wire_broken:hall");
  CHECK(first.places[0].place == FaultPlace{FaultPlace::Kind::kFault, "wire_broken:hall"});
  CHECK(first.places[0].chance == 1);
  CHECK(std::abs(first.chance - wire_alone / all) < 1e-12);
  CHECK(std::abs(first.chance_where - 1) < 1e-12);  // with neither fuse nor shade it is the current
  REQUIRE(accounts.likeliest[1].places.size() == 1);
  CHECK(accounts.likeliest[1].places[0].fault == "fuse_blown");
  CHECK(std::abs(accounts.likeliest[1].chance - fuse_alone / all) < 1e-12);
  CHECK(both / all < 0.05);  // too little to be told
  CHECK(std::abs(accounts.rest - (1 - (wire_alone + fuse_alone) / all)) < 1e-12);
}

TEST_CASE("where nothing was observed there is no account") {
  const DarkHouse house("history: [house_is_old]\n");
  const PlaceAccounts accounts = MakePlaceAccounts(*house.diagnosis, -1);
  CHECK(accounts.likeliest.empty());
  CHECK(accounts.rest == 0);
}

TEST_CASE(
    "a fault belongs to the element it names, or its part's; a part of none is a place, and a fault of "
    "none") {
  ShippedBook shipped;
  const auto opened = DiagnoseText(shipped, "t", "case: t\ntitle: T\nunit: ravigneaux-simple-five-speed\n");
  const auto place = [&](const std::string& id) {
    const auto& events = opened->diagnosis->ground.network.events;
    const auto found =
        std::find_if(events.begin(), events.end(), [&](const Event& event) { return event.id == id; });
    INFO(id);
    REQUIRE(found != events.end());
    return PlaceOf(*opened->diagnosis, static_cast<int>(found - events.begin()));
  };
  CHECK(place("lip_cracked:E.piston") == FaultPlace{FaultPlace::Kind::kElement, "E"});
  CHECK(place("passage_porous:E") == FaultPlace{FaultPlace::Kind::kElement, "E"});
  CHECK(place("cannot_hold:E") == FaultPlace{FaultPlace::Kind::kElement, "E"});
  CHECK(place("pump_worn:pump") == FaultPlace{FaultPlace::Kind::kPart, "pump"});
  CHECK(place("mount_broken") == FaultPlace{FaultPlace::Kind::kFault, "mount_broken"});
}

// By the law of total probability: P(where) is the sum over all accounts of P(account) P(where | account),
// and what is left of the accounts adds between nothing and all of itself. So no account contradicts *where*.
TEST_CASE("on every shipped case the accounts add up, and to what *where* says") {
  ShippedBook shipped;
  int told = 0, with_where = 0;
  for (const std::string& file : ShippedCaseFiles()) {
    INFO(file);
    const auto opened = DiagnoseFile(shipped, file);
    RankOptions options;
    options.suspects = 3;
    const RankReport report = MakeRankReport(*opened->diagnosis, nullptr, opened->diagnosis->limits, options);
    const PlaceAccounts& accounts = report.accounts;
    if (!report.exactness.exact || report.nothing_observed) CHECK(accounts.likeliest.empty());
    if (accounts.likeliest.empty()) continue;
    ++told;
    REQUIRE(accounts.likeliest.size() <= 3);
    double sum = 0, where = 0, before = 1;
    for (const PlaceAccount& account : accounts.likeliest) {
      CHECK(account.chance > 0);
      CHECK(account.chance <= before + 1e-9);
      before = account.chance;
      sum += account.chance;
      CHECK(account.places.size() <= 2);
      for (const AccountPlace& place : account.places) {
        CHECK(place.chance > 0);
        CHECK(place.alike >= 1);
      }
      if (report.where.empty()) continue;
      where += account.chance * account.chance_where;
    }
    CHECK(std::abs(sum + accounts.rest - 1) < 1e-9);
    // Of a state on which no report bears the accounts have nothing to say.
    if (report.where.empty() || std::isnan(where)) continue;
    ++with_where;
    CHECK(report.where.front().chance >= where - 1e-9);
    CHECK(report.where.front().chance <= where + accounts.rest + 1e-9);
  }
  CHECK(told > 40);
  CHECK(with_where > 40);
}

}  // namespace
}  // namespace gearwhy
