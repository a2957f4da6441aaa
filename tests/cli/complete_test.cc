// Completion, in the shells themselves: each script is loaded by its shell, and asked as a person at the Tab
// key asks. What may come is compared with what is on the disk, and with what other commands tell of the same
// book.
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <set>
#include <sstream>
#include <vector>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;
using Words = std::set<std::string>;

constexpr const char* kScripts = GEARWHY_SOURCE_DIR "/cli/completions";

// The first word of each line, up to a tab; empty lines left out.
Words FirstWords(const std::string& out) {
  Words words;
  std::istringstream lines(out);
  for (std::string line; std::getline(lines, line);) {
    if (!line.empty()) words.insert(line.substr(0, line.find('\t')));
  }
  return words;
}

// In the folder of the sources, with the program found by its name, as it is when it is installed.
Ran InShell(const TemporaryFolder& folder, const std::string& shell, const std::string& script) {
  folder.Write("script", script);
  // Shells keep settings at home.
  return RunCommand(
      fmt::format("cd '{}' && export HOME='{}' PATH='{}':\"$PATH\" && export XDG_CONFIG_HOME=\"$HOME\" "
                  "XDG_DATA_HOME=\"$HOME\" && {} '{}' 2>&1",
                  GEARWHY_SOURCE_DIR, folder.path().string(),
                  fs::path(GEARWHY_PROGRAM).parent_path().string(), shell, folder.Path("script")));
}

// What bash makes of the words, as it parts them: at spaces, and around : and =.
Words InBash(const std::vector<std::string>& parted) {
  std::string words;
  for (const std::string& word : parted) words += fmt::format(" '{}'", word);
  const TemporaryFolder folder;
  const Ran ran = InShell(folder, "bash --norc",
                          fmt::format("source '{}/gearwhy.bash'\n"
                                      "complete -p gearwhy >/dev/null || echo no completion\n"
                                      "COMP_WORDS=(gearwhy{})\nCOMP_CWORD={}\n_gearwhy gearwhy\n"
                                      "printf '%s\\n' \"${{COMPREPLY[@]}}\"\n",
                                      kScripts, words, parted.size()));
  return FirstWords(ran.out);
}

Words InFish(const std::string& line) {
  const TemporaryFolder folder;
  return FirstWords(
      InShell(folder, "fish --no-config",
              fmt::format("source '{}/gearwhy.fish'\ncomplete -C 'gearwhy {}'\n", kScripts, line))
          .out);
}

// A terminal of zsh's own making, in which the Tab key is pressed behind the line. What then stands there is
// written to a file by the shell that runs in it, for a terminal shows more than that.
std::string InZsh(const std::string& line) {
  const TemporaryFolder folder;
  folder.Write("inner", fmt::format("fpath=('{}' $fpath)\nautoload -Uz compinit && compinit -u -D\n"
                                    "started() {{ : >'{}' }}\nzle -N zle-line-init started\n"
                                    "written() {{ print -r -- \"$BUFFER\" >'{}' }}\nzle -N written\n"
                                    "bindkey '^X' written\n",
                                    kScripts, folder.Path("started"), folder.Path("line")));
  const std::string wait = "for i in {1..300}; do [[ -e $1 ]] && break; sleep 0.1; done";
  InShell(folder, "timeout 90 zsh -f",
          fmt::format("zmodload zsh/zpty\nawait() {{ {} }}\nzpty shell zsh -f -i\n"
                      "zpty -w shell \"source '{}'\"\nawait '{}'\n"
                      "zpty -n -w shell $'gearwhy {}\\t\\x18'\nawait '{}'\nzpty -d shell\n",
                      wait, folder.Path("inner"), folder.Path("started"), line, folder.Path("line")));
  return ReadAll(folder.path() / "line");
}

Words Asked(const std::string& words) {
  const Ran ran = RunCommand(
      fmt::format("cd '{}' && '{}' complete -- {} 2>&1", GEARWHY_SOURCE_DIR, GEARWHY_PROGRAM, words));
  CHECK(ran.exit_code == 0);
  return FirstWords(ran.out);
}

// The names of the files in a folder, without their ending.
Words Stems(const std::string& folder) {
  Words stems;
  for (const auto& file : fs::directory_iterator(GEARWHY_SOURCE_DIR "/" + folder))
    stems.insert(file.path().stem().string());
  return stems;
}

TEST_CASE("every shell completes commands, options, units and ids with colons in them") {
  if (!HasPrograms({"bash", "fish", "zsh"})) return;
  constexpr const char* kCase = "cases/no-reverse-when-hot.yaml";
  CHECK(InBash({"r"}) == Words{"rank", "rules"});
  CHECK(InBash({"why", kCase, "--ne"}) == Words{"--network"});
  CHECK(InBash({"ask", "--unit", ""}) == Stems("rules/units"));
  CHECK(InBash({"ask", "--unit", "=", "simp"}) == Words{"simpson-three-speed"});
  CHECK(InBash({"ask", "--unit", "="}) == Stems("rules/units"));
  CHECK(InBash({"why", kCase, "lip_crac"}).contains("lip_cracked:E.piston"));
  CHECK(InBash({"why", kCase, "lip_cracked", ":"}).contains("E.piston"));
  CHECK(InBash({"why", kCase, "lip_cracked", ":", "E"}) == Words{"E.piston"});
  CHECK(InBash({"rank", "cases/no-reverse-w"}) == Words{kCase});
  CHECK(InBash({"nothing", "of"}).empty());

  CHECK(InFish("r") == Words{"rank", "rules"});
  CHECK(InFish("ask --unit ") == Stems("rules/units"));
  CHECK(InFish("ask --unit=simp") == Words{"--unit=simpson-three-speed"});
  CHECK(InFish(fmt::format("why {} lip_cracked:E", kCase)) == Words{"lip_cracked:E.piston"});
  CHECK(InFish("rank cases/no-reverse-w") == Words{kCase});
  CHECK(InFish("nothing of").empty());

  CHECK(InZsh("ran") == "gearwhy rank \n");
  CHECK(InZsh("ask --unit=simp") == "gearwhy ask --unit=simpson-three-speed \n");
  CHECK(InZsh(fmt::format("why {} lip_cracked:E", kCase)) ==
        fmt::format("gearwhy why {} lip_cracked:E.piston \n", kCase));
  CHECK(InZsh("rank case") == "gearwhy rank cases/\n");
}

TEST_CASE("completed are the words that a command takes, and ids of the book in force") {
  CHECK(Asked("''") == Words{"rank", "ask", "why", "next", "bench", "rules", "sheet", "unit", "new"});
  CHECK(Asked("unit show ''") == Stems("rules/units"));
  CHECK(Asked("rank --format ''") == Words{"text", "json", "jsonl"});
  CHECK(Asked("rank --color=''") == Words{"--color=auto", "--color=always", "--color=never"});
  CHECK(Asked("rules schema ''") == Words{"rulebook", "unit", "case"});
  CHECK(Asked("rank --suspects ''").empty());
  CHECK(Asked("rules list --layers char") == Words{"charts"});
  // What `rules list` counts is what can be listed.
  Words kinds;
  std::istringstream counted(RunCommand("'" GEARWHY_PROGRAM "' rules list").out);
  for (std::string word; counted >> word;) {
    if (word.find_first_not_of("0123456789") != std::string::npos) kinds.insert(word);
  }
  for (const std::string& kind : Asked("rules list ''")) CHECK(kinds.contains(kind));
  // Every suspect of a ranking can be asked for, and nothing that `why` would not know.
  const std::string golden = "tests/cli/golden/fever-rank/";
  const std::string fever = fmt::format("{}patient.yaml --rules {}book", golden, golden);
  const Words events = Asked("why " + fever + " ''");
  std::istringstream json(RunCommand(fmt::format("cd '{}' && '{}' rank {} --format json", GEARWHY_SOURCE_DIR,
                                                 GEARWHY_PROGRAM, fever))
                              .out);
  int suspects = 0;
  for (std::string line; std::getline(json, line);) {
    const std::string key = "\"fault\": \"";
    const auto at = line.find(key);
    if (at == std::string::npos) continue;
    const std::string fault = line.substr(at + key.size(), line.rfind('"') - at - key.size());
    INFO(fault);
    CHECK(events.contains(fault));
    ++suspects;
  }
  CHECK(suspects >= 3);
  CHECK(Asked("why cases/no-reverse-when-hot.yaml --not no_drive:").empty());  // a finding is no fault
  // An id of the book is one that it shows.
  for (const std::string& id : Asked("rules show moulded-lip-c"))
    CHECK(RunCommand(fmt::format("'{}' rules show {} '{}/cases/no-reverse-when-hot.yaml'", GEARWHY_PROGRAM,
                                 id, GEARWHY_SOURCE_DIR))
              .exit_code == 0);
  CHECK(Asked("rules show moulded-lip-c").size() > 1);
}

TEST_CASE(
    "completion goes by the shop and the rulebook that the line names, and a broken one leaves commands") {
  const TemporaryFolder folder;
  folder.Write("shop/feed.yaml", "facts:\n  shop_has_looked: {says: the shop has looked}\n");
  CHECK(Asked("rules show shop_").empty());
  CHECK(Asked(fmt::format("rules show --shop '{}' shop_", folder.Path("shop"))) == Words{"shop_has_looked"});
  CHECK(Asked(fmt::format("rules show '--shop={}' shop_", folder.Path("shop"))) == Words{"shop_has_looked"});
  folder.Write("broken/book.yaml", "events: [\n");
  const std::string broken = fmt::format("--rules '{}' ", folder.Path("broken"));
  CHECK(Asked("rules show " + broken + "lip").empty());
  CHECK(Asked("ask " + broken + "--unit ''").empty());
  CHECK(Asked("why " + broken + "cases/no-reverse-when-hot.yaml ''").empty());
  CHECK(Asked("why " + broken + "--ne") == Words{"--network"});
  CHECK(Asked("why /nonexistent/case.yaml ''").empty());
  CHECK(Asked("rank /nonexistent/").empty());
  CHECK(Asked("").empty());
}

TEST_CASE("of files those are completed that a command reads, and folders that lead on") {
  const TemporaryFolder folder;
  folder.Write("one case.yaml", "");
  folder.Write("notes.txt", "");
  folder.Write(".hidden.yaml", "");
  folder.Write("more/two.yaml", "");
  const std::string in = folder.path().string() + "/";
  CHECK(Asked(fmt::format("rank '{}'", in)) == Words{in + "one case.yaml", in + "more/"});
  CHECK(Asked(fmt::format("rank one.yaml '{}o'", in)) == Words{in + "one case.yaml"});
  CHECK(Asked(fmt::format("ask --save '{}'", in)) ==
        Words{in + "one case.yaml", in + "notes.txt", in + "more/"});
  CHECK(Asked(fmt::format("rank --shop '{}'", in)) == Words{in + "more/"});
  CHECK(Asked(fmt::format("next one.yaml '{}'", in)).empty());  // it takes one
}

}  // namespace
}  // namespace gearwhy
