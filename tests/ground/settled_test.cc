// Which questions need not be asked, and what an answer writes, by the shipped rulebook. The trade facts are
// common practice: what does not drive cannot slip, jolt or brake the engine.
#include "engine/ground/settled.h"

#include <algorithm>

#include "engine/advise/interview.h"
#include "tests/support/catch.h"
#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

class Shop {
 public:
  explicit Shop(const std::string& text, const std::string& unit = "ravigneaux-simple-five-speed") {
    const std::string head = "case: bench\ntitle: bench\nunit: " + unit + "\n";
    case_ = DiagnoseText(shipped_, "bench", head + text);
    diagnosis_ = &*case_->diagnosis;
    checks_ = GroundChecksOf(*diagnosis_);
  }

  const Diagnosis& diagnosis() const { return *diagnosis_; }

  // The ids of what the check asks, empty when it is not asked.
  std::vector<std::string> Asks(const std::string& key) const {
    std::vector<std::string> ids;
    for (const GroundCheck& check : checks_) {
      if (check.key != key) continue;
      for (const int finding : check.findings) ids.push_back(Id(finding));
    }
    return ids;
  }

  // What the answer to the check writes: "no delayed:D1", "slips:R [cold]".
  std::vector<std::string> Writes(const std::string& key, const std::vector<std::string>& present,
                                  const std::vector<std::string>& under = {}) const {
    NextQuestion question;
    CaseChecks all;
    all.ground = checks_;
    all.weighed = AllAlike();
    for (const NextCheck& check : FindNextChecks(*diagnosis_, all, 1000)) {
      if (check.key == key) question.check = check;
    }
    REQUIRE(question.check.key == key);
    QuestionAnswer reply;
    reply.under = under;
    for (std::size_t i = 0; i < question.check.findings.size(); ++i) {
      const auto& id = question.check.findings[i].id;
      if (std::count(present.begin(), present.end(), id) > 0) reply.present.push_back(static_cast<int>(i));
    }
    std::vector<std::string> written;
    for (const CaseChange& change : ChangesOf(*diagnosis_, question, reply)) {
      if (change.list != CaseList::kObserved) continue;
      std::string line = (change.present ? "" : "no ") + StatementId(change.statement);
      for (const std::string& name : change.under) line += " [" + name + "]";
      written.push_back(line);
    }
    std::sort(written.begin(), written.end());
    return written;
  }

  double Chance(const std::string& id) const {
    for (std::size_t i = 0; i < diagnosis_->ground.events.size(); ++i) {
      if (Id(static_cast<int>(i)) == id) return diagnosis_->chances.p_event[i];
    }
    FAIL(id);
    return 0;
  }

 private:
  std::string Id(int event) const {
    return diagnosis_->ground.network.events[static_cast<std::size_t>(event)].id;
  }
  // Every check as if it told a bit, none worked out.
  WeighedChecks AllAlike() const {
    WeighedChecks weighed;
    for (std::size_t c = 0; c < checks_.size(); ++c) {
      WeighedCheck one;
      one.check = c;
      one.asked = checks_[c].findings;
      one.answers.exact = false;
      one.bits = 1;
      weighed.checks.push_back(one);
    }
    return weighed;
  }

  ShippedBook shipped_;
  std::unique_ptr<ShippedCase> case_;
  const Diagnosis* diagnosis_ = nullptr;
  std::vector<GroundCheck> checks_;
};

TEST_CASE("only ranges that a place of the lever engages are shown by it") {
  const Shop six("", "lepelletier-six-speed");
  CHECK(six.Asks("ask-ranges") == std::vector<std::string>{"no_drive:D1", "no_drive:R"});
  CHECK(six.Writes("ask-ranges", {}) == std::vector<std::string>{"no no_drive:D1", "no no_drive:R"});
}

TEST_CASE("that a range does not drive says nothing of how it engages") {
  const Shop shop("");
  CHECK(shop.Writes("engage-at-rest:D1", {"no_drive:D1"}) == std::vector<std::string>{"no_drive:D1"});
  CHECK(shop.Writes("engage-at-rest:D1", {"delayed:D1"}) ==
        std::vector<std::string>{"delayed:D1", "no harsh_engagement:D1", "no no_drive:D1"});
}

TEST_CASE(
    "of a range without drive nothing is asked that needs drive, nor of the shifts into and out of it") {
  const Shop shop(
      "observed: [{present: {no_drive: D3}, trust: road_test}, {present: {no_drive: R}, trust: "
      "road_test}]\n");
  for (const char* key : {"drive-in-range:D3", "drive-engine-braking:D3", "drive-shift:D2:D3",
                          "drive-shift:D3:D4", "engage-at-rest:R", "drive-pull-away:R:D1"}) {
    INFO(key);
    CHECK(shop.Asks(key).empty());
  }
  CHECK_FALSE(shop.Asks("drive-in-range:D2").empty());
  CHECK_FALSE(shop.Asks("ask-how-it-comes").empty());
}

TEST_CASE("what slips drives, and is not asked for drive") {
  const Shop shop("observed: [{present: {slips: R}, trust: road_test}]\n");
  CHECK(shop.Asks("engage-at-rest:R") == std::vector<std::string>{"delayed:R", "harsh_engagement:R"});
  CHECK(shop.diagnosis().ground.network.reports.size() == 1);
}

TEST_CASE("that a range drives well is one report, and settles its parts") {
  const Shop before("");
  CHECK(before.Writes("drive-in-range:D3", {}) == std::vector<std::string>{"no drives_badly:D3"});
  CHECK(before.Writes("drive-in-range:D3", {"slips:D3"}) ==
        std::vector<std::string>{"no locks_up:D3", "no no_drive:D3", "slips:D3"});
  const Shop after("observed: [{absent: {drives_badly: D3}, trust: road_test}]\n");
  CHECK(after.Asks("drive-in-range:D3").empty());
  CHECK(after.Asks("drive-range-comes:D3").empty());
  CHECK_FALSE(after.Asks("drive-engine-braking:D3").empty());
  const Shop good("observed: [{absent: {trouble: D3}, trust: customer}]\n");
  CHECK(good.Asks("drive-in-range:D3").empty());
  CHECK(good.Asks("drive-engine-braking:D3").empty());
  CHECK(good.Asks("drive-shift:D2:D3").empty());
}

// One look that finds a range good clears both what would keep it from driving and what would let it slip,
// and as much as the look is worth: once.
TEST_CASE("a range that drives well clears what it needs as much as one look can") {
  const std::string complaint = "complaint: [{present: {no_drive: R}, trust: customer}]\n";
  const Shop bare(complaint);
  const Shop good(complaint + "observed: [{absent: {drives_badly: M1}, trust: road_test}]\n");
  const Shop drives(complaint + "observed: [{absent: {no_drive: M1}, trust: road_test}]\n");
  CHECK(good.Chance("cannot_hold:C") > bare.Chance("cannot_hold:C"));
  CHECK(good.Chance("no_line_pressure") < 0.2 * bare.Chance("no_line_pressure"));
  CHECK(good.Chance("no_line_pressure") == Approx(drives.Chance("no_line_pressure")).epsilon(0.5));
  CHECK(good.Chance("line_pressure_low") < drives.Chance("line_pressure_low"));
}

constexpr const char* kHot =
    "complaint: [{present: {no_drive: R}, trust: customer}, {present: {worse_hot: R}, trust: customer}]\n";

TEST_CASE("a cold drive that finds reverse good speaks little against a trouble that comes hot") {
  const std::string good = "observed: [{absent: {drives_badly: R}, trust: road_test, under: [";
  const double without = Shop(kHot).Chance("cannot_hold:E");
  const double cold = Shop(kHot + good + "cold]}]\n").Chance("cannot_hold:E");
  const double hot = Shop(kHot + good + "hot]}]\n").Chance("cannot_hold:E");
  CHECK(cold > 0.5 * without);
  CHECK(hot < 0.8 * cold);
  CHECK(hot > 0);  // one road test in a hundred misses it
}

TEST_CASE(
    "an answer from the road counts as found under the circumstances of the complaint, unless it says "
    "otherwise") {
  const Shop shop(
      "observed: [{present: {slips: R}, trust: customer}, {present: {worse_hot: R}, trust: customer}]\n");
  InterviewState state;
  state.going_on = "engage-at-rest:R";
  const NextStep step = FindNextStep(shop.diagnosis(), WeighCase(shop.diagnosis()), state);
  REQUIRE(step.question.check.key == "engage-at-rest:R");
  CHECK(step.question.under == std::vector<std::string>{"hot"});
  CHECK_THAT(step.question.how_under, ContainsSubstring("as in 2 cold"));
  const auto under_of = [&](const std::vector<std::string>& named) {
    QuestionAnswer reply;
    reply.under = named;
    return ChangesOf(shop.diagnosis(), step.question, reply).front().under;
  };
  CHECK(under_of({}) == std::vector<std::string>{"hot"});
  CHECK(under_of({"cold"}) == std::vector<std::string>{"cold"});
  CHECK(under_of({"light"}) == std::vector<std::string>{"hot", "light"});
  CHECK(shop.Writes("drive-in-range:D1", {}, {"cold"}) ==
        std::vector<std::string>{"no drives_badly:D1 [cold]"});
}

TEST_CASE("how a trouble comes is not asked once it was looked for and not found") {
  const std::string complaint = "complaint: [{present: {slips: D3}, trust: customer}]\n";
  CHECK(Shop(complaint).Asks("ask-how-it-comes") ==
        std::vector<std::string>{"worse_hot:D3", "worse_cold:D3", "worse_under_load:D3"});
  const Shop refuted(complaint + "observed: [{absent: {slips: D3}, trust: road_test}]\n");
  CHECK(refuted.Asks("ask-how-it-comes").empty());
}

}  // namespace
}  // namespace gearwhy
