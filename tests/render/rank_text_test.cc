// How the ranking's accounts of places are said.
#include "engine/render/text.h"
#include "tests/support/shipped.h"

namespace gearwhy {
namespace {

AccountPlace At(FaultPlace::Kind kind, const std::string& name, Statement fault, double chance,
                int alike = 1) {
  return {{kind, name}, StatementId(fault), std::move(fault), chance, alike};
}

// The section of the page that tells the accounts.
std::string Told(ShippedBook& shipped, const RankReport& report) {
  const Unit& unit = shipped.UnitNamed("ravigneaux-simple-five-speed");
  const Speaker speaker(shipped.book->words, &unit, shipped.sources);
  const std::string page = RankText(report, {}, speaker, {});
  const std::size_t begin = page.find("One place or several");
  if (begin == std::string::npos) return "";
  return page.substr(begin, page.find("\n\n", begin) - begin + 1);
}

const AccountPlace kBrake =
    At(FaultPlace::Kind::kElement, "E", {"lip_cracked", {std::string("E.piston")}}, 0.41, 3);
const AccountPlace kPump = At(FaultPlace::Kind::kPart, "pump", {"pump_worn", {std::string("pump")}}, 0.9);
const AccountPlace kMount = At(FaultPlace::Kind::kFault, "mount_broken", {"mount_broken", {}}, 1);

TEST_CASE("an account names its places, the likeliest fault in each, and how many are about as likely") {
  ShippedBook shipped;
  RankReport report;
  report.where.push_back({"cannot_hold:E", {"cannot_hold", {std::string("E")}}, 0.9});
  report.accounts.likeliest = {
      {{kBrake}, 0.7, 0.99, true}, {{kBrake, kPump}, 0.15, 0.9, true}, {{}, 0.1, 0, false}};
  report.accounts.rest = 0.05;
  CHECK(Told(shipped, report) ==
        R"(One place or several
   Brake E (first and reverse brake) alone.                            70 in 100
     Then most likely the rubber lip of the piston of brake E is cracked (41 in
     100), one of 3 about as likely.
   Brake E (first and reverse brake) and the pump, both.               15 in 100
     Then most likely the rubber lip of the piston of brake E is cracked (41 in
     100), one of 3 about as likely.
     Then most likely the gears or the housing of the pump are worn (90 in 100).
   Nothing has broken that the reports speak for.                      10 in 100
   Anything else, or more at once.                                      5 in 100
)");
}

TEST_CASE(
    "an account of another place than *where* says what *where* says by it, where that is worth a thought") {
  ShippedBook shipped;
  RankReport report;
  report.where.push_back({"line_pressure_low", {"line_pressure_low", {}}, 0.9});
  report.accounts.likeliest = {{{kPump}, 0.9, 0.95, false}, {{kMount, kPump}, 0.1, 0.95, false}};
  CHECK(Told(shipped, report) ==
        R"(One place or several
   The pump alone.                                                     90 in 100
     Then most likely the gears or the housing of the pump are worn (90 in 100).
     By this account line pressure is too low: 95 in 100.
   A mount of the engine or the unit is broken, and the pump.          10 in 100
     Then most likely the gears or the housing of the pump are worn (90 in 100).
)");
  report.where.front().chance = 0.05;
  report.accounts.likeliest = {{{kMount}, 1, 0.05, false}};
  CHECK(Told(shipped, report) ==
        R"(One place or several
   A mount of the engine or the unit is broken, and
   nothing else.                                           more than 999 in 1000
)");
  report.accounts.likeliest.clear();
  CHECK(Told(shipped, report).empty());
}

}  // namespace
}  // namespace gearwhy
