// A case whose variant nobody knows is the mixture of its variants: every shipped case against the sum over
// the same case of each variant, and what must hold of evidence that speaks for one of them.
#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "engine/belief/worlds.h"
#include "engine/explain/rank_report.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

// The case of each variant of its unit, which all weigh the same.
std::vector<std::unique_ptr<ShippedCase>> OfEachVariant(ShippedBook& shipped, const Case& c) {
  std::vector<std::unique_ptr<ShippedCase>> each;
  for (const Variant& variant : shipped.UnitNamed(c.unit).variants) {
    Case known = c;
    known.variant = variant.version.empty() ? variant.name : variant.variant;
    known.version = variant.version;
    each.push_back(DiagnoseCase(shipped, std::move(known)));
  }
  return each;
}

// What tells a report from all others: the event, who says it, and whether anybody does.
using ReportKey = std::tuple<std::string, int, bool>;
ReportKey KeyOf(const GroundNetwork& ground, std::size_t report) {
  const GroundReport& one = ground.reports[report];
  const int event = ground.network.reports[report].event;
  return {StatementId(ground.events[static_cast<std::size_t>(event)].statement), one.observation,
          one.silence != nullptr};
}

// The case of one variant, its reports weighed as in the mixture, where it is the world `w`: how much they
// say hangs on how common their events are over all variants.
Chances ChancesWeighedAs(const Diagnosis& mixed, std::size_t w, const Diagnosis& one) {
  const Network in_world = InWorld(mixed.ground.network, w);
  std::map<ReportKey, Report> weighed;
  for (std::size_t r = 0; r < mixed.ground.reports.size(); ++r)
    REQUIRE(weighed.emplace(KeyOf(mixed.ground, r), in_world.reports[r]).second);
  // Each makes something of the same things, so that none is spoken for.
  REQUIRE(one.ground.reports.size() == weighed.size());
  Network network = one.ground.network;
  for (std::size_t r = 0; r < network.reports.size(); ++r) {
    const auto found = weighed.find(KeyOf(one.ground, r));
    REQUIRE(found != weighed.end());
    CHECK(network.reports[r].present == found->second.present);
    network.reports[r].p_if_present = found->second.p_if_present;
    network.reports[r].p_if_absent = found->second.p_if_absent;
  }
  BeliefLimits limits;
  for (std::size_t i = 0; i < network.events.size(); ++i) {
    if (network.events[i].type == EventType::kFault) limits.also.push_back(static_cast<int>(i));
  }
  return ComputeChances(network, limits);
}

TEST_CASE("a shipped case without its variant is the sum over the variants") {
  ShippedBook shipped;
  int faults = 0, moved = 0;
  for (const std::string& file : ShippedCaseFiles(3)) {
    INFO(file);
    Case c = ReadShippedCase(shipped, file);
    c.variant.clear();
    c.version.clear();
    const auto each = OfEachVariant(shipped, c);
    const auto opened = DiagnoseCase(shipped, c);
    const Diagnosis& mixed = *opened->diagnosis;
    REQUIRE(mixed.worlds.size() == each.size());
    std::vector<double> logp;
    std::vector<Chances> chances;  // by variant
    for (std::size_t v = 0; v < each.size(); ++v) {
      chances.push_back(ChancesWeighedAs(mixed, v, *each[v]->diagnosis));
      logp.push_back(chances.back().logp_reports);
    }
    const WorldShares shares =
        SharesOf(std::vector<double>(each.size(), 1.0 / static_cast<double>(each.size())), logp);
    bool all_exact = true;
    for (const Chances& one : chances) all_exact &= one.exact;
    REQUIRE(all_exact);
    REQUIRE(mixed.chances.exact);
    const double within = 1e-9;
    CHECK(mixed.chances.logp_reports == Approx(shares.logp).epsilon(1e-9));
    for (std::size_t v = 0; v < each.size(); ++v) {
      CHECK(std::abs(mixed.chances.p_world[v] - shares.share[v]) < within);
      moved += shares.share[v] > 0.6;
    }
    for (std::size_t i = 0; i < mixed.ground.events.size(); ++i) {
      const GroundEvent& event = mixed.ground.events[i];
      if (event.word->type != WordType::kFault) continue;
      INFO(StatementId(event.statement));
      double p = 0;
      for (std::size_t v = 0; v < each.size(); ++v) {
        const auto own = each[v]->diagnosis->ground.Find(event.statement);
        if (own) p += shares.share[v] * chances[v].p_event[static_cast<std::size_t>(*own)];
      }
      CHECK(std::abs(mixed.chances.p_event[i] - p) < within);
      ++faults;
    }
  }
  CHECK(faults > 10'000);
  CHECK(moved > 5);
}

TEST_CASE("how common an event is without the variant is the mean over the variants") {
  ShippedBook shipped;
  for (const std::string& file : ShippedCaseFiles()) {
    Case c = ReadShippedCase(shipped, file);
    if (c.id.size() % 4 != 0) continue;
    INFO(file);
    c.variant.clear();
    c.version.clear();
    const auto each = OfEachVariant(shipped, c);
    const auto opened = DiagnoseCase(shipped, c);
    const GroundNetwork& mixed = opened->diagnosis->ground;
    REQUIRE(each.size() > 1);
    for (std::size_t r = 0; r < mixed.reports.size(); ++r) {
      if (mixed.reports[r].silence != nullptr) continue;
      const int event = mixed.network.reports[r].event;
      const Statement& statement = mixed.events[static_cast<std::size_t>(event)].statement;
      INFO(StatementId(statement));
      double common = 0, glance = 0;
      for (const auto& one : each) {
        const GroundNetwork& ground = one->diagnosis->ground;
        const auto own = ground.Find(statement);
        if (!own) continue;
        common += ground.common->Of(*own) / static_cast<double>(each.size());
        glance += ground.common->AtAGlance(*own) / static_cast<double>(each.size());
      }
      CHECK(mixed.common->Of(event) == Approx(common).epsilon(1e-9));
      CHECK(mixed.common->AtAGlance(event) == Approx(glance).epsilon(1e-9));
    }
  }
}

TEST_CASE("what was left unnamed is scaled in every variant alike") {
  ShippedBook shipped;
  int unnamed = 0;
  for (const std::string& file : ShippedCaseFiles(3)) {
    Case c = ReadShippedCase(shipped, file);
    c.variant.clear();
    c.version.clear();
    const auto opened = DiagnoseCase(shipped, c);
    const GroundNetwork& mixed = opened->diagnosis->ground;
    for (std::size_t r = 0; r < mixed.reports.size(); ++r) {
      if (mixed.reports[r].silence == nullptr) continue;
      const Silence& silence = *mixed.reports[r].silence;
      const double told = 1 - silence.p_if_present / silence.p_if_absent;
      for (std::size_t w = 0; w < mixed.network.worlds.size(); ++w) {
        const Network one = InWorld(mixed.network, w);
        const Event& finding = one.events[static_cast<std::size_t>(mixed.reports[r].unnamed)];
        const Event& named = one.events[static_cast<std::size_t>(one.reports[r].event)];
        CHECK(named.p_unexplained == Approx(told * finding.p_unexplained));
        REQUIRE(named.causes.size() == finding.causes.size());
        for (std::size_t k = 0; k < named.causes.size(); ++k)
          CHECK(named.causes[k].p_how_often == Approx(told * finding.causes[k].p_how_often));
      }
      ++unnamed;
    }
  }
  CHECK(unnamed > 20);
}

// Of a unit that has versions the late one, so that only the variant is not known.
bool HasVersions(const std::string& unit) { return unit == "lepelletier-six-speed"; }
std::string Named(const std::string& variant, const std::string& unit) {
  return variant + (HasVersions(unit) ? "-late" : "");
}

std::string Told(const std::string& unit, const std::string& lines) {
  return "case: x\ntitle: Slips\nunit: " + unit + (HasVersions(unit) ? "\nversion: late" : "") +
         "\ncomplaint: [{present: {slips: R}, trust: customer}]\n" + lines;
}

// What the gauge shows in reverse is within the limits of the light variant and below those of the heavy one,
// or the other way round too high.
TEST_CASE("a reading that is right for one variant alone speaks for that variant, whatever unit") {
  ShippedBook shipped;
  struct Reading {
    const char* unit;
    double light, heavy;  // bar
  };
  for (const Reading& reading :
       {Reading{"simpson-three-speed", 15, 18.5}, Reading{"ravigneaux-four-speed", 15, 18.5},
        Reading{"ravigneaux-simple-five-speed", 15.5, 19}, Reading{"lepelletier-six-speed", 16, 19.5}}) {
    INFO(reading.unit);
    const auto shares = [&](double bar) {
      const std::string measured =
          bar > 0 ? "measured: [{line_pressure: {range: R, is: " + std::to_string(bar) + " bar}}]\n" : "";
      const auto opened = DiagnoseText(shipped, "x", Told(reading.unit, measured));
      REQUIRE(opened->diagnosis->worlds.size() == 2);
      CHECK(opened->diagnosis->worlds[0].transmission->variant == Named("light", reading.unit));
      return opened->diagnosis->chances.p_world;
    };
    CHECK(std::abs(shares(0)[0] - 0.5) < 0.05);
    CHECK(shares(reading.light)[0] > 0.55);
    CHECK(shares(reading.heavy)[1] > 0.55);
  }
}

// A reading is one report, whichever way the limits of a variant take it.
TEST_CASE("a reading that is low for one variant alone is one report, and says of which") {
  ShippedBook shipped;
  const auto opened = DiagnoseText(
      shipped, "x", Told("simpson-three-speed", "measured: [{line_pressure: {range: R, is: 15 bar}}]\n"));
  const Diagnosis& mixed = *opened->diagnosis;
  int of_low = 0;
  for (std::size_t r = 0; r < mixed.ground.reports.size(); ++r) {
    const EvidenceItem item = DescribeReport(mixed, static_cast<int>(r));
    if (item.event != "pressure_reads_low:R:stall") {
      CHECK(item.opposite_in.empty());
      continue;
    }
    ++of_low;
    CHECK_FALSE(item.present);  // by the light one, which has become the likelier
    CHECK(item.only_in == std::vector<std::string>{"light"});
    CHECK(item.opposite_in == std::vector<std::string>{"heavy"});
    CHECK(item.origin.id == "line_pressure");
  }
  CHECK(of_low == 1);
}

TEST_CASE("a pressure that is too low for every variant is known to be low, whichever it is") {
  ShippedBook shipped;
  const auto chance_low = [&](const std::string& lines) {
    const auto opened = DiagnoseText(shipped, "x", Told("simpson-three-speed", lines));
    const auto low = opened->diagnosis->ground.Find({"line_pressure_low", {}});
    REQUIRE(low);
    return opened->diagnosis->chances.p_event[static_cast<std::size_t>(*low)];
  };
  const std::string measured = "measured: [{line_pressure: {range: R, is: 3 bar}}]\n";
  const auto odds = [](double p) { return p / (1 - p); };
  CHECK(chance_low(measured) > 0.5);
  CHECK(odds(chance_low(measured)) > 3 * odds(chance_low("")));
}

// The second cooler is in the heavy variant alone.
TEST_CASE("a part that one variant has does not count in the other, and is said to be of that one") {
  ShippedBook shipped;
  for (const std::string& name : shipped.shelf->Names()) {
    INFO(name);
    const auto opened = DiagnoseText(shipped, "x", Told(name, ""));
    const Diagnosis& mixed = *opened->diagnosis;
    Case heavy_case = opened->c;
    heavy_case.variant = "heavy";
    const auto heavy = DiagnoseCase(shipped, heavy_case);
    const Chances in_heavy = ChancesWeighedAs(mixed, 1, *heavy->diagnosis);
    const RankReport report = MakeRankReport(mixed, nullptr, {}, {.suspects = 1000, .least_chance = 0});
    int of_cooler = 0;
    for (const Suspect& suspect : report.suspects) {
      CHECK(suspect.only_in.empty() == (suspect.part != "auxiliary_cooler"));
      if (suspect.part != "auxiliary_cooler") continue;
      CHECK(suspect.only_in == std::vector<std::string>{Named("heavy", name)});
      const auto own = heavy->diagnosis->ground.Find(suspect.statement);
      REQUIRE(own);
      const double p = in_heavy.p_event[static_cast<std::size_t>(*own)];
      CHECK(suspect.chance == Approx(mixed.chances.p_world[1] * p).epsilon(1e-9));
      CHECK(suspect.before ==
            Approx(0.5 * ChancesBefore(*heavy->diagnosis, {*own}, {}).front()).epsilon(1e-9));
      ++of_cooler;
    }
    CHECK(of_cooler > 0);
    const std::vector<VariantChance>& may_be = report.which_variant.may_be;
    REQUIRE(may_be.size() == 2);
    CHECK(may_be[0].variant == Named("light", name));
    CHECK(may_be[0].before == 0.5);
    CHECK(may_be[0].chance + may_be[1].chance == Approx(1));
  }
}

TEST_CASE(
    "where nothing was seen the variants are as likely as they are, and each fault as in both together") {
  ShippedBook shipped;
  for (const std::string& name : shipped.shelf->Names()) {
    INFO(name);
    const auto opened = DiagnoseText(shipped, "x", "case: x\ntitle: x\nunit: " + name + "\n");
    const RankReport report =
        MakeRankReport(*opened->diagnosis, nullptr, {}, {.suspects = 1000, .least_chance = 0});
    CHECK(report.nothing_observed);
    const double each = HasVersions(name) ? 0.25 : 0.5;
    REQUIRE(static_cast<double>(report.which_variant.may_be.size()) == 1 / each);
    for (const VariantChance& one : report.which_variant.may_be) {
      CHECK(one.before == each);
      CHECK(one.chance == Approx(each).epsilon(1e-12));
    }
    for (const Suspect& suspect : report.suspects)
      CHECK(suspect.chance == Approx(suspect.before).epsilon(1e-9));
  }
}

TEST_CASE("what tells the variants apart is what one alone has, then what they have more or fewer of") {
  ShippedBook shipped;
  const auto opened = DiagnoseText(shipped, "x", Told("simpson-three-speed", ""));
  const WhichVariant which = MakeRankReport(*opened->diagnosis, nullptr, {}).which_variant;
  REQUIRE(which.signs.size() > 2);
  CHECK(which.signs[0].part == "auxiliary_cooler");
  CHECK(which.signs[0].only_in == std::vector<std::string>{"heavy"});
  for (std::size_t i = 1; i < which.signs.size(); ++i) {
    CHECK(which.signs[i].only_in.empty());
    REQUIRE(which.signs[i].count.size() == 2);
    CHECK(which.signs[i].count[0].first == "light");
    CHECK(which.signs[i].count[0].second < which.signs[i].count[1].second);
  }
  Case known = opened->c;
  known.variant = "heavy";
  CHECK(MakeRankReport(*DiagnoseCase(shipped, known)->diagnosis, nullptr, {}).which_variant.signs.empty());
}

// Each reading is within the limits of the heavy variant, and far above those of the light one.
TEST_CASE(
    "answers that only one variant can give settle the variant, and the case is then nearly that one's") {
  ShippedBook shipped;
  const auto with = [&](const std::string& lines) {
    return DiagnoseText(shipped, "x", Told("simpson-three-speed", lines));
  };
  const std::string seen = "observed: [{present: {found_dirty: auxiliary_cooler}, trust: seen}]\n";
  const auto open = with(seen);
  CHECK(open->diagnosis->chances.p_world[1] > 0.95);
  const auto heavy = with("variant: heavy\n" + seen);
  const Diagnosis& mixed = *open->diagnosis;
  for (std::size_t i = 0; i < mixed.ground.events.size(); ++i) {
    if (mixed.ground.events[i].word->type != WordType::kFault) continue;
    const auto own = heavy->diagnosis->ground.Find(mixed.ground.events[i].statement);
    REQUIRE(own);
    CHECK(std::abs(mixed.chances.p_event[i] -
                   heavy->diagnosis->chances.p_event[static_cast<std::size_t>(*own)]) < 0.05);
  }
}

TEST_CASE("two variants alike are one transmission, and so is a mixture of which one is certain") {
  ShippedBook shipped;
  for (const std::string& file : ShippedCaseFiles()) {
    const Case c = ReadShippedCase(shipped, file);
    if (c.variant.empty() || c.id.size() % 4 != 0) continue;
    INFO(file);
    const auto one = DiagnoseCase(shipped, c);
    const auto transmission = one->diagnosis->Likeliest().transmission;
    Mixture alike(transmission);
    alike.transmissions.push_back(transmission);
    alike.weights = {0.5, 0.5};
    Mixture certain = alike;
    certain.weights = {1, 0};
    for (const Mixture* mixture : {&alike, &certain}) {
      const auto mixed = Diagnose(*mixture, c, {}, shipped.diagnostics);
      REQUIRE(mixed);
      const RankReport expected = MakeRankReport(*one->diagnosis, nullptr, {});
      const RankReport report = MakeRankReport(*mixed, nullptr, {});
      REQUIRE(report.suspects.size() == expected.suspects.size());
      for (std::size_t i = 0; i < report.suspects.size(); ++i) {
        const Suspect& suspect = report.suspects[i];
        CHECK(suspect.fault == expected.suspects[i].fault);
        CHECK(std::abs(suspect.chance - expected.suspects[i].chance) < 1e-12);
        CHECK(std::abs(suspect.before - expected.suspects[i].before) < 1e-12);
        CHECK(report.reasons_left_out == expected.reasons_left_out);
        REQUIRE(suspect.evidence.size() == expected.suspects[i].evidence.size());
        // What weighs alike but for rounding may stand the other way round.
        for (const EvidenceItem& item : suspect.evidence) {
          const auto& all = expected.suspects[i].evidence;
          CHECK(std::any_of(all.begin(), all.end(), [&](const EvidenceItem& other) {
            return other.event == item.event && item.odds_factor == Approx(other.odds_factor).epsilon(1e-6);
          }));
        }
      }
    }
  }
}

}  // namespace
}  // namespace gearwhy
