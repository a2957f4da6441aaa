#include "engine/study/expectations.h"

#include <fmt/format.h>

#include <set>

#include "engine/explain/why_report.h"

namespace gearwhy {
namespace {

// An expectation that something is not suspected allows it this much.
constexpr double kNotSuspected = 0.1;

void Gather(const std::vector<FactReason>& facts, std::string& sources) {
  for (const FactReason& fact : facts) {
    sources += fact.source + "\n";
    Gather(fact.premises, sources);
  }
}

// Whether an entry of the rulebook appears anywhere in the reasoning behind a suspect.
bool Appears(const WhyReport& why, const Diagnosis& diagnosis, int event, const std::string& id) {
  std::string sources;
  const auto has_step = [&](const std::vector<ChainStep>& steps) {
    for (const ChainStep& step : steps) {
      if (step.chart == id) return true;
      Gather(step.facts, sources);
    }
    return false;
  };
  for (const ReasonChain& chain : why.speaks_for) {
    if (has_step(chain.steps) || chain.evidence.trust == fmt::format("by the rule {}", id)) return true;
  }
  if (has_step(why.brought_about_by)) return true;
  const Chance* chance = diagnosis.ground.events[static_cast<std::size_t>(event)].chance;
  if (chance != nullptr && chance->id == id) return true;
  return sources.find(fmt::format("(rule {})", id)) != std::string::npos;
}

class Judge {
 public:
  Judge(const Diagnosis& diagnosis, const Sources& sources, const BeliefLimits& limits)
      : diagnosis_(diagnosis), sources_(sources), limits_(limits) {}

  std::vector<std::string> Judgements() {
    for (const Expectation& expectation : diagnosis_.c->expect) JudgeOne(expectation);
    return std::move(unmet_);
  }

 private:
  void Unmet(const Expectation& expectation, const std::string& what) {
    unmet_.push_back(fmt::format("{}: {}: {}", sources_.Describe(expectation.place),
                                 StatementId(expectation.event), what));
  }

  void JudgeOne(const Expectation& expectation) {
    const std::optional<int> event = diagnosis_.ground.Find(expectation.event);
    if (!event) {
      if (expectation.suspected) Unmet(expectation, "expected, but this transmission cannot have it");
      return;
    }
    const WhyReport why = MakeWhyReport(diagnosis_, *event, sources_, limits_);
    const double chance = why.suspect.chance;
    if (!expectation.suspected) {
      const double most = expectation.at_most.value_or(kNotSuspected);
      if (!(chance <= most))
        Unmet(expectation, fmt::format("should not be suspected, but its chance is {:.3f}", chance));
      return;
    }
    if (why.rank > expectation.within) {
      Unmet(expectation, fmt::format("expected within the first {}, but it is number {} ({:.3f})",
                                     expectation.within, why.rank, chance));
    }
    if (expectation.at_least && !(chance >= *expectation.at_least)) {
      Unmet(expectation,
            fmt::format("expected at least {:.3f}, but it is {:.3f}", *expectation.at_least, chance));
    }
    if (expectation.at_most && !(chance <= *expectation.at_most)) {
      Unmet(expectation,
            fmt::format("expected at most {:.3f}, but it is {:.3f}", *expectation.at_most, chance));
    }
    for (const std::string& id : expectation.rules) {
      if (!Appears(why, diagnosis_, *event, id))
        Unmet(expectation, fmt::format("`{}` is not among its reasons", id));
    }
  }

  const Diagnosis& diagnosis_;
  const Sources& sources_;
  const BeliefLimits& limits_;
  std::vector<std::string> unmet_;
};

}  // namespace

std::vector<std::string> UnmetExpectations(const Diagnosis& diagnosis, const Sources& sources,
                                           const BeliefLimits& limits) {
  return Judge(diagnosis, sources, limits).Judgements();
}

}  // namespace gearwhy
