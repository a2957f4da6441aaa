// Times of the chain on rules, a base and cases from files: gearwhy_benchmark_chain RULES BASE CASES [facts]
//
// Rules and facts are written as in tests/chain/rule_text.h; CASES has a case a line, and may be empty: then
// the base alone is chained. Prints how many facts follow, from the base and for all cases; with `facts`,
// each of them behind the number of its case. Times go to the standard error output. tests/benchmark/run
// makes the files, and compares with other engines.
#include "engine/chain/chain.h"

#include <fmt/format.h>

#include <cstdio>
#include <ctime>
#include <memory>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tests/chain/rule_text.h"

namespace gearwhy {
namespace {

using GivenFact = std::pair<Sense, Statement>;

std::string TextOf(const char* path) {
  std::FILE* file = std::fopen(path, "rb");
  if (file == nullptr) throw std::runtime_error(fmt::format("cannot read {}", path));
  std::string text;
  char buffer[1 << 16];
  for (std::size_t n = 0; (n = std::fread(buffer, 1, sizeof buffer, file)) > 0;) text.append(buffer, n);
  std::fclose(file);
  return text;
}

// The facts of a line, divided by blanks.
std::vector<GivenFact> FactsOfLine(std::string_view line) {
  std::vector<GivenFact> facts;
  while (!line.empty()) {
    const std::size_t end = std::min(line.find(' '), line.size());
    facts.push_back(test::RuleText(line.substr(0, end), -1, 0).ReadFact());
    line.remove_prefix(std::min(end + 1, line.size()));
  }
  return facts;
}

std::string ShowFact(const FactStore& store, FactId fact) {
  const Statement statement = store.Get(fact).statement;
  std::string text = statement.name;
  for (const Value& value : statement.slots) text += " " + ShowValue(value);
  return text;
}

class Watch {
 public:
  void Tell(const char* what) {
    const double took = static_cast<double>(std::clock() - start_) / CLOCKS_PER_SEC;
    fmt::print(stderr, "{:<20}{:10.2f} ms\n", what, 1000 * took);
    start_ = std::clock();
  }

 private:
  std::clock_t start_ = std::clock();  // of the processor
};

int Run(const char* rules_path, const char* base_path, const char* cases_path, bool show) {
  Watch watch;
  const std::vector<Rule> rules = test::Rules(TextOf(rules_path));
  auto base = std::make_shared<FactStore>(test::Facts(TextOf(base_path)));
  std::vector<std::vector<GivenFact>> cases;
  test::ForEachLine(TextOf(cases_path),
                    [&](std::string_view line, int) { cases.push_back(FactsOfLine(line)); });
  watch.Tell("reading the files");
  Diagnostics diagnostics;
  if (!CheckStrata(rules, diagnostics)) return 1;
  const RuleProgram program(rules, *base);
  watch.Tell("compiling the rules");
  ChainLimits limits;
  limits.max_facts = 10'000'000;
  limits.max_steps = 1'000'000'000;
  const int given = base->size();
  if (program.Run(*base, nullptr, diagnostics, limits) != Chained::kDone) return 1;
  watch.Tell("chaining the base");
  long derived = base->size() - given;
  for (FactId fact = given; show && fact < base->size(); ++fact) fmt::print("0 {}\n", ShowFact(*base, fact));
  int number = 0;
  for (const std::vector<GivenFact>& facts : cases) {
    ++number;
    FactStore store(base);
    for (const auto& [sense, statement] : facts) store.Add(sense, statement);
    const int before = store.size();
    if (program.Run(store, nullptr, diagnostics, limits) != Chained::kDone) return 1;
    derived += store.size() - before;
    for (FactId fact = before; show && fact < store.size(); ++fact)
      fmt::print("{} {}\n", number, ShowFact(store, fact));
  }
  watch.Tell("chaining the cases");
  if (!show) fmt::print("{}\n", derived);
  return 0;
}

}  // namespace
}  // namespace gearwhy

int main(int argc, char** argv) {
  if (argc < 4) {
    fmt::print(stderr, "usage: gearwhy_benchmark_chain RULES BASE CASES [facts]\n");
    return 2;
  }
  return gearwhy::Run(argv[1], argv[2], argv[3], argc > 4 && std::string_view(argv[4]) == "facts");
}
