// The chain against an engine from outside: the answer-set grounder gringo (Debian package `gringo`).
//
// A program with stratified negation has exactly one stable model (Gelfond & Lifschitz 1988), and gringo
// works it out while grounding: its output is that model, one fact a line. Random rulebooks are written as
// one program, each with predicates of its own. gringo has whole numbers only; ours are multiples of a
// quarter and are written times four, which keeps all comparisons.
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <set>
#include <string>

#include "engine/chain/chain.h"
#include "tests/chain/random_rules.h"
#include "tests/support/catch.h"

using namespace gearwhy;
using namespace gearwhy::test;

namespace {

// Output of a shell command; nothing when it failed.
std::optional<std::string> Run(const std::string& command) {
  FILE* pipe = popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::string output;
  char buffer[4096];
  for (std::size_t n = 0; (n = fread(buffer, 1, sizeof buffer, pipe)) > 0;) output.append(buffer, n);
  if (pclose(pipe) != 0) return std::nullopt;
  return output;
}

class GringoWriter {
 public:
  explicit GringoWriter(int book) : book_(book) {}

  std::string Fact(Sense sense, const Statement& statement) const {
    std::vector<Term> terms(statement.slots.begin(), statement.slots.end());
    return AtomText(sense, statement.name, terms) + ".";
  }
  std::string RuleText(const Rule& rule) const {
    std::string body;
    for (const Condition& condition : rule.when)
      body += (body.empty() ? " :- " : ", ") + ConditionText(condition);
    std::string text;
    for (const Conclusion& conclusion : rule.then) {
      text += AtomText(conclusion.sense, conclusion.pattern.name, conclusion.pattern.terms) + body + ".\n";
    }
    return text;
  }

 private:
  static std::string TermText(const Term& term) {
    if (const auto* variable = std::get_if<Variable>(&term)) return variable->name;
    const auto* value = std::get_if<Value>(&term);
    if (value == nullptr) return "_";
    if (const auto* name = std::get_if<std::string>(value)) return *name;
    const double quarters = std::get<double>(*value) * 4;
    REQUIRE(quarters == static_cast<int>(quarters));
    return std::to_string(static_cast<int>(quarters));
  }
  std::string AtomText(Sense sense, const std::string& name, const std::vector<Term>& terms) const {
    std::string text = "b" + std::to_string(book_);
    text += sense == Sense::kFact ? "_fact_" : sense == Sense::kPresent ? "_present_" : "_absent_";
    text += name;
    for (std::size_t i = 0; i < terms.size(); ++i) text += (i == 0 ? "(" : ",") + TermText(terms[i]);
    return terms.empty() ? text : text + ")";
  }
  std::string ConditionText(const Condition& condition) const {
    if (condition.kind == Condition::Kind::kCompare) {
      static const char* const signs[] = {"<", "<=", "=", "!=", ">=", ">"};
      return TermText(condition.left) + " " + signs[static_cast<int>(condition.comparison)] + " " +
             TermText(condition.right);
    }
    return (condition.kind == Condition::Kind::kNot ? "not " : "") +
           AtomText(condition.sense, condition.pattern.name, condition.pattern.terms);
  }

  int book_;
};

std::set<std::string> FactsIn(const std::string& output) {
  std::set<std::string> facts;
  for (std::size_t at = 0; at < output.size();) {
    const std::size_t end = std::min(output.find('\n', at), output.size());
    const std::string line = output.substr(at, end - at);
    at = end + 1;
    if (line.empty() || line[0] == '#') continue;  // gringo's own auxiliary predicates
    INFO(line);
    REQUIRE(line.find(":-") == std::string::npos);  // all is decided: facts only
    facts.insert(line);
  }
  return facts;
}

}  // namespace

TEST_CASE("the chain derives what the grounder gringo derives") {
  if (!Run("command -v gringo 2>&1")) {
    const std::string message =
        "gringo is not installed (apt-get install gringo): the chain was NOT compared with it";
    if (std::getenv("CI") != nullptr) FAIL(message);
    WARN("SKIPPED: " << message);
    return;
  }
  std::string program;
  std::set<std::string> ours;
  int with_not = 0, derived = 0;
  RandomBookMaker maker(20'250'106, true);
  for (int books = 0; books < 700;) {
    const RandomBook book = maker.Make();
    Diagnostics diagnostics;
    if (!CheckStrata(book.rules, diagnostics)) continue;
    const GringoWriter writer(books++);
    with_not += HasNot(book.rules);
    FactStore store = StoreOf(book.facts);
    const int given = store.size();
    for (const auto& [sense, statement] : book.facts) program += writer.Fact(sense, statement) + "\n";
    for (const Rule& rule : book.rules) program += writer.RuleText(rule);
    REQUIRE(Chain(book.rules, store, nullptr, diagnostics));
    for (FactId fact = 0; fact < store.size(); ++fact) {
      ours.insert(writer.Fact(store.Get(fact).sense, store.Get(fact).statement));
    }
    derived += store.size() - given;
  }
  CHECK(with_not > 150);
  CHECK(derived > 800);

  std::string path = (std::filesystem::temp_directory_path() / "gearwhy-chain-XXXXXX").string();
  const int file = mkstemp(path.data());
  REQUIRE(file >= 0);
  close(file);
  std::ofstream(path) << program;
  const std::optional<std::string> output = Run("gringo --text -Wnone '" + path + "'");
  std::filesystem::remove(path);
  REQUIRE(output.has_value());
  const std::set<std::string> theirs = FactsIn(*output);
  for (const std::string& fact : ours) {
    if (!theirs.contains(fact)) FAIL_CHECK("only we derive " << fact);
  }
  for (const std::string& fact : theirs) {
    if (!ours.contains(fact)) FAIL_CHECK("only gringo derives " << fact);
  }
}
