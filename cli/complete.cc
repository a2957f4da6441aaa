// gearwhy complete: what the word that is being typed may become. The shells' scripts in completions/ ask it.
//
// In: the table of commands, and the words typed so far. Out: commands, options and what each value is chosen
// from; ids come from the rulebook, the shop and the case that the words name, or that hold where they name
// none.
// Cost: of ids, opening the rulebook; of suspects, the case's network besides. Nothing is diagnosed.
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <optional>

#include "cli/command_table.h"
#include "cli/config.h"
#include "cli/session.h"
#include "engine/render/say.h"
#include "engine/study/book_entries.h"
#include "engine/text/folder_names.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

// What the words before the last one come to.
struct Typed {
  const Command* command = nullptr;                        // the innermost; null: there is no such command
  std::map<std::string, std::vector<std::string>> values;  // of options, by their last name
  std::vector<std::string> operands;
  const CommandWord* open = nullptr;  // the option whose value comes next
  bool only_operands = false;         // behind `--`
};

const CommandWord* OptionOf(const Command& command, const std::string& name) {
  for (const CommandWord& option : command.options) {
    if (std::find(option.names.begin(), option.names.end(), name) != option.names.end()) return &option;
  }
  return nullptr;
}

void TakeOption(const std::string& word, Typed& typed) {
  const auto equals = word.find('=');
  const CommandWord* option = OptionOf(*typed.command, word.substr(0, equals));
  if (option == nullptr) return;
  std::vector<std::string>& values = typed.values[option->names.back()];
  if (equals != std::string::npos) {
    values.push_back(word.substr(equals + 1));
  } else if (!option->value.empty()) {
    typed.open = option;
  }
}

// `words` without the last.
Typed Understand(const Command& program, const std::vector<std::string>& words) {
  Typed typed;
  typed.command = &program;
  for (std::size_t i = 0; i + 1 < words.size() && typed.command != nullptr; ++i) {
    const std::string& word = words[i];
    if (typed.open != nullptr) {
      typed.values[typed.open->names.back()].push_back(word);
      typed.open = nullptr;
    } else if (word == "--") {
      typed.only_operands = true;
    } else if (word.starts_with('-') && word.size() > 1 && !typed.only_operands) {
      TakeOption(word, typed);
    } else if (typed.command->commands.empty()) {
      typed.operands.push_back(word);
    } else {
      const auto& commands = typed.command->commands;
      const auto found = std::find_if(commands.begin(), commands.end(),
                                      [&](const Command& command) { return command.name == word; });
      typed.command = found == commands.end() ? nullptr : &*found;
    }
  }
  return typed;
}

// `~/` is the home, as a shell has not replaced it yet.
std::string AtHome(const std::string& path) {
  const char* home = std::getenv("HOME");
  return path.starts_with("~/") && home != nullptr ? home + path.substr(1) : path;
}

class Candidates {
 public:
  Candidates(const Typed& typed, std::string last) : typed_(typed), last_(std::move(last)) {}

  void Find();

 private:
  // One that may stand in place of the last word; `before`: what of the last word stays before it.
  void Offer(const std::string& what, const std::string& says) {
    if (!what.starts_with(last_) || what.find_first_of("\t\n") != std::string::npos) return;
    WriteData(fmt::format("{}{}\t{}\n", before_, what, SafeLine(says)));
  }
  void OfferOptions() {
    for (const CommandWord& option : typed_.command->options) {
      for (const std::string& name : option.names) Offer(name, option.help);
    }
  }
  void OfferValues(const CommandWord& word, const std::string& kind);
  void OfferPaths(bool files, bool yaml_alone);
  void OfferUnits();
  void OfferEntries(bool kinds);
  void OfferEvents(bool states);
  bool Open();

  const Typed& typed_;
  std::string last_, before_;
  std::unique_ptr<Session> session_;
};

// The rulebook that would be in force; false where there is none without errors.
bool Candidates::Open() {
  BookOptions options;
  std::string unheard;
  const std::optional<Config> config = ReadConfig(&unheard);
  const auto given = [&](const char* option) {
    const auto found = typed_.values.find(option);
    return found == typed_.values.end() ? std::vector<std::string>() : found->second;
  };
  for (const std::string& shop : given("--shop")) options.shop.push_back(AtHome(shop));
  if (options.shop.empty() && config && !typed_.values.contains("--no-shop")) options.shop = config->shop;
  if (const auto rules = given("--rules"); !rules.empty()) {
    options.rules = AtHome(rules.back());
  } else if (config) {
    options.rules = config->rules;
  }
  if (!typed_.values.contains("--no-cache")) options.cache_folder = CacheFolder();
  Diagnostics untold;
  session_ = Session::Read(options, untold);
  return session_->HasBook();
}

void Candidates::OfferPaths(bool files, bool yaml_alone) {
  const std::string folder = last_.substr(0, last_.rfind('/') + 1);  // as typed; empty: here
  const std::string name = last_.substr(folder.size());
  const std::string looked_in = folder.empty() ? "." : AtHome(folder);
  std::vector<std::string> found;
  int unread = 0;
  for (const std::string& named : NamesInFolder(looked_in, &unread)) {
    if (named.starts_with('.') && !name.starts_with('.')) continue;
    const fs::path path = fs::path(looked_in) / named;
    std::error_code unheard;
    if (fs::is_directory(path, unheard)) {
      found.push_back(named + "/");
    } else if (files && (!yaml_alone || path.extension() == ".yaml" || path.extension() == ".yml")) {
      found.push_back(named);
    }
  }
  std::sort(found.begin(), found.end());
  for (const std::string& one : found) Offer(folder + one, one.ends_with('/') ? "folder" : "file");
}

void Candidates::OfferUnits() {
  if (!Open()) return;
  for (const std::string& unit : session_->shelf().Names()) {
    Diagnostics untold;
    const Unit* found = session_->shelf().Find(unit, {}, untold);
    Offer(unit, found == nullptr ? "" : found->says);
  }
}

// Their ids, or the kinds that there are of them.
void Candidates::OfferEntries(bool kinds) {
  if (!Open()) return;
  std::map<std::string, std::string> offered;
  for (const BookEntry& entry : EntriesOf(session_->book())) {
    if (kinds) {
      offered.emplace(entry.key, "");
    } else {
      offered.emplace(entry.id, entry.kind);
    }
  }
  for (const auto& [what, says] : offered) Offer(what, says);
}

// Of the case that was named: its faults, and its states.
void Candidates::OfferEvents(bool states) {
  if (typed_.operands.empty() || !Open()) return;
  Diagnostics untold;
  const std::optional<Case> c = session_->ReadCase(AtHome(typed_.operands[0]), untold);
  if (!c) return;
  const std::optional<Diagnosis> diagnosis = session_->GroundCase(*c, untold);
  if (!diagnosis) return;
  const Speaker speaker(*diagnosis, session_->sources());
  std::map<std::string, std::string> offered;
  const std::vector<Event>& events = diagnosis->ground.network.events;
  for (std::size_t i = 0; i < events.size(); ++i) {
    if (!events[i].id.starts_with(last_)) continue;
    if (events[i].type == EventType::kFault || (states && events[i].type == EventType::kState))
      offered.emplace(events[i].id, speaker.Say(diagnosis->ground.events[i].statement));
  }
  for (const auto& [what, says] : offered) Offer(what, says);
}

// `kind`: how the help calls what may stand there.
void Candidates::OfferValues(const CommandWord& word, const std::string& kind) {
  const std::vector<std::string> choices = ChoicesOf(word);
  for (const std::string& choice : choices) Offer(choice, "");
  if (!choices.empty()) return;
  if (kind == "CASE") OfferPaths(true, true);
  if (kind == "FILE") OfferPaths(true, false);
  if (kind == "DIR") OfferPaths(false, false);
  if (kind == "UNIT") OfferUnits();
  if (kind == "KIND") OfferEntries(true);
  if (kind == "ID") OfferEntries(false);
  if (kind == "SUSPECT") OfferEvents(true);
  if (kind == "FAULT") OfferEvents(false);
}

void Candidates::Find() {
  if (typed_.open != nullptr) return OfferValues(*typed_.open, typed_.open->value);
  if (last_.starts_with('-') && !typed_.only_operands) {
    const auto equals = last_.find('=');
    if (equals == std::string::npos) return OfferOptions();
    const CommandWord* option = OptionOf(*typed_.command, last_.substr(0, equals));
    before_ = last_.substr(0, equals + 1);
    last_.erase(0, equals + 1);
    if (option != nullptr) OfferValues(*option, option->value);
    return;
  }
  for (const Command& command : typed_.command->commands) Offer(command.name, command.help);
  const std::vector<CommandWord>& operands = typed_.command->operands;
  if (operands.empty()) return;
  const std::size_t next = std::min(typed_.operands.size(), operands.size() - 1);
  if (typed_.operands.size() < operands.size() || operands[next].repeats)
    OfferValues(operands[next], operands[next].names[0]);
}

}  // namespace

std::vector<std::string> ChoicesOf(const CommandWord& word) {
  std::vector<std::string> choices;
  if (word.value.find('|') == std::string::npos) return choices;
  for (std::size_t at = 0; at <= word.value.size();) {
    const std::size_t end = std::min(word.value.find('|', at), word.value.size());
    choices.push_back(word.value.substr(at, end - at));
    at = end + 1;
  }
  return choices;
}

int RunComplete(const Command& program, const std::vector<std::string>& words) {
  const Typed typed = Understand(program, words);
  if (typed.command == nullptr || words.empty()) return kDone;
  Candidates(typed, words.back()).Find();
  return Finish(kDone);
}

}  // namespace gearwhy
