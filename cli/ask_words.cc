// What the plain words do: why, ranking, reason, back, correct, access, also, later, help.
#include <fmt/format.h>

#include <algorithm>

#include "cli/ask.h"
#include "engine/render/text.h"
#include "engine/text/ascii.h"
#include "engine/text/number.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

// One thing that the case says, with the change that takes it out.
struct Entry {
  std::string says;
  CaseChange remove;
};

// Whether a text denies something.
bool HasNo(const std::string& text) {
  std::string word;
  for (const char c : text + " ") {
    if (IsLetter(c) || c == '\'') {
      word += Lower(c);
      continue;
    }
    if (word == "no" || word == "not" || word == "never" || word == "without" || word.ends_with("n't"))
      return true;
    word.clear();
  }
  return false;
}

}  // namespace

RankReport Ask::Report(int suspects) {
  RankOptions options;
  options.suspects = suspects;
  options.reasons = false;  // a reason that is asked for is made by itself
  return MakeRankReport(known_->diagnosis, session_.shelf().FileOf(known_->c->unit), limits_, options);
}

bool Ask::DoWord(const Said& said) {
  if (said.word == PlainWord::kHelp) {
    Help();
    return true;
  }
  if (known_ == nullptr) {
    if (said.word == PlainWord::kBack || said.word == PlainWord::kDontKnow || said.word == PlainWord::kLater)
      return false;
    asker_.Tell("That comes later, when there is a complaint.");
    return true;
  }
  if (aside_ && (said.word == PlainWord::kBack || said.word == PlainWord::kLater)) return false;
  switch (said.word) {
    case PlainWord::kWhy:
      if (asked_ == nullptr) {
        asker_.Tell("Nothing is being asked of the car just now.");
      } else {
        NextQuestion question = *asked_;
        WorkOutMoves(known_->diagnosis, question.check);
        asker_.Print(WhyAskedText(question, MakeSpeaker(), asker_.style()));
      }
      return true;
    case PlainWord::kRanking:
      ShowRanking();
      return true;
    case PlainWord::kReason:
      ShowReason(said.rest);
      return true;
    case PlainWord::kBack:
      Back();
      throw AskAnew{};
    case PlainWord::kCorrect:
      AsAside([&] { Correct(); });
      throw AskAnew{};
    case PlainWord::kAccess:
      AsAside([&] { ChangeAccess(); });
      throw AskAnew{};
    case PlainWord::kAlso:
      AsAside([&] { TellAlso(said.rest); });
      throw AskAnew{};
    case PlainWord::kLater:
      if (asked_ == nullptr) return false;
      state_.passed.insert(asked_->check.key);
      state_.going_on.clear();
      throw AskAnew{};
    default:
      return false;
  }
}

void Ask::AsAside(const std::function<void()>& talk) {
  struct Mark {
    explicit Mark(bool& flag) : flag(flag) { flag = true; }
    ~Mark() { flag = false; }
    bool& flag;
  } mark(aside_);
  talk();
}

void Ask::Help() {
  asker_.Head("What you can say at any question");
  Page page(asker_.style());
  page.Paragraph("  why        ", "why this is asked, and how each answer would move the suspects");
  page.Paragraph("  don't know ", "you cannot tell; it is not asked again");
  page.Paragraph("  later      ", "not now: something else is asked");
  page.Paragraph("  also       ",
                 "tell something else that was seen, in your own words: also rubber in the pan");
  page.Paragraph("  back       ", "take the last answer back");
  page.Paragraph("  correct    ", "list what the case says, and change or remove one of it");
  page.Paragraph("  ranking    ", "the suspects as they stand");
  page.Paragraph("  reason 2   ", "the whole reasoning behind suspect 2");
  page.Paragraph("  access     ", "say what is open or no longer open");
  page.Paragraph("  leave      ", "save and leave; Ctrl-C leaves at once, and every answer given is saved");
  page.Paragraph("", "The beginning of a word is enough where only one begins so.");
  asker_.Print(page.text());
}

void Ask::ShowRanking() {
  const RankReport report = Report(5);
  const Speaker speaker = MakeSpeaker();
  Page page(asker_.style());
  SayExactness(report.exactness, speaker, page);
  if (!report.exactness.known) return asker_.Print(page.text());
  page.Heading(fmt::format("The suspects now: {}", report.title));
  if (!report.possible) {
    page.Paragraph("  ",
                   "What was observed contradicts itself with certainty; these are the chances before "
                   "looking. Say correct.");
  } else if (!report.where.empty() && !report.nothing_observed &&
             (report.suspects.empty() || report.where[0].chance > report.suspects[0].chance)) {
    page.Pair("    Where: ", AsSentence(speaker.Say(report.where[0].statement)),
              ShowChance(report.where[0].chance));
  }
  for (std::size_t i = 0; i < report.suspects.size(); ++i) {
    const Suspect& suspect = report.suspects[i];
    page.Pair(fmt::format("{:>3} ", i + 1), AsSentence(speaker.Say(suspect.statement)),
              ShowChance(suspect.chance));
  }
  asker_.Print(page.text());
}

void Ask::ShowReason(const std::string& which) {
  const auto number =
      which.empty() ? std::optional(std::vector<Numbered>{{1, false}}) : ReadNumbers(which, 20);
  const RankReport report = Report(20);
  if (!number || number->size() != 1 ||
      static_cast<std::size_t>(number->front().number) > report.suspects.size()) {
    asker_.Tell(
        fmt::format("Say the number of a suspect, as in reason 2; there are {}.", report.suspects.size()));
    return;
  }
  const std::string& fault = report.suspects[static_cast<std::size_t>(number->front().number - 1)].fault;
  for (std::size_t i = 0; i < known_->diagnosis.ground.events.size(); ++i) {
    if (known_->diagnosis.ground.network.events[i].id != fault) continue;
    asker_.Print(WhyText(MakeWhyReport(known_->diagnosis, static_cast<int>(i), limits_), MakeSpeaker(),
                         asker_.style()));
    return;
  }
}

bool Ask::Back() {
  if (log_.empty()) {
    asker_.Tell("No answer of this session is left to take back; say correct to change an older one.");
    return false;
  }
  const Logged last = log_.back();
  std::string why;
  if (!file_.Restore(last.text_before, &why)) {
    asker_.Tell("It could not be taken back: " + why);
    return false;
  }
  log_.pop_back();
  state_ = last.state_before;
  state_.going_on.clear();
  Diagnosed();
  asker_.Tell(fmt::format("Taken back: {}.", last.says));
  Store();
  return true;
}

void Ask::Correct() {
  const Words& words = session_.book().words;
  const Speaker speaker = MakeSpeaker();
  const Case& c = *known_->c;
  std::vector<Entry> entries;
  const auto add = [&](std::string says, CaseList list, const Statement& statement) -> CaseChange& {
    Entry entry{AsSentence(says), {}};
    entry.remove.kind = CaseChange::Kind::kRemove;
    entry.remove.list = list;
    entry.remove.statement = statement;
    entries.push_back(std::move(entry));
    return entries.back().remove;
  };
  for (const Observation& o : c.observations) {
    CaseChange& change = add(fmt::format("{} ({})", speaker.Say(o.event, o.present), SayTrust(words, o)),
                             o.complaint ? CaseList::kComplaint : CaseList::kObserved, o.event);
    change.present = o.present;
    change.trust = o.trust;
    change.under = o.under;
    change.note = o.note;
  }
  for (const CaseFact& fact : c.facts) {
    // Which of the two lists it stands in, only the file tells; it is found where it is.
    CaseChange probe;
    probe.kind = CaseChange::Kind::kRemove;
    probe.statement = fact.statement;
    probe.list = CaseList::kHistory;
    std::string why;
    const bool in_history = ChangeCaseText(file_.text(), probe, words, &why).has_value();
    add(speaker.Say(fact.statement), in_history ? CaseList::kHistory : CaseList::kMeasured, fact.statement);
  }
  for (const CaseFact& unknown : c.unknown) {
    add("not known: whether " + speaker.Say(unknown.statement), CaseList::kUnknown, unknown.statement);
  }
  if (entries.empty()) return asker_.Tell("The case says nothing yet.");
  std::vector<std::string> options;
  for (const Entry& entry : entries) options.push_back(entry.says);
  asker_.Head("Which one? Enter alone for none");
  const int chosen = asker_.Choose(options, true);
  if (chosen == 0) return;
  const Entry& entry = entries[static_cast<std::size_t>(chosen - 1)];
  CaseChange instead = Reversed(entry.remove);
  const bool report = entry.remove.list == CaseList::kObserved || entry.remove.list == CaseList::kComplaint;
  std::vector<std::string> ways = {"Take it out: nobody knows."};
  if (report) ways.push_back(AsSentence(speaker.Say(entry.remove.statement, !entry.remove.present)));
  std::vector<int> quantities;
  if (const Word* word = words.Find(entry.remove.statement.name);
      !report && entry.remove.list != CaseList::kUnknown) {
    for (std::size_t i = 0; i < word->slots.size(); ++i) {
      if (word->slots[i].dimension) quantities.push_back(static_cast<int>(i));
    }
    if (!quantities.empty()) ways.push_back("Give another number.");
  }
  ways.push_back("Leave it as it is.");
  const int way = asker_.Choose(ways, true);
  if (way == 0 || way == static_cast<int>(ways.size())) return;
  std::vector<CaseChange> changes = {entry.remove};
  if (way == 2 && report) {
    instead.present = !instead.present;
    changes.push_back(instead);
  } else if (way == 2) {
    const Word& word = *words.Find(instead.statement.name);
    instead.written.resize(word.slots.size());
    for (const int index : quantities) {
      const auto i = static_cast<std::size_t>(index);
      const auto number = AskQuantity(word.slots[i].name + " ", word.slots[i], &instead.written[i]);
      if (!number) return;
      instead.statement.slots[i] = *number;
    }
    changes.push_back(instead);
  }
  Take(changes, "the correction of: " + entry.says.substr(0, entry.says.size() - 1));
}

void Ask::ChangeAccess() {
  const Words& words = session_.book().words;
  std::vector<std::string> names;
  // Each behind the one it is reached from, cheapest first.
  const std::function<void(const std::string&)> list = [&](const std::string& from) {
    std::vector<std::pair<double, std::string>> next;
    for (const auto& [name, access] : words.access) {
      if (access.from == from) next.emplace_back(access.minutes, name);
    }
    std::sort(next.begin(), next.end());
    for (const auto& [minutes, name] : next) {
      if (!from.empty()) names.push_back(name);
      list(name);
    }
  };
  list("");
  if (names.empty()) return asker_.Tell("The rulebook knows no access.");
  const std::set<std::string> open = OpenAccess(words, known_->c->open);
  std::vector<std::string> options;
  for (const std::string& name : names) {
    const Access& access = words.access.find(name)->second;
    options.push_back(open.contains(name) ? fmt::format("{}: open", Capitalised(access.says))
                                          : fmt::format("{}: {} from here", Capitalised(access.says),
                                                        ShowMinutes(MinutesToReach(words, name, open))));
  }
  asker_.Head("What is open? A number opens it, or closes what is open; Enter alone for neither");
  const int chosen = asker_.Choose(options, true);
  if (chosen == 0) return;
  const std::string& name = names[static_cast<std::size_t>(chosen - 1)];
  std::vector<CaseChange> changes;
  CaseChange change;
  change.list = CaseList::kOpen;
  if (!open.contains(name)) {
    change.access = name;
    changes.push_back(change);
  } else {
    // Whatever lies behind it is closed as well; what lies before it stays open.
    change.kind = CaseChange::Kind::kRemove;
    for (const std::string& stated : known_->c->open) {
      if (!OpenAccess(words, {stated}).contains(name)) continue;
      change.access = stated;
      changes.push_back(change);
    }
    const std::string& from = words.access.find(name)->second.from;
    if (!words.access.find(from)->second.from.empty()) {
      change.kind = CaseChange::Kind::kAdd;
      change.access = from;
      changes.push_back(change);
    }
  }
  Take(changes, "what is open");
}

void Ask::TellAlso(const std::string& text) {
  const Words& words = session_.book().words;
  std::string said_text = text;
  if (said_text.empty()) {
    asker_.Tell("What else was seen, felt or measured? In your own words; Enter alone for nothing.");
    Said said;
    said_text = asker_.Line(&said);
    if (said_text.empty() || said.word != PlainWord::kNone) return;
  }
  const std::vector<Statement> meant = ChooseFindings(known_->diagnosis, said_text);
  if (meant.empty()) return;
  // "the fluid is not burnt" is found by the words it has in common with "the fluid smells burnt".
  bool present = true;
  const Speaker speaker = MakeSpeaker();
  if (HasNo(said_text) &&
      std::none_of(meant.begin(), meant.end(), [&](const Statement& s) { return HasNo(speaker.Say(s)); })) {
    asker_.Head("Which of the two?");
    const bool one = meant.size() == 1;
    const int chosen = asker_.Choose({one ? AsSentence(speaker.Say(meant[0])) : "They are so.",
                                      one ? AsSentence(speaker.Say(meant[0], false)) : "They are not so."});
    if (chosen == 0) return;
    present = chosen == 1;
  }
  std::vector<std::string> options;
  for (const Trust& trust : words.trusts) options.push_back(AsSentence(trust.says));
  std::size_t trust = 0;
  if (options.size() > 1) {
    asker_.Head("How is it known?");
    const int chosen = asker_.Choose(options);
    if (chosen == 0) return;
    trust = static_cast<std::size_t>(chosen - 1);
  }
  std::vector<CaseChange> changes;
  std::string says;
  for (const Statement& statement : meant) {
    CaseChange change;
    change.statement = statement;
    change.present = present;
    change.trust = words.trusts[trust].name;
    const bool known =
        std::any_of(known_->c->observations.begin(), known_->c->observations.end(),
                    [&](const Observation& o) { return o.event == statement && o.trust == change.trust; });
    if (known) {
      asker_.Tell(
          "The case says so already, or the contrary, on the same authority; say correct to change it.");
      continue;
    }
    says += (says.empty() ? "" : "; ") + speaker.Say(statement, present);
    changes.push_back(std::move(change));
  }
  if (!changes.empty()) Take(changes, says);
}

}  // namespace gearwhy
