// gearwhy ask: the interview at the car. One question, its answer into the case, the case onto the disk, and
// what moved.
#include "cli/ask.h"

#include <fmt/format.h>

#include <algorithm>
#include <csignal>

#include "engine/report/text.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

constexpr const char* kWordsInShort =
    "Answer with numbers. Or say: why, later, don't know, also, back, correct, ranking, reason 1, access, "
    "leave, help.";

// A number as somebody might write it.
std::string ExampleOf(Dimension dimension) {
  switch (dimension) {
    case Dimension::kPressure:
      return "9 bar or 130 psi";
    case Dimension::kSpeed:
      return "2200 rpm";
    case Dimension::kLength:
      return "1.2 mm or 48 thou";
    case Dimension::kDistance:
      return "180000 km";
    default:
      return fmt::format("12 {}", BaseUnit(dimension));
  }
}

// However it is written, large or small.
bool IsSaid(const std::string& line, std::string_view word) {
  return std::equal(line.begin(), line.end(), word.begin(), word.end(),
                    [](char a, char b) { return (a >= 'A' && a <= 'Z' ? a - 'A' + 'a' : a) == b; });
}

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
    try {
      if (!Begin()) return Finish(kInputErrors);
    } catch (const AskAnew&) {
      // The file was taken anew from the disk.
    }
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
  auto diagnosis = before == nullptr ? session_.DiagnoseCase(*file_.c(), limits_, diagnostics)
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
      NextStep step = FindNextStep(known_->diagnosis, Checks(), state_);
      if (step.kind != NextStep::Kind::kEnough && !state_.ask_anything && state_.going_on.empty() &&
          SeenDirectly(known_->diagnosis, Report(10))) {
        step.kind = NextStep::Kind::kSettled;
      }
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

void Ask::Put(const NextQuestion& question) {
  if (state_.going_on == question.check.key) {
    asker_.Head(AsSentence(fmt::format("besides, {}", question.check.says)));
  } else {
    asker_.Print(QuestionText(question, general_cautions_, cautions_shown_, asker_.style()));
  }
  if (!question.measures.empty()) AskNumbers(question);
  if (question.check.findings.size() == 1) {
    PutOne(question);
  } else {
    PutSeveral(question);
  }
}

void Ask::PutOne(const NextQuestion& question) {
  const AskedFinding& finding = question.check.findings[0];
  asker_.Options({AsSentence(finding.says), AsSentence(finding.says_absent), "Don't know."});
  for (;;) {
    Said said;
    const std::string line = asker_.Line(&said);
    const auto numbers = ReadNumbers(line, 3);
    int number = numbers && numbers->size() == 1 ? numbers->front().number : 0;
    if (IsSaid(line, "yes")) number = 1;
    if (IsSaid(line, "no")) number = 2;
    if (said.word == PlainWord::kDontKnow || (number > 0 && numbers && numbers->front().unsure)) number = 3;
    if (number == 0) {
      asker_.Tell("Please answer with 1, 2 or 3, or say help.");
      continue;
    }
    Reply reply;
    if (number == 1) reply.present = {0};
    if (number == 3) reply.unknown = {0};
    state_.going_on.clear();
    Take(ChangesOf(known_->diagnosis, question, reply), number == 1   ? finding.says
                                                        : number == 2 ? finding.says_absent
                                                                      : "not known whether " + finding.says);
    return;
  }
}

void Ask::PutSeveral(const NextQuestion& question) {
  const auto& findings = question.check.findings;
  const int count = static_cast<int>(findings.size());
  std::vector<std::string> options;
  for (const AskedFinding& finding : findings) options.push_back(AsSentence(finding.says));
  options.push_back("None of these.");
  options.push_back("Don't know.");
  asker_.Options(options);
  asker_.Tell(
      "Give all that are so, as in 1 2: the others then count as looked at and not so. 2? says that you "
      "cannot tell number 2.");
  for (;;) {
    Said said;
    const std::string line = asker_.Line(&said);
    auto numbers = ReadNumbers(line, count + 2);
    if (IsSaid(line, "none")) numbers = {{count + 1, false}};
    if (said.word == PlainWord::kDontKnow) numbers = {{count + 2, false}};
    const bool alone = numbers && numbers->size() == 1;
    const bool good = numbers && !numbers->empty() &&
                      (alone || std::all_of(numbers->begin(), numbers->end(),
                                            [&](const Numbered& n) { return n.number <= count; }));
    if (!good) {
      asker_.Tell(fmt::format("Please answer with numbers from 1 to {}, or with {} or {} alone, or say help.",
                              count, count + 1, count + 2));
      continue;
    }
    Reply reply;
    std::string says;
    for (const Numbered& n : *numbers) {
      if (n.number > count) continue;
      auto& list = n.unsure ? reply.unknown : reply.present;
      if (std::find(list.begin(), list.end(), n.number - 1) == list.end()) list.push_back(n.number - 1);
      if (!n.unsure)
        says += (says.empty() ? "" : "; ") + findings[static_cast<std::size_t>(n.number - 1)].says;
    }
    if (numbers->front().number == count + 2) {
      for (int i = 0; i < count; ++i) reply.unknown.push_back(i);
    }
    std::erase_if(reply.present, [&](int i) {
      return std::find(reply.unknown.begin(), reply.unknown.end(), i) != reply.unknown.end();
    });
    state_.going_on.clear();
    Take(ChangesOf(known_->diagnosis, question, reply), says.empty() ? question.check.says : says);
    return;
  }
}

std::optional<double> Ask::AskQuantity(const std::string& what, const Slot& slot, std::string* written) {
  const Dimension dimension = *slot.dimension;
  const std::string_view unit = BaseUnit(dimension);
  for (;;) {
    Said said;
    const std::string line = asker_.Line(&said, what + "> ");
    if (line.empty() || said.word == PlainWord::kDontKnow || said.word == PlainWord::kLater ||
        said.word == PlainWord::kBack) {
      return std::nullopt;
    }
    std::string why;
    std::string text = line;
    auto number = ParseQuantity(text, dimension, &why);
    if (!number && ParseQuantity(text, Dimension::kNumber, &why) && text.find('%') == std::string::npos) {
      asker_.Tell(fmt::format("{} {}?", text, unit));
      if (asker_.Choose({"Yes.", "No."}) != 1) continue;
      text += fmt::format(" {}", unit);
      number = ParseQuantity(text, dimension, &why);
    } else if (!number) {
      ParseQuantity(text, dimension, &why);
    }
    if (number && *number < 0 && dimension != Dimension::kTemperature && dimension != Dimension::kVoltage) {
      number.reset();
      why = fmt::format("a {} is never below nothing", DimensionName(dimension));
    }
    if (number) {
      *written = text;
      return number;
    }
    asker_.Tell(fmt::format("{} A number is wanted, as in {}, or Enter alone if there is none.",
                            AsSentence(why), ExampleOf(dimension)));
  }
}

void Ask::AskNumbers(const NextQuestion& question) {
  const Words& words = session_.book().words;
  const Speaker speaker = MakeSpeaker();
  const InterviewState state_before = state_;
  std::vector<CaseChange> changes;
  std::string says;
  for (const Measurement& measure : question.measures) {
    const Word& word = *words.Find(measure.fact.name);
    CaseChange change;
    change.list = CaseList::kMeasured;
    change.statement = measure.fact;
    change.written.resize(word.slots.size());
    bool whole = true;
    for (const int index : measure.quantities) {
      const auto i = static_cast<std::size_t>(index);
      const Slot& slot = word.slots[i];
      if (index == measure.quantities.front()) {
        Condition open;
        open.pattern.name = word.name;
        for (std::size_t s = 0; s < word.slots.size(); ++s) {
          const bool asked = std::find(measure.quantities.begin(), measure.quantities.end(),
                                       static_cast<int>(s)) != measure.quantities.end();
          open.pattern.terms.push_back(asked ? Term(Anything{}) : Term(measure.fact.slots[s]));
        }
        std::string what = SayCondition(speaker, words, open, {});
        for (const int q : measure.quantities) {
          const std::string some =
              fmt::format("some {}", DimensionName(*word.slots[static_cast<std::size_t>(q)].dimension));
          if (const std::size_t at = what.find(some); at != std::string::npos)
            what.replace(at, some.size(), "...");
        }
        asker_.Tell(fmt::format("{} What is it? A number, as in {}; Enter alone if there is none.",
                                AsSentence(what), ExampleOf(*slot.dimension)));
      }
      const auto number =
          AskQuantity(measure.quantities.size() > 1 ? slot.name + " " : "", slot, &change.written[i]);
      if (!number) {
        whole = false;
        break;
      }
      change.statement.slots[i] = *number;
    }
    if (!whole) continue;
    says += (says.empty() ? "" : "; ") + speaker.Say(change.statement);
    changes.push_back(std::move(change));
  }
  state_.measured.insert(question.check.key);
  if (changes.empty()) return;
  if (auto opened = OpenedBy(known_->diagnosis, question.check.access_name))
    changes.push_back(std::move(*opened));
  state_.going_on = question.check.key;
  if (Take(changes, says)) log_.back().state_before = state_before;
  throw AskAnew{};
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
  if (!before.empty() && !only_access)
    asker_.Print(MovedText(MovedSuspects(before, known_->diagnosis), asker_.style()));
  Store();
  return true;
}

void Ask::Store() {
  while (saving_) {
    std::string why;
    const CaseFile::Saving saving = file_.Save(&why);
    if (saving == CaseFile::Saving::kDone) return;
    asker_.Tell(AsSentence(why));
    if (saving == CaseFile::Saving::kFailed) {
      asker_.Tell("The answer is kept here.");
      const int choice = asker_.Choose(
          {"Try again.", "Go on, and try again after the next answer.", "Leave without saving."});
      if (choice == 3) throw Left{};
      if (choice != 1) return;
      continue;
    }
    switch (asker_.Choose({"Take the file as it is now; what was answered since the last saving is lost.",
                           "Write over it.", "Leave without saving."})) {
      case 1:
        if (!file_.TakeFromDisk()) throw Left{};
        log_.clear();
        // The numbers given in this session may not be in it.
        state_.measured.clear();
        state_.going_on.clear();
        if (!Diagnosed()) throw Left{};
        throw AskAnew{};
      case 2:
        file_.Overrule();
        break;
      default:
        throw Left{};
    }
  }
}

void Ask::Concluded(NextStep::Kind kind) {
  asker_.Print(StandingText(Conclude(known_->diagnosis, Checks(), Report(20), kind), asker_.style()));
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
  switch (asker_.Choose(
      {fmt::format("Yes: it is out, or comes out now ({}).",
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
