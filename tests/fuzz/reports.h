// What must hold of a diagnosis and of the reports made of it, whatever the case.
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>

#include "engine/advise/next_report.h"
#include "engine/render/json.h"
#include "engine/render/text.h"
#include "tests/fuzz/target.h"

namespace gearwhy {

// A chance that was not worked out is NaN.
inline void MustBeChances(const std::vector<double>& chances) {
  for (const double p : chances) Must(std::isnan(p) || (p >= 0 && p <= 1), "a chance is from 0 to 1");
}

inline void MustReport(const Diagnosis& diagnosis, const Sources& sources) {
  MustBeChances(diagnosis.chances.p_event);
  MustBeChances(diagnosis.chances.p_by_itself);
  const RankReport report = MakeRankReport(diagnosis, nullptr, {}, {});
  const LookNext next = FindLookNext(diagnosis, report);
  const Speaker speaker(diagnosis, sources);
  const std::string page = RankText(report, next, speaker, {});
  Must(SafeText(page) == page, "a page is harmless");
  Must(nlohmann::json::accept(RankJson(report, next, speaker, -1)), "a ranking is JSON");
  if (report.suspects.empty()) return;
  const WhyReport why = MakeWhyReport(diagnosis, report.suspects[0].event, diagnosis.limits);
  const std::string reasons = WhyText(why, speaker, {});
  Must(SafeText(reasons) == reasons, "a page is harmless");
}

}  // namespace gearwhy
