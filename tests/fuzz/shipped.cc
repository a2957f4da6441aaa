// Fuzz target: any text as a case of the shipped rulebook, diagnosed with little work allowed to the solver.
#include "tests/fuzz/reports.h"
#include "tests/fuzz/shipped_book.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace gearwhy;
  const OpenedBook& shipped = ShippedBookOnce();
  Sources sources(&shipped.sources);
  Diagnostics diagnostics;
  const int source = sources.Add("any.yaml", TextOf(data, size));
  const auto c = shipped.book->ReadCase(sources, source, "any", "/nonexistent", diagnostics);
  MustHaveAnswered(c.has_value(), diagnostics, sources);
  if (!c) return 0;
  BeliefLimits limits;
  limits.max_width = 10;
  limits.answer_work = 1e3;
  const auto diagnosis = shipped.book->DiagnoseCase(*c, limits, diagnostics);
  MustHaveAnswered(diagnosis.has_value(), diagnostics, sources);
  if (!diagnosis) return 0;
  MustBeChances(diagnosis->chances.p_event);
  const Speaker speaker(*diagnosis, sources);
  const RankReport report = MakeRankReport(*diagnosis, nullptr, {}, {});
  Must(nlohmann::json::accept(RankJson(report, {}, speaker, -1)), "a ranking is JSON");
  return 0;
}
