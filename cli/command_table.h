// Command table: the commands, and what each takes, as plain data for whoever tells of them: manual pages and
// completions. Made of the tree in command_line.cc, which also reads the command line and writes the help, so
// that all of them say the same. What the help does not show is not in it.
#pragma once

#include <string>
#include <vector>

namespace gearwhy {

// Something that can stand behind a command: an option, or an operand.
struct CommandWord {
  std::vector<std::string> names;  // "-h", "--help"; of an operand "CASE"
  std::string
      value;  // of an option what it takes, "DIR", or empty; of either the words to choose from, "text|json"
  std::string help;  // without full stop
  bool required = false;
  bool repeats = false;
};

struct Command {
  std::string name;  // the last word of it, "check"
  std::string help;  // a sentence, with or without full stop
  std::string more;  // what stands at the end of its help
  std::vector<CommandWord> options, operands;
  std::vector<Command> commands;  // one of which follows; none: it is complete
};

// The words that a value may be; none where anything may stand there.
std::vector<std::string> ChoicesOf(const CommandWord& word);

// gearwhy manual DIR: writes a manual page of each command, man(7), into the folder.
int RunManual(const Command& program, const std::string& folder);

// gearwhy complete -- WORD...: what the last word may become, one a line, with what it is behind a tab.
// `words`: what was typed behind the program's name, the last being typed still. Whatever is wrong, with a
// rulebook or with what was typed, only makes the list shorter.
int RunComplete(const Command& program, const std::vector<std::string>& words);

}  // namespace gearwhy
