#include "engine/explain/renewal_report.h"

#include <algorithm>
#include <set>

#include "engine/ground/repairs.h"
#include "engine/model/access.h"
#include "engine/text/for_order.h"

namespace gearwhy {
namespace {

// The facts that tell the age of a part, by their names in the words.
constexpr const char* kLongInUse = "long_in_use";
constexpr const char* kAsGoodAsNew = "as_good_as_new";
constexpr double kMinutesOfAnHour = 60;

class Weigher {
 public:
  explicit Weigher(const Diagnosis& diagnosis)
      : diagnosis_(diagnosis),
        book_(*diagnosis.book),
        facts_(diagnosis.Likeliest()),
        repairs_(book_, facts_.store) {
    for (const CaseFact& fact : diagnosis.c->work) {
      const Word& word = *book_.words.Find(fact.statement.name);
      if (const std::string* part = PartOf(word, fact.statement); part != nullptr && word.renews)
        renewed_.insert(*part);
    }
  }

  std::optional<PartRenewal> Weigh(const PartDecision& decision) const {
    if (decision.verdict == Verdict::kReplace || !decision.lies_open || renewed_.contains(decision.part))
      return std::nullopt;
    const Part& part = *diagnosis_.unit->FindPart(decision.part);
    const auto again = book_.renewing.again.find(part.kind);
    Diagnostics reported;  // when the network was made
    const Repair* repair = repairs_.LineOfPart(part.id, reported);
    if (again == book_.renewing.again.end() || repair == nullptr) return std::nullopt;
    PartRenewal renewal;
    renewal.part = part.id;
    renewal.again = &again->second;
    renewal.look_first = decision.verdict == Verdict::kMeasure;
    renewal.only_in = decision.only_in;
    renewal.age = AgeOf(part.id);
    renewal.p_as_is = ChanceAsItIs(again->second, renewal.age);
    renewal.p_renewed = again->second.p_renewed;
    renewal.minutes = again->second.minutes;
    renewal.come_back_minutes =
        book_.renewing.come_back->minutes + MinutesToReach(book_.words, repair->access, {});
    SetCosts(part, decision.count.value_or(1), renewal);
    renewal.weighed = WeighRenewal(renewal.costs, renewal.p_as_is, renewal.p_renewed);
    return renewal;
  }

  bool HasPart(const PartRenewal& renewal) const {
    const auto& only = renewal.only_in;
    return only.empty() || std::find(only.begin(), only.end(), facts_.transmission->variant) != only.end();
  }

 private:
  PartAge AgeOf(const std::string& part) const {
    const auto holds = [&](const char* fact) {
      return facts_.store.Find(Sense::kFact, {fact, {Value(part)}}).has_value();
    };
    return holds(kAsGoodAsNew) ? PartAge::kAsNew : holds(kLongInUse) ? PartAge::kLongUsed : PartAge::kSound;
  }

  static double ChanceAsItIs(const Again& again, PartAge age) {
    switch (age) {
      case PartAge::kSound:
        return again.p_sound;
      case PartAge::kLongUsed:
        return again.p_long_used.value_or(again.p_sound);
      case PartAge::kAsNew:
        break;
    }
    return again.p_renewed;
  }

  void SetCosts(const Part& part, int count, PartRenewal& renewal) const {
    renewal.costs = {renewal.minutes, renewal.come_back_minutes};
    if (!book_.renewing.prices) return;
    const Prices& prices = *book_.renewing.prices;
    const auto price = prices.parts.find(part.kind);
    if (price == prices.parts.end()) return;
    renewal.priced = true;
    renewal.costs.renew = renewal.minutes / kMinutesOfAnHour * prices.hour + count * price->second.each;
    renewal.costs.come_back = renewal.come_back_minutes / kMinutesOfAnHour * prices.hour + prices.come_back;
  }

  const Diagnosis& diagnosis_;
  const Rulebook& book_;
  const CaseFacts& facts_;
  PartRepairs repairs_;
  std::set<std::string> renewed_;
};

// What renewing saves, as a share of coming back, so that money and minutes stand in one order.
double SavedShare(const PartRenewal& one) {
  const double again = one.costs.come_back + one.costs.renew;
  return again > 0 ? (one.weighed.if_used - one.weighed.if_renewed) / again : 0;
}

}  // namespace

std::string_view PartAgeName(PartAge age) {
  switch (age) {
    case PartAge::kSound:
      return "sound";
    case PartAge::kLongUsed:
      return "long_used";
    case PartAge::kAsNew:
      return "as_new";
  }
  return "";
}

RenewalReport MakeRenewalReport(const Diagnosis& diagnosis, const std::vector<PartDecision>& decisions) {
  RenewalReport report;
  report.known = !diagnosis.book->renewing.again.empty();
  report.prices_stated = diagnosis.book->renewing.prices.has_value();
  if (!report.known || diagnosis.unit == nullptr) return report;
  const Weigher weigher(diagnosis);
  for (const PartDecision& decision : decisions) {
    if (auto renewal = weigher.Weigh(decision)) report.parts.push_back(std::move(*renewal));
  }
  std::stable_sort(report.parts.begin(), report.parts.end(), [](const PartRenewal& a, const PartRenewal& b) {
    return ForOrder(SavedShare(a)) > ForOrder(SavedShare(b));
  });
  std::vector<double> used, advised;
  for (const PartRenewal& one : report.parts) {
    if (!weigher.HasPart(one)) continue;
    used.push_back(one.p_as_is);
    advised.push_back(one.weighed.worth ? one.p_renewed : one.p_as_is);
  }
  report.p_used = AnyOf(used);
  report.p_as_advised = AnyOf(advised);
  return report;
}

}  // namespace gearwhy
