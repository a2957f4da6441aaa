// gearwhy manual: the commands as manual pages, for man(1).
//
// In: the table of commands. Out: a page each, in the macros of man(7), with what follows from the table, and for
// the program as a whole what surrounds it: environment, files and exit codes.
#include <fmt/format.h>

#include "cli/command_table.h"
#include "cli/session.h"
#include "engine/text/ascii.h"
#include "engine/text/safe_text.h"
#include "engine/text/write_file.h"

namespace gearwhy {
namespace {

struct Named {
  const char* name;
  const char* says;
};

constexpr Named kEnvironment[] = {
    {"GEARWHY_SHOP",
     "The shop's own folders that are laid over the rulebook where the command line names none, with : "
     "between "
     "them. Set and empty: none of them."},
    {"XDG_CONFIG_HOME", "The folder that holds gearwhy/config.toml, in place of ~/.config."},
    {"XDG_CACHE_HOME", "The folder that holds gearwhy with what is kept of rulebooks, in place of ~/.cache."},
    {"GEARWHY_NO_CACHE", "Set to anything: as --no-cache."},
    {"LC_ALL, LC_CTYPE, LANG", "Where the locale is not of UTF-8, pages are written in ASCII alone."},
    {"NO_COLOR", "Set to anything: no bold or dim text."},
    {"CLICOLOR", "Set to 0: no bold or dim text."},
    {"CLICOLOR_FORCE", "Set to anything but 0: bold and dim text, even where the output is no terminal."},
    {"TERM", "Set to dumb: no bold or dim text."}};

constexpr Named kFiles[] = {
    {"~/.config/gearwhy/config.toml",
     "Which rulebook and which shop are meant where nothing else says so: rules = \"~/our-rulebook\", shop = "
     "[\"~/our-shop\"]."},
    {"~/.cache/gearwhy",
     "Rulebooks and units as they were read, so that the next run need not read their files again. Answers "
     "are "
     "the same without; it may be deleted at any time."},
    {"share/gearwhy/rules", "The rulebook that comes with the program, beside the folder that it lies in."},
    {"share/gearwhy/cases", "The cases that come with it."}};

constexpr Named kExamples[] = {
    {"gearwhy ask",
     "Begin at the car: which unit it is, the complaint in the customer's words, and then question by "
     "question."},
    {"gearwhy rank slips-in-third.yaml", "What may have failed, by what the case file says."},
    {"gearwhy why slips-in-third.yaml 2", "Where the chance of the second suspect comes from."},
    {"gearwhy rank cases --format jsonl", "Every case in a folder, one JSON object a line."}};

constexpr const char* kCautions =
    "The vehicle maker's procedure, local codes and licensed practice come first. A ranking is advice to "
    "somebody who knows the work, and the decision stays theirs.";

// Text that groff takes as it is. Dashes are those of the keyboard, so that they can be copied.
std::string Plain(std::string_view text) {
  std::string escaped;
  for (const char c : text) {
    if (c == '\\') {
      escaped += "\\e";
    } else if (c == '-') {
      escaped += "\\-";
    } else if (c == '\'') {
      escaped += "\\(aq";
    } else if (c == '`') {
      escaped += "\\(ga";
    } else if (c == '"') {
      escaped += "\\(dq";
    } else if (c == '~') {
      escaped += "\\(ti";
    } else {
      escaped += c;
    }
  }
  return escaped.starts_with('.') ? "\\&" + escaped : escaped;
}

std::string Bold(std::string_view text) { return "\\fB" + Plain(text) + "\\fR"; }
std::string Italic(std::string_view text) { return "\\fI" + Plain(text) + "\\fR"; }

std::string Sentence(std::string text) {
  text[0] = Upper(text[0]);
  return text.ends_with('.') ? text : text + ".";
}

// "rules check" of {"gearwhy", "rules", "check"}, joined by `by` with the program's name.
std::string Joined(const std::vector<std::string>& path, char by) {
  std::string joined;
  for (const std::string& word : path) joined += (joined.empty() ? std::string() : std::string(1, by)) + word;
  return joined;
}

// The value behind an option: words to choose from in bold, anything else in italics.
std::string Value(const CommandWord& word) {
  std::string value;
  const std::vector<std::string> choices = ChoicesOf(word);
  for (const std::string& choice : choices) value += (value.empty() ? "" : "|") + Bold(choice);
  return choices.empty() ? Italic(word.value) : value;
}

std::string Option(const CommandWord& option) {
  std::string text;
  for (const std::string& name : option.names) text += (text.empty() ? "" : ", ") + Bold(name);
  return option.value.empty() ? text : text + " " + Value(option);
}

class ManualPage {
 public:
  ManualPage(const std::vector<std::string>& path, const Command& command) : path_(path), command_(command) {
    std::string title = Joined(path, '-');
    for (char& c : title) c = Upper(c);
    Line(fmt::format(".TH {} 1 {} \"gearwhy {}\" \"gearwhy\"", Plain(title), GEARWHY_DATE, GEARWHY_VERSION));
    Line(".nh");  // names are not to be parted at the end of a line
  }

  std::string Written() {
    std::string says = command_.help;
    says[0] = Lower(says[0]);
    if (says.ends_with('.')) says.pop_back();
    Heading("NAME");
    Text(Joined(path_, '-') + " - " + says);
    Synopsis();
    Heading("DESCRIPTION");
    Text(Sentence(command_.help));
    if (!command_.operands.empty()) Heading("OPERANDS");
    for (const CommandWord& operand : command_.operands) Tagged(Italic(operand.names[0]), operand.help);
    if (!command_.commands.empty()) Heading("COMMANDS");
    for (const Command& one : command_.commands) Tagged(Bold(Joined(path_, ' ') + " " + one.name), one.help);
    Heading("OPTIONS");
    for (const CommandWord& option : command_.options)
      Tagged(Option(option), option.help + (option.repeats ? ". May be given several times" : ""));
    if (path_.size() == 1) Surroundings();
    Heading("EXIT STATUS");
    Text(command_.more);
    SeeAlso();
    return text_;
  }

 private:
  void Line(const std::string& line) { text_ += line + "\n"; }
  // Filled by man(1) as wide as its window; here in lines that an editor shows whole.
  void Text(const std::string& text) {
    for (const std::string& line : WrapText(text, 72)) Line(Plain(line));
  }
  void Heading(const char* name) { Line(fmt::format(".SH {}", name)); }
  void Tagged(const std::string& tag, const std::string& says) {
    Line(".TP");
    Line(tag);
    Text(Sentence(says));
  }
  void Synopsis() {
    Heading("SYNOPSIS");
    Line(".ad l");
    Line(Bold(Joined(path_, ' ')));
    for (const CommandWord& option : command_.options)
      Line(fmt::format("[{}{}]{}", Bold(option.names.back()),
                       option.value.empty() ? "" : "\\ " + Value(option), option.repeats ? " ..." : ""));
    if (!command_.commands.empty()) Line(Italic("COMMAND") + " ...");
    for (const CommandWord& operand : command_.operands) {
      const std::string name = Italic(operand.names[0]) + (operand.repeats ? " ..." : "");
      Line(operand.required ? name : "[" + name + "]");
    }
    Line(".ad b");
  }
  void Surroundings() {
    Heading("ENVIRONMENT");
    for (const auto& [name, says] : kEnvironment) Tagged(Bold(name), says);
    Heading("FILES");
    for (const auto& [name, says] : kFiles) Tagged(Italic(name), says);
    Heading("EXAMPLES");
    for (const auto& [name, says] : kExamples) Tagged(Bold(name), says);
    Heading("CAUTIONS");
    Text(kCautions);
  }
  // The pages above and below this one.
  void SeeAlso() {
    std::vector<std::string> pages;
    for (std::vector<std::string> above = path_; above.size() > 1;) {
      above.pop_back();
      pages.insert(pages.begin(), Joined(above, '-'));
    }
    for (const Command& one : command_.commands) pages.push_back(Joined(path_, '-') + "-" + one.name);
    Heading("SEE ALSO");
    for (const std::string& page : pages) Line(Bold(page) + (page == pages.back() ? "(1)" : "(1),"));
  }

  const std::vector<std::string>& path_;  // {"gearwhy", "rules", "check"}
  const Command& command_;
  std::string text_;
};

// The page of a command, and those of the commands below it.
bool WritePages(std::vector<std::string> path, const Command& command, const std::string& folder) {
  path.push_back(command.name);
  std::string why;
  if (!WriteFile(folder + "/" + Joined(path, '-') + ".1", ManualPage(path, command).Written(),
                 WriteMode::kReplace, &why)) {
    WriteErr(fmt::format("error: {} [cannot-write]\n", why));
    return false;
  }
  for (const Command& one : command.commands) {
    if (!WritePages(path, one, folder)) return false;
  }
  return true;
}

}  // namespace

int RunManual(const Command& program, const std::string& folder) {
  return WritePages({}, program, folder) ? kDone : kInputErrors;
}

}  // namespace gearwhy
