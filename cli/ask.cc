// gearwhy ask: the interview at the car. One step after another, an answer into the case, the case onto the
// disk, and what moved.
#include "cli/ask.h"

#include <fmt/format.h>

#include <algorithm>
#include <csignal>

#include "engine/render/text.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

constexpr const char* kWordsInShort =
    "Answer with numbers. Or say: why, later, don't know, also, back, correct, ranking, reason 1, access, "
    "leave, help.";

}  // namespace

Ask::Ask(Session& session, const AskArguments& arguments)
    : session_(session), arguments_(arguments), asker_(reader_, StyleOfStdout()), file_(session) {
  // A caution that all but every check carries need not be repeated with each.
  const Rulebook& book = session.book();
  for (const auto& entry : book.words.cautions) {
    const auto carries = [&](const Check& check) {
      return std::find(check.cautions.begin(), check.cautions.end(), entry.first) != check.cautions.end();
    };
    if (std::count_if(book.checks.begin(), book.checks.end(), carries) * 10 > std::ssize(book.checks) * 9) {
      general_cautions_.insert(entry.second.says);
    }
  }
  asker_.OnWord([this](const Said& said) { return DoWord(said); });
}

int Ask::Run() {
  try {
    if (!Begin()) return Finish(kInputErrors);
    Course();
    return End(ReadEnd::kLine);
  } catch (const Left& left) {
    return End(left.end);
  }
}

int Ask::End(ReadEnd end) {
  if (end == ReadEnd::kHungUp) return 128 + SIGHUP;
  const bool begun = file_.c() != nullptr;
  if (begun && file_.IsSaved()) {
    asker_.Tell(fmt::format("Saved in {}. To go on later:", SafeLine(file_.path())));
    asker_.Print(fmt::format("  gearwhy ask {}\n", SafeLine(file_.path())));
  } else if (begun) {
    asker_.Tell("The last answers are not saved.");
  } else {
    asker_.Tell("Nothing was saved.");
  }
  if (end == ReadEnd::kInterrupted) {
    Finish(kDone);
    return 128 + SIGINT;
  }
  return Finish(begun && !file_.IsSaved() ? kInputErrors : kDone);
}

bool Ask::Diagnosed() {
  Diagnostics diagnostics;
  const std::unique_ptr<Known> before = std::move(known_);
  auto diagnosis = before == nullptr
                       ? session_.DiagnoseCase(*file_.c(), limits_, diagnostics)
                       : session_.DiagnoseCaseAfter(std::move(before->diagnosis), *file_.c(), diagnostics);
  session_.Print(diagnostics);
  if (!diagnosis) return false;
  known_ = std::make_unique<Known>(Known{file_.c(), std::move(*diagnosis)});
  return true;
}

const CaseChecks& Ask::Checks() {
  if (!known_->checks) known_->checks = WeighCase(known_->diagnosis);
  return *known_->checks;
}

void Ask::Course() {
  if (!Diagnosed()) return;
  asker_.Blank();
  ShowRanking();
  asker_.Blank();
  asker_.Tell(kWordsInShort);
  for (;;) {
    try {
      const bool settled =
          !state_.ask_anything && state_.going_on.empty() && SeenDirectly(known_->diagnosis, Report(10));
      const NextStep step = settled ? NextStep{NextStep::Kind::kSettled, {}}
                                    : FindNextStep(known_->diagnosis, Checks(), state_);
      asker_.Blank();
      ShowStep(step);
    } catch (const AskAnew&) {
      // `back` and the like have changed what is known.
    }
  }
}

void Ask::ShowStep(const NextStep& step) {
  asked_ = step.question.check.key.empty() ? nullptr : &step.question;
  switch (step.kind) {
    case NextStep::Kind::kAsk:
      return Put(step.question);
    case NextStep::Kind::kUnitOut:
      return DecideUnitOut(step);
    case NextStep::Kind::kSettled:
    case NextStep::Kind::kEnough:
      return DecideAtEnd(step);
  }
}

bool Ask::Take(const std::vector<CaseChange>& changes, const std::string& says) {
  const std::string text_before = file_.text();
  const InterviewState state_before = state_;
  std::string why;
  if (!file_.Change(changes, &why)) {
    asker_.Tell("This was not taken: " + why);
    return false;
  }
  FaultChances before;
  const bool was_known = known_ == nullptr || ExactnessOf(known_->diagnosis).IsKnown();
  if (known_ != nullptr) before = FaultChancesOf(known_->diagnosis);
  if (!Diagnosed()) {
    asker_.Tell("This was not taken.");
    file_.Restore(text_before, &why);
    Diagnosed();
    return false;
  }
  log_.push_back({text_before, state_before, says});
  const bool only_access = std::all_of(changes.begin(), changes.end(),
                                       [](const CaseChange& c) { return c.list == CaseList::kOpen; });
  const bool known = was_known && ExactnessOf(known_->diagnosis).IsKnown();
  if (!known) ShowRanking();
  if (known && !before.empty() && !only_access)
    asker_.Print(MovedText(MovedSuspects(before, known_->diagnosis), MakeSpeaker(), asker_.style()));
  Store();
  return true;
}

void Ask::Store() {
  while (saving_) {
    std::string told;
    const CaseFile::Saving saving = file_.Save(&told);
    if (saving == CaseFile::Saving::kDone) return;
    asker_.Tell(AsSentence(told));
    if (saving == CaseFile::Saving::kFailed) {
      asker_.Tell("The answer is kept here.");
      const int choice = asker_.Choose(
          {"Try again.", "Go on, and try again after the next answer.", "Leave without saving."});
      if (choice == 3) throw Left{};
      if (choice != 1) return;
      continue;
    }
    // Texts from before lack what the other hand has put in, or bear the old name.
    log_.clear();
    if (known_ == nullptr) return;
    if (!Diagnosed()) throw Left{};
    throw AskAnew{};
  }
}

void Ask::Concluded(NextStep::Kind kind) {
  asker_.Print(
      StandingText(Conclude(known_->diagnosis, Checks(), Report(20), kind), MakeSpeaker(), asker_.style()));
}

void Ask::DecideUnitOut(const NextStep& step) {
  Concluded(step.kind);
  const Words& words = session_.book().words;
  // The step of the way that takes it out.
  std::string access = step.question.check.access_name;
  while (!words.access.find(access)->second.unit_out) access = words.access.find(access)->second.from;
  Page page(asker_.style());
  const std::set<std::string> open = OpenAccess(words, known_->c->open);
  for (const std::string& caution : CautionsToReach(words, access, open)) {
    page.Paragraph("  ! ", words.cautions.at(caution).says);
    cautions_shown_.insert(words.cautions.at(caution).says);
  }
  asker_.Print(page.text());
  asker_.Head("Take the unit out?");
  switch (asker_.Choose({fmt::format("Yes: it is out, or comes out now ({}).",
                                     ShowMinutes(MinutesToReach(words, access, open))),
                         "Not yet: ask what else can be asked with it in.", "Save and leave."})) {
    case 1: {
      CaseChange change;
      change.list = CaseList::kOpen;
      change.access = access;
      Take({change}, "the unit is out");
      return;
    }
    case 3:
      throw Left{};
    default:
      state_.keep_unit_in = true;
      return;
  }
}

void Ask::DecideAtEnd(const NextStep& step) {
  Concluded(step.kind);
  asker_.Blank();
  // Whether anything would be left to ask if time did not matter, and what was put off were asked after all.
  InterviewState all_the_same = state_;
  all_the_same.ask_anything = true;
  all_the_same.keep_unit_in = false;
  all_the_same.passed.clear();
  std::vector<std::string> options = {"Save and leave.", "Tell something else that was seen."};
  if (FindNextStep(known_->diagnosis, Checks(), all_the_same).kind != NextStep::Kind::kEnough)
    options.push_back("Go on asking all the same.");
  switch (asker_.Choose(options)) {
    case 2:
      return AsAside([&] { TellAlso(""); });
    case 3:
      state_ = all_the_same;
      return;
    default:
      throw Left{};
  }
}

int RunAsk(const AskArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  return Ask(*session, arguments).Run();
}

}  // namespace gearwhy
