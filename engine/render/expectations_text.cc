// What is not as a case expects, a line each.
#include <fmt/format.h>

#include "engine/render/text.h"

namespace gearwhy {
namespace {

std::string WhatText(const UnmetExpectation& unmet) {
  const Expectation& expected = *unmet.expected;
  switch (unmet.what) {
    case UnmetExpectation::What::kNotHere:
      return "expected, but this transmission cannot have it";
    case UnmetExpectation::What::kSuspected:
      return fmt::format("should not be suspected, but its chance is {:.3f}", unmet.chance);
    case UnmetExpectation::What::kRank:
      return fmt::format("expected within the first {}, but it is number {} ({:.3f})", expected.within,
                         unmet.rank, unmet.chance);
    case UnmetExpectation::What::kAtLeast:
      return fmt::format("expected at least {:.3f}, but it is {:.3f}", *expected.at_least, unmet.chance);
    case UnmetExpectation::What::kAtMost:
      return fmt::format("expected at most {:.3f}, but it is {:.3f}", *expected.at_most, unmet.chance);
    case UnmetExpectation::What::kReason:
      return fmt::format("`{}` is not among its reasons", unmet.reason);
  }
  return "";
}

}  // namespace

std::string UnmetText(const UnmetExpectation& unmet, const Sources& sources) {
  return fmt::format("{}: {}: {}", sources.Describe(unmet.expected->place),
                     StatementId(unmet.expected->event), WhatText(unmet));
}

}  // namespace gearwhy
