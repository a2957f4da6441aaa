// Fuzz target: any lines as `gearwhy rank -` gets them: each a case, called what it says itself. What cannot
// be read is told as JSON.
#include <sstream>

#include "tests/fuzz/reports.h"
#include "tests/fuzz/shipped_book.h"

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace gearwhy;
  static const OpenedBook opened(GEARWHY_SOURCE_DIR "/tests/cli/golden/fever-rank/book");
  std::istringstream lines(TextOf(data, size));
  int number = 0;
  for (std::string line; std::getline(lines, line) && number < 20; ++number) {
    Sources sources(&opened.sources);
    Diagnostics diagnostics;
    const auto c =
        opened.book->ReadCase(sources, sources.Add("(input line)", line), "", "/nonexistent", diagnostics);
    MustHaveAnswered(c.has_value(), diagnostics, sources);
    const auto diagnosis = c ? opened.book->DiagnoseCase(*c, {}, diagnostics) : std::nullopt;
    MustHaveAnswered(diagnosis.has_value(), diagnostics, sources);
    if (diagnosis) MustReport(*diagnosis, sources);
    if (!diagnosis)
      Must(nlohmann::json::accept(FailedCaseJson("line", diagnostics, sources, -1)), "a failure is JSON");
  }
  return 0;
}
