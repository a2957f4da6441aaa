// Every single complaint: gearwhy_benchmark_sweep [--each] [UNIT...]
//
// Each finding that a customer may come with, alone, in every unit and variant: what stands first of *where*,
// and how likely nothing is to blame. With `--cases FOLDER` no answer is worked out, and each complaint is
// written there as a case file, for `gearwhy rank FOLDER --format jsonl` of any other version of the program.
// Shown of every variant: the complaints, how many leave *nothing to blame* above 35 in 100 although at most
// 1 in 100 of them is unexplained, and of the complaints about one range or shift in how many low line
// pressure leads. With `--each` besides a line for every complaint: nothing to blame, and the first places.
#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "cli/commands.h"
#include "cli/session.h"
#include "engine/advise/pull.h"
#include "engine/explain/rank_report.h"
#include "engine/text/at.h"
#include "tests/support/drawn_trouble.h"

namespace gearwhy {
namespace {

constexpr double kMostNothing = 0.35;
constexpr double kHardlyUnexplained = 0.01;  // how often a complaint is there with none of its causes

struct Counts {
  int complaints = 0, explained = 0, nothing = 0, about_ranges = 0, low_pressure = 0, inexact = 0;
};

Case Complaining(const std::string& unit, const std::string& variant, const Statement& finding) {
  Case c;
  c.id = StatementId(finding);
  c.title = c.id;
  c.unit = unit;
  c.variant = variant;
  Observation complaint;
  complaint.event = finding;
  complaint.complaint = true;
  complaint.trust = "customer";
  c.observations.push_back(complaint);
  return c;
}

bool IsAboutRange(const Word& word) { return !word.slots.empty() && word.slots.front().kind == "range"; }

void PrintPlaces(double nothing, const GroundEvent& complaint, const RankReport& report) {
  std::string line = fmt::format("  {} | nothing {:.2f}", StatementId(complaint.statement), nothing);
  for (std::size_t i = 0; i < report.where.size() && i < 3; ++i)
    line += fmt::format(" | {} {:.2f}", report.where[i].state, report.where[i].chance);
  fmt::print("{}\n", line);
}

void Judge(const Diagnosis& diagnosis, const GroundEvent& complaint, bool each, Counts& counts) {
  ++counts.complaints;
  if (!diagnosis.chances.exact) {
    ++counts.inexact;
    return;
  }
  const int event = diagnosis.ground.network.reports.front().event;
  const auto outcome = OutcomeNow(diagnosis);
  const double by_itself = diagnosis.ground.network.events[At(event)].p_unexplained;
  const bool explained = by_itself <= kHardlyUnexplained;
  counts.explained += explained;
  if (explained && outcome && outcome->nothing() > kMostNothing) {
    ++counts.nothing;
    fmt::print("  nothing to blame {:.2f}: {}\n", outcome->nothing(), StatementId(complaint.statement));
  }
  const bool about_range = IsAboutRange(*complaint.word);
  if (!about_range && !each) return;
  RankOptions options;
  options.reasons = false;
  const RankReport report = MakeRankReport(diagnosis, nullptr, diagnosis.limits, options);
  if (each) PrintPlaces(outcome ? outcome->nothing() : 1, complaint, report);
  if (!about_range) return;
  ++counts.about_ranges;
  if (!report.where.empty() && report.where.front().state == "line_pressure_low") ++counts.low_pressure;
}

void Write(const std::string& folder, int number, const std::string& unit, const std::string& variant,
           const GroundEvent& complaint) {
  std::string slots;
  for (std::size_t i = 0; i < complaint.statement.slots.size(); ++i) {
    slots += fmt::format("{}{}: {}", i == 0 ? "" : ", ", complaint.word->slots[i].name,
                         ShowValue(complaint.statement.slots[i]));
  }
  const std::string id = fmt::format("complaint-{:04}", number);
  std::ofstream file(fmt::format("{}/{}.yaml", folder, id));
  file << fmt::format(
      "case: {}\ntitle: \"{}\"\nunit: {}\nvariant: {}\ncomplaint:\n  - present: {{{}: {{{}}}}}\n    trust: "
      "customer\n",
      id, StatementId(complaint.statement), unit, variant, complaint.statement.name, slots);
}

int Run(std::vector<std::string> arguments) {
  const auto session = Session::Open({});
  if (session == nullptr) return kInputErrors;
  std::string folder;
  if (arguments.size() >= 2 && arguments[0] == "--cases") {
    folder = arguments[1];
    arguments.erase(arguments.begin(), arguments.begin() + 2);
    std::filesystem::create_directories(folder);
  }
  const bool each = !arguments.empty() && arguments[0] == "--each";
  if (each) arguments.erase(arguments.begin());
  Diagnostics diagnostics;
  Counts all;
  int number = 0;
  for (const std::string& name : arguments.empty() ? session->shelf().Names() : arguments) {
    const UnitKnowledge* known = session->Know(name, {}, diagnostics);
    if (known == nullptr) break;
    for (const Variant& variant : known->unit->variants) {
      Counts counts;
      Case nobody;
      nobody.id = nobody.title = "nothing";
      nobody.unit = name;
      nobody.variant = variant.name;
      const auto unobserved = session->GroundCase(nobody, diagnostics);
      if (!unobserved) break;
      const std::vector<char> may_be = PossibleComplaints(unobserved->ground);
      for (std::size_t i = 0; i < may_be.size(); ++i) {
        if (may_be[i] == 0) continue;
        const GroundEvent& complaint = unobserved->ground.events[i];
        if (!folder.empty()) {
          Write(folder, number++, name, variant.name, complaint);
          continue;
        }
        const Case c = Complaining(name, variant.name, complaint.statement);
        const auto diagnosis = session->DiagnoseCase(c, {}, diagnostics);
        if (diagnosis) Judge(*diagnosis, complaint, each, counts);
      }
      if (!folder.empty()) continue;
      fmt::print(
          "{}, {}: {} complaints, of {} that are explained nothing to blame in {}; of {} about a range low "
          "line "
          "pressure leads in {}; {} not exact\n",
          name, variant.name, counts.complaints, counts.explained, counts.nothing, counts.about_ranges,
          counts.low_pressure, counts.inexact);
      all.complaints += counts.complaints;
      all.explained += counts.explained;
      all.nothing += counts.nothing;
      all.about_ranges += counts.about_ranges;
      all.low_pressure += counts.low_pressure;
    }
  }
  session->Print(diagnostics);
  if (folder.empty())
    fmt::print(
        "all: {} complaints, of {} that are explained nothing to blame in {}; of {} about a range low line "
        "pressure leads in {}\n",
        all.complaints, all.explained, all.nothing, all.about_ranges, all.low_pressure);
  return kDone;
}

}  // namespace
}  // namespace gearwhy

int main(int argc, char** argv) { return gearwhy::Run({argv + 1, argv + argc}); }
