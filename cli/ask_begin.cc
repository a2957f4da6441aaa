// How an interview begins: which unit, what the complaint is in the user's own words, what is known of its
// history, and where it is kept.
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "cli/ask.h"
#include "engine/advise/match_words.h"
#include "engine/text/ascii.h"
#include "engine/text/near_names.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace fs = std::filesystem;
namespace {

constexpr int kMatchesShown = 6;
constexpr std::size_t kSlotsShown = 12;

// "no reverse when it's hot!" -> "no-reverse-when-its-hot".
std::string NameFrom(const std::string& title) {
  std::string name;
  for (const char c : title) {
    if (IsLetter(c) || IsDigit(c)) {
      name += Lower(c);
    } else if (c != '\'' && !name.empty() && name.back() != '-') {
      name += '-';
    }
  }
  // Whole words only.
  if (name.size() > 40) name.resize(name.rfind('-', 40) == std::string::npos ? 40 : name.rfind('-', 40));
  while (!name.empty() && name.back() == '-') name.pop_back();
  return name.empty() ? "case" : name;
}

std::vector<Statement> FindingsOf(const Diagnosis& diagnosis) {
  std::vector<Statement> findings;
  for (const GroundEvent& event : diagnosis.ground.events) {
    if (event.word->type == WordType::kFinding) findings.push_back(event.statement);
  }
  return findings;
}

// A word's sentence where its slots are still open: "there is no drive in ...".
std::string OpenSentence(const Word& word) {
  std::string text;
  bool inside = false;
  for (const char c : word.says) {
    if (c == '{') text += "...";
    inside = (inside || c == '{') && c != '}';
    if (!inside && c != '}') text += c;
  }
  return text;
}

}  // namespace

bool Ask::Begin() {
  std::error_code error;
  const std::string& named = arguments_.case_path;
  if (!named.empty() && (fs::exists(named, error) || !arguments_.save_path.empty())) {
    if (!file_.Read(named)) return false;
    if (!CanChangeCaseText(file_.text(), session_.book().words)) {
      fmt::print(stderr,
                 "error: {} is written in braces, so no answer could be put into it; write it a key a line, "
                 "as in `case: {}` "
                 "[case-in-braces]\n",
                 InTicks(named), file_.c()->id);
      return false;
    }
    std::string why;
    if (!arguments_.save_path.empty() && arguments_.save_path != named) {
      if (fs::exists(arguments_.save_path, error))
        why = fmt::format("{} is there already", InTicks(arguments_.save_path));
      if (!why.empty() || !file_.MoveTo(arguments_.save_path, &why)) {
        fmt::print(stderr, "error: {} [cannot-save-there]\n", why);
        return false;
      }
    }
    if (!arguments_.unit.empty() && arguments_.unit != file_.c()->unit) {
      fmt::print(stderr, "error: the case is of the unit {}; --unit is for new cases [unit-of-new-case]\n",
                 InTicks(file_.c()->unit));
      return false;
    }
    if (!file_.c()->observations.empty()) return true;
    Diagnostics diagnostics;
    const auto empty = session_.DiagnoseCase(*file_.c(), limits_, diagnostics);
    session_.Print(diagnostics);
    if (!empty) return false;
    std::string title = file_.c()->title;
    std::vector<Statement> complaints;
    AskComplaints(*empty, &title, &complaints);
    return AddComplaints(complaints);
  }
  return BeginNew();
}

bool Ask::ChooseUnit(std::string* unit, std::string* variant) {
  const std::vector<std::string> names = session_.shelf().Names();
  if (names.empty()) return true;  // a rulebook without units
  Diagnostics diagnostics;
  if (!arguments_.unit.empty()) {
    *unit = arguments_.unit;
  } else {
    std::vector<std::string> options;
    std::vector<std::string> usable;
    for (const std::string& name : names) {
      const UnitKnowledge* known = session_.Know(name, {}, diagnostics);
      if (known == nullptr) continue;
      usable.push_back(name);
      options.push_back(AsSentence(known->unit->says));
    }
    // What is merely odd about a unit, `unit check` tells.
    if (diagnostics.HasErrors()) session_.Print(diagnostics);
    if (usable.empty()) return false;
    asker_.Head("Which unit is it?");
    options.push_back("None of these.");
    int chosen = 0;
    while (chosen == 0) chosen = asker_.Choose(options);
    if (chosen == static_cast<int>(options.size())) {
      asker_.Tell(
          "A unit is described in a file of its own, from its tooth counts and its apply chart: see "
          "rules/README.md and the files in "
          "rules/units. Put it into a folder `units` of the shop's rules and name that with --shop.");
      throw Left{};
    }
    *unit = usable[static_cast<std::size_t>(chosen - 1)];
  }
  const UnitKnowledge* known = session_.Know(*unit, {}, diagnostics);
  if (known == nullptr) {
    session_.Print(diagnostics);
    return false;
  }
  if (known->unit->variants.empty()) return true;
  std::vector<std::string> options;
  for (const Variant& v : known->unit->variants)
    options.push_back(AsSentence(v.says.empty() ? v.name : v.says));
  options.push_back("Not known.");
  asker_.Head("Which variant?");
  const int chosen = asker_.Choose(options);
  if (chosen >= 1 && chosen < static_cast<int>(options.size())) {
    *variant = known->unit->variants[static_cast<std::size_t>(chosen - 1)].name;
  }
  return true;
}

std::vector<Statement> Ask::ChooseSlots(const Diagnosis& diagnosis, const std::vector<Statement>& meant) {
  if (meant.size() <= 1) return meant;
  const Speaker speaker(diagnosis, session_.sources());
  // Where there are many, one slot after the other.
  const Word& word = *session_.book().words.Find(meant[0].name);
  for (std::size_t slot = 0; meant.size() > kSlotsShown && slot < word.slots.size(); ++slot) {
    std::vector<Value> values;
    for (const Statement& statement : meant) {
      if (std::find(values.begin(), values.end(), statement.slots[slot]) == values.end())
        values.push_back(statement.slots[slot]);
    }
    if (values.size() == 1 || values.size() == meant.size()) continue;
    std::sort(values.begin(), values.end());
    std::vector<std::string> options;
    for (const Value& value : values)
      options.push_back(Capitalised(speaker.SayValue(value, word.slots[slot])));
    asker_.Head(fmt::format("{}: which {}?", Capitalised(OpenSentence(word)), word.slots[slot].name));
    const int chosen = asker_.Choose(options, true);
    if (chosen == 0) return {};
    std::vector<Statement> left;
    for (const Statement& statement : meant) {
      if (statement.slots[slot] == values[static_cast<std::size_t>(chosen - 1)]) left.push_back(statement);
    }
    return ChooseSlots(diagnosis, left);
  }
  std::vector<std::string> options;
  for (const Statement& statement : meant) options.push_back(AsSentence(speaker.Say(statement)));
  asker_.Head("Which? Several may be named, as in 1 3");
  std::vector<Statement> chosen;
  for (const int number : asker_.ChooseSome(options))
    chosen.push_back(meant[static_cast<std::size_t>(number - 1)]);
  return chosen;
}

std::vector<Statement> Ask::ChooseFindings(const Diagnosis& diagnosis, const std::string& text) {
  const Words& words = session_.book().words;
  const Speaker speaker(diagnosis, session_.sources());
  const auto say_value = [&](const Value& value, const Slot& slot) { return speaker.SayValue(value, slot); };
  const std::vector<WordsMatch> matches =
      MatchFindings(text, FindingsOf(diagnosis), words, say_value, kMatchesShown);
  if (matches.empty()) {
    asker_.Tell("Nothing in the rulebook sounds like that. Please say it in other words.");
    return {};
  }
  std::vector<std::string> options;
  for (const WordsMatch& match : matches) {
    options.push_back(AsSentence(match.meant.size() == 1 ? speaker.Say(match.meant[0])
                                                         : OpenSentence(*words.Find(match.word))));
  }
  options.push_back("None of these: say it again.");
  asker_.Head("Which is it? All that are meant, as in 1 2");
  std::vector<Statement> chosen;
  for (const int number : asker_.ChooseSome(options)) {
    if (number == static_cast<int>(options.size())) continue;
    const WordsMatch& match = matches[static_cast<std::size_t>(number - 1)];
    if (match.meant.size() > 1) asker_.Tell(AsSentence(OpenSentence(*words.Find(match.word))));
    for (Statement& statement : ChooseSlots(diagnosis, match.meant)) chosen.push_back(std::move(statement));
  }
  return chosen;
}

// What customers come with: the findings that have words of theirs, by word.
std::vector<Statement> Ask::ChooseFromList(const Diagnosis& diagnosis) {
  const Words& words = session_.book().words;
  const Speaker speaker(diagnosis, session_.sources());
  std::vector<std::pair<const Word*, std::vector<Statement>>> list;
  const std::vector<Statement> findings = FindingsOf(diagnosis);
  const bool any_asked = std::any_of(findings.begin(), findings.end(),
                                     [&](const Statement& s) { return !words.Find(s.name)->ask.empty(); });
  for (const Statement& finding : findings) {
    const Word* word = words.Find(finding.name);
    if (any_asked && word->ask.empty()) continue;
    const auto it =
        std::find_if(list.begin(), list.end(), [&](const auto& entry) { return entry.first == word; });
    if (it == list.end()) {
      list.push_back({word, {finding}});
    } else {
      it->second.push_back(finding);
    }
  }
  std::stable_sort(list.begin(), list.end(),
                   [](const auto& a, const auto& b) { return a.first->place < b.first->place; });
  std::vector<std::string> options;
  for (const auto& [word, statements] : list) {
    options.push_back(AsSentence(statements.size() == 1 ? speaker.Say(statements[0]) : OpenSentence(*word)));
  }
  const int chosen = asker_.Choose(options, true);
  return chosen == 0 ? std::vector<Statement>{}
                     : ChooseSlots(diagnosis, list[static_cast<std::size_t>(chosen - 1)].second);
}

void Ask::AskComplaints(const Diagnosis& empty, std::string* title, std::vector<Statement>* complaints) {
  const Speaker speaker(empty, session_.sources());
  asker_.Head("What is the complaint?");
  asker_.Tell("In your own words, one thing at a time, as in: no reverse when hot. Or say list.");
  for (;;) {
    Said said;
    const std::string line = asker_.Line(&said);
    if (line.empty() || said.word != PlainWord::kNone) {
      if (!complaints->empty()) return;
      asker_.Tell("There has to be a complaint to begin with. Say list to see what is known, or leave.");
      continue;
    }
    const bool list = line == "list";
    std::vector<Statement> meant = list ? ChooseFromList(empty) : ChooseFindings(empty, line);
    for (Statement& statement : meant) {
      if (std::find(complaints->begin(), complaints->end(), statement) != complaints->end()) continue;
      if (title->empty()) *title = Capitalised(list ? speaker.Say(statement) : line);
      asker_.Tell(fmt::format("Complaint: {}.", speaker.Say(statement)));
      complaints->push_back(std::move(statement));
    }
    asker_.Head(complaints->empty() ? "What is the complaint?"
                                    : "Is there another complaint? Enter alone when that is all");
  }
}

bool Ask::ChooseName(const std::string& title, std::string* path) {
  std::error_code error;
  *path = !arguments_.save_path.empty() ? arguments_.save_path : arguments_.case_path;
  if (!path->empty()) {
    std::string why;
    if (!path->ends_with(".yaml") && !path->ends_with(".yml"))
      why = "a case is kept in a file whose name ends with `.yaml`";
    if (why.empty() && CaseIdOf(*path).empty())
      why = "a case is called by letters, digits, `-`, `_` and `.` only";
    if (why.empty() && fs::exists(*path, error)) why = fmt::format("{} is there already", InTicks(*path));
    const fs::path folder = fs::path(*path).parent_path();
    if (why.empty() && !folder.empty() && !fs::is_directory(folder, error))
      why = fmt::format("there is no folder {}", InTicks(folder.string()));
    if (why.empty()) return true;
    fmt::print(stderr, "error: {} [cannot-save-there]\n", why);
    return false;
  }
  std::string proposed = NameFrom(title);
  for (int n = 2; fs::exists(proposed + ".yaml", error); ++n)
    proposed = fmt::format("{}-{}", NameFrom(title), n);
  for (;;) {
    asker_.Head(fmt::format("What shall the case be called? Enter alone for {}", proposed));
    Said said;
    std::string name = asker_.Line(&said);
    if (name.empty()) name = proposed;
    if (name.ends_with(".yaml")) name.resize(name.size() - 5);
    if (CaseIdOf(name + ".yaml") != name) {
      asker_.Tell("Letters, digits, - and _ only, please.");
    } else if (fs::exists(name + ".yaml", error)) {
      asker_.Tell(fmt::format("{}.yaml is there already.", name));
    } else {
      *path = name + ".yaml";
      return true;
    }
  }
}

bool Ask::BeginNew() {
  std::string path, title, unit, variant;
  // What can be said of the names beforehand, before anybody answers questions in vain.
  if (!(arguments_.save_path + arguments_.case_path).empty() && !ChooseName("", &path)) return false;
  if (!ChooseUnit(&unit, &variant)) return false;
  Case blank;
  blank.id = "case";
  blank.unit = unit;
  blank.variant = variant;
  Diagnostics diagnostics;
  const auto empty = session_.DiagnoseCase(blank, limits_, diagnostics);
  session_.Print(diagnostics);
  if (!empty) return false;
  std::vector<Statement> complaints;
  AskComplaints(*empty, &title, &complaints);
  if (path.empty() && !ChooseName(title, &path)) return false;
  if (!file_.Begin(path, CaseIdOf(path), title, unit, variant)) return false;
  if (!AddComplaints(complaints)) return false;
  AskHistory();
  return true;
}

bool Ask::AddComplaints(const std::vector<Statement>& complaints) {
  const Words& words = session_.book().words;
  // The customer says so, if the rulebook knows how far to trust that.
  const Trust* trust = words.FindTrust("customer");
  std::vector<CaseChange> changes;
  for (const Statement& complaint : complaints) {
    CaseChange change;
    change.list = CaseList::kComplaint;
    change.statement = complaint;
    change.trust = trust != nullptr ? trust->name : words.trusts.front().name;
    changes.push_back(std::move(change));
  }
  std::string why;
  if (!file_.Change(changes, &why)) {
    // One of them may contradict another: what can be taken is.
    bool any = false;
    for (const CaseChange& change : changes) {
      if (file_.Change({change}, &why)) {
        any = true;
      } else {
        asker_.Tell("This was not taken: " + why);
      }
    }
    if (!any) return false;
  }
  Store();
  return true;
}

void Ask::AskHistory() {
  const Words& words = session_.book().words;
  std::vector<const Word*> facts;
  for (const auto& [name, word] : words.words) {
    if (word.history) facts.push_back(&word);
  }
  if (facts.empty()) return;
  std::stable_sort(facts.begin(), facts.end(),
                   [](const Word* a, const Word* b) { return a->place < b->place; });
  std::vector<std::string> options;
  for (const Word* word : facts) options.push_back(AsSentence(OpenSentence(*word)));
  asker_.Head("What is known of its history? All that are so, as in 1 3; Enter alone to pass over it");
  std::vector<CaseChange> changes;
  for (const int number : asker_.ChooseSome(options)) {
    const Word& word = *facts[static_cast<std::size_t>(number - 1)];
    CaseChange change;
    change.list = CaseList::kHistory;
    change.statement.name = word.name;
    change.statement.slots.resize(word.slots.size());
    change.written.resize(word.slots.size());
    bool whole = true;
    for (std::size_t i = 0; i < word.slots.size() && whole; ++i) {
      asker_.Tell(AsSentence(OpenSentence(word)));
      const auto quantity = AskQuantity("", word.slots[i], &change.written[i]);
      whole = quantity.has_value();
      if (whole) change.statement.slots[i] = *quantity;
    }
    if (whole) changes.push_back(std::move(change));
  }
  std::string why;
  if (changes.empty()) return;
  if (!file_.Change(changes, &why)) return asker_.Tell("This was not taken: " + why);
  Store();
}

}  // namespace gearwhy
