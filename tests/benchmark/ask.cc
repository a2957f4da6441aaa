// How long `gearwhy ask` takes from an answer to the next question, over a hundred recorded interviews.
//
//   gearwhy_benchmark_ask [--interviews N] [--answers N] [--seed N] [--replay 0]
//
// For each unit of the shelf 25 transmissions are drawn (drawn_trouble.h), each with its complaint. A
// customer and a mechanic who know what was drawn answer every question, with the usual errors of the trust
// that its check has; the unit is taken out when that is proposed. They leave when the interview comes to its
// end, when they have seen the fault behind the complaint themselves, or after so many answers (30 unless
// told otherwise; one answer may tell a dozen findings). What they answer is recorded. Timed is everything
// between an answer and the next question, as `gearwhy ask` does it: the answer into the text of the case and
// onto the disk, the diagnosis, what moved, the next step, and, where an interview comes to its end or the
// unit would come out, the page that says how things stand. Then every recorded answer is given once more to
// a program that keeps nothing: it diagnoses the case from the beginning, with all that a ranking shows. Both
// must come to the same next step.
#include <fmt/format.h>
#include <stdlib.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "cli/case_file.h"
#include "cli/session.h"
#include "engine/model/needs.h"
#include "engine/render/interview_text.h"
#include "engine/text/at.h"
#include "tests/support/drawn_trouble.h"
#include "tests/support/quantile.h"

namespace gearwhy {
namespace {

// Milliseconds since it was made, or since the last Lap.
class Clock {
 public:
  double Lap() {
    const auto now = std::chrono::steady_clock::now();
    const double took = std::chrono::duration<double, std::milli>(now - last_).count();
    last_ = now;
    return took;
  }

 private:
  std::chrono::steady_clock::time_point last_ = std::chrono::steady_clock::now();
};

struct Times {
  std::vector<double> whole, edit, diagnose, moved, step, closing;
  // Whole, by how much has been reported: 0 to 9, 10 to 19, ...
  std::map<int, std::vector<double>> by_reports;
};

// Where one interview stands: what an interview keeps.
class AskedCase {
 public:
  AskedCase(Session& session, const std::string& unit, const std::string& path)
      : session_(session), file_(session) {
    file_.Begin(path);
    text_ = NewCaseText(CaseIdOf(path), "drawn", unit, "");
    Read();
  }

  [[noreturn]] static void Fail(const std::string& why) {
    fmt::print(stderr, "error: {}\n", why);
    std::exit(1);
  }

  void Change(const std::vector<CaseChange>& changes) {
    std::string why;
    Case expected = *c_;
    for (const CaseChange& change : changes) {
      const auto changed = ChangeCaseText(text_, change, session_.book().words, &why);
      if (!changed || !ChangeCase(expected, change)) Fail(why);
      text_ = *changed;
    }
    changes_.insert(changes_.end(), changes.begin(), changes.end());
    Read();
    if (!SameCase(*c_, expected)) Fail("the case does not say what was answered");
  }

  void DiagnoseIt() {
    Diagnostics diagnostics;
    auto diagnosis = session_.DiagnoseCase(*c_, limits_, diagnostics);
    if (!diagnosis) Fail("the case cannot be diagnosed");
    Keep(std::move(*diagnosis));
  }

  // All that a ranking shows.
  void RankWhole() {
    RankOptions options;
    MakeRankReport(*diagnosis_, session_.shelf().FileOf(c_->unit), limits_, options);
  }

  void FindStep() {
    checks_ = WeighCase(*diagnosis_);
    step_ = FindNextStep(*diagnosis_, checks_, state_);
    if (step_.kind != NextStep::Kind::kEnough && SeenDirectly(*diagnosis_, Report(10)))
      step_.kind = NextStep::Kind::kSettled;
  }

  // One answer, from its changes to the next step. `anew`: as if nothing had been known before.
  void Take(const std::vector<CaseChange>& changes, bool anew, Times& times) {
    Clock whole, lap;
    std::string why;
    Change(changes);
    if (file_.Save(text_, changes_, &why) != CaseFile::Saving::kDone) Fail(why);
    times.edit.push_back(lap.Lap());
    const FaultChances before = FaultChancesOf(*diagnosis_);
    DiagnoseIt();
    if (anew) RankWhole();
    times.diagnose.push_back(lap.Lap());
    MovedText(MovedSuspects(before, *diagnosis_), Speaker(*diagnosis_, session_.sources()), {});
    times.moved.push_back(lap.Lap());
    FindStep();
    times.step.push_back(lap.Lap());
    if (step_.kind != NextStep::Kind::kAsk) {
      StandingText(Conclude(*diagnosis_, checks_, Report(20), step_),
                   Speaker(*diagnosis_, session_.sources()), {});
      times.closing.push_back(lap.Lap());
    }
    times.whole.push_back(whole.Lap());
    times.by_reports[static_cast<int>(diagnosis_->ground.reports.size() / 10)].push_back(times.whole.back());
  }

  const NextStep& step() const { return step_; }
  const Diagnosis& diagnosis() const { return *diagnosis_; }

 private:
  void Read() {
    Diagnostics diagnostics;
    auto c = file_.ReadText(text_, diagnostics);
    if (!c) {
      session_.Print(diagnostics);
      Fail("the case cannot be read");
    }
    c_ = std::make_shared<const Case>(std::move(*c));
  }

  void Keep(Diagnosis&& diagnosis) {
    diagnosed_ = c_;
    diagnosis_ = std::make_unique<Diagnosis>(std::move(diagnosis));
  }

  RankReport Report(int suspects) const {
    RankOptions options;
    options.suspects = suspects;
    options.reasons = false;
    return MakeRankReport(*diagnosis_, session_.shelf().FileOf(c_->unit), limits_, options);
  }

  Session& session_;
  CaseFile file_;
  BeliefLimits limits_;
  InterviewState state_;
  std::string text_;
  std::vector<CaseChange> changes_;
  std::shared_ptr<const Case> c_, diagnosed_;  // as it is; as the diagnosis points to it
  std::unique_ptr<Diagnosis> diagnosis_;
  CaseChecks checks_;
  NextStep step_;
};

struct Recorded {
  std::string unit;
  CaseChange complaint;
  std::vector<std::vector<CaseChange>> answers;
  std::vector<std::string> steps;  // what came of each
};

std::string NameOf(const NextStep& step) {
  return fmt::format("{} {}", static_cast<int>(step.kind), step.question.check.key);
}

QuestionAnswer AnswerOf(const AskedCase& interview, const Trouble& drawn, const Rulebook& book,
                        std::mt19937_64& random) {
  const NextCheck& check = interview.step().question.check;
  const Trust& trust = *book.words.FindTrust(check.trust);
  QuestionAnswer reply;
  std::vector<Implied> known;  // nobody says in one breath what cannot be
  for (std::size_t i = 0; i < check.findings.size(); ++i) {
    const auto event = interview.diagnosis().ground.Find(check.findings[i].event);
    const bool is = event && drawn.present[At(*event)];
    const double p_common = event ? interview.diagnosis().ground.common->Of(*event) : 0;
    const ReportChances as_present = ChancesOfReport(trust, p_common, true);
    if (Uniform(random) >= (is ? as_present.p_if_present : as_present.p_if_absent)) continue;
    const Statement& finding = check.findings[i].event;
    if (CannotTell(book.words, finding, known)) continue;
    for (const Implied& one : ImpliedBy(book, finding)) known.push_back(one);
    reply.present.push_back(static_cast<int>(i));
  }
  return reply;
}

Recorded Record(Session& session, const std::string& unit, const std::string& path, std::mt19937_64& random,
                int most_answers, Times& times) {
  const Words& words = session.book().words;
  AskedCase interview(session, unit, path);
  interview.DiagnoseIt();
  const GroundNetwork& ground = interview.diagnosis().ground;
  const std::vector<GroundCheck> checks = GroundChecksOf(interview.diagnosis());
  const Sights sights = SightsOf(words, ground.network, checks);
  const Trouble drawn =
      DrawTrouble(ground.network, CausesFirst(ground.network), PossibleComplaints(ground), sights, random);
  std::vector<std::vector<int>> shows(ground.events.size());  // by finding: faults
  for (const auto& of_check : sights.of_check) {
    for (const auto& [finding, fault] : of_check) shows[At(finding)].push_back(fault);
  }
  Recorded recorded{unit, {}, {}, {}};
  recorded.complaint.list = CaseList::kComplaint;
  recorded.complaint.statement = ground.events[At(drawn.complaint)].statement;
  recorded.complaint.trust = words.TrustOfComplaints().name;
  interview.Change({recorded.complaint});
  interview.DiagnoseIt();
  interview.FindStep();
  bool seen = false;
  for (int n = 0; n < most_answers && !seen; ++n) {
    const NextStep& step = interview.step();
    std::vector<CaseChange> changes;
    if (step.kind == NextStep::Kind::kAsk) {
      changes =
          ChangesOf(interview.diagnosis(), step.question, AnswerOf(interview, drawn, session.book(), random));
    } else if (step.kind == NextStep::Kind::kUnitOut) {
      changes = {*OpenedBy(interview.diagnosis(), step.question.check.access_name)};
    } else {
      break;
    }
    for (const CaseChange& change : changes) {
      const auto event = interview.diagnosis().ground.Find(change.statement);
      if (change.list != CaseList::kObserved || !change.present || !event || !drawn.present[At(*event)])
        continue;
      for (const int fault : shows[At(*event)]) seen |= drawn.behind[At(fault)] != 0;
    }
    interview.Take(changes, false, times);
    recorded.answers.push_back(std::move(changes));
    recorded.steps.push_back(NameOf(interview.step()));
  }
  return recorded;
}

// The same answers to a program that keeps nothing.
void Replay(Session& session, const Recorded& recorded, const std::string& path, Times& times) {
  AskedCase interview(session, recorded.unit, path);
  interview.Change({recorded.complaint});
  interview.DiagnoseIt();
  interview.FindStep();
  for (std::size_t n = 0; n < recorded.answers.size(); ++n) {
    interview.Take(recorded.answers[n], true, times);
    if (NameOf(interview.step()) != recorded.steps[n])
      AskedCase::Fail("the two ways came to different questions");
  }
}

void PrintLine(const char* what, const std::vector<double>& ms) {
  fmt::print("  {:<34}{:6} {:9.1f} {:9.1f} {:9.1f} ms\n", what, ms.size(), Quantile(ms, 0.5),
             Quantile(ms, 0.95), Quantile(ms, 1));
}

void Print(const char* title, const Times& times) {
  fmt::print("{}\n  {:<34}{:>6} {:>9} {:>9} {:>9}\n", title, "", "times", "median", "95%", "most");
  PrintLine("from the answer to the next step", times.whole);
  PrintLine("  the case and its file", times.edit);
  PrintLine("  diagnosis", times.diagnose);
  PrintLine("  what moved", times.moved);
  PrintLine("  next step", times.step);
  PrintLine("  how things stand", times.closing);
  for (const auto& [tens, ms] : times.by_reports)
    PrintLine(fmt::format("with {} to {} reports", 10 * tens, 10 * tens + 9).c_str(), ms);
}

void Run(int interviews, int answers, std::uint64_t seed, bool replay) {
  const auto session = Session::Open({});
  if (session == nullptr) std::exit(1);
  char name[] = "/tmp/gearwhy_benchmark_XXXXXX";
  if (mkdtemp(name) == nullptr) AskedCase::Fail("there is no temporary folder");
  const std::string folder = name;
  const std::vector<std::string> units = session->shelf().Names();
  Times ours, anew;
  int longest = 0;
  for (int i = 0; i < interviews; ++i) {
    std::mt19937_64 random(seed * 1'000'003 + static_cast<std::uint64_t>(i));
    const std::string& unit = units[At(i) % units.size()];
    const Recorded recorded =
        Record(*session, unit, fmt::format("{}/ours-{}.yaml", folder, i), random, answers, ours);
    if (replay) Replay(*session, recorded, fmt::format("{}/anew-{}.yaml", folder, i), anew);
    longest = std::max(longest, static_cast<int>(recorded.answers.size()));
  }
  std::filesystem::remove_all(folder);
  fmt::print("{} interviews on {} units, {} answers, at most {} in one\n", interviews, units.size(),
             ours.whole.size(), longest);
  Print("ask", ours);
  if (!replay) return;
  Print("solving everything again", anew);
  fmt::print("ratio, ask to solving everything again: median {:.2f}, 95% {:.2f}\n",
             Quantile(ours.whole, 0.5) / Quantile(anew.whole, 0.5),
             Quantile(ours.whole, 0.95) / Quantile(anew.whole, 0.95));
}

}  // namespace
}  // namespace gearwhy

int main(int argc, char** argv) {
  int interviews = 100;
  int answers = 30;
  std::uint64_t seed = 1;
  bool replay = true;
  for (int i = 1; i + 1 < argc; i += 2) {
    const std::string option = argv[i];
    if (option == "--interviews") interviews = std::atoi(argv[i + 1]);
    if (option == "--answers") answers = std::atoi(argv[i + 1]);
    if (option == "--replay") replay = std::atoi(argv[i + 1]) != 0;
    if (option == "--seed") seed = static_cast<std::uint64_t>(std::atoll(argv[i + 1]));
  }
  gearwhy::Run(interviews, answers, seed, replay);
}
