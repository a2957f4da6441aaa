// Many cases: answered as they come, stopped between two of them, gone on with, counted, and shared out to
// several processes.
//
// Sources: POSIX.1-2017 (from memory) on exit statuses above 128 for a signal; GNU parallel for the sharing
// out; `script` of util-linux for a terminal; nlohmann-json reads what is written.
#include <fmt/format.h>
#include <sys/resource.h>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>
// g++ 12 with sanitizers takes what std::regex holds for uninitialized, wherever it is made.
#if defined(__GNUC__) && !defined(__clang__)
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif
#include <regex>
#include <set>
#include <sstream>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/running.h"
#include "tests/support/shipped_case.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

using Json = nlohmann::json;

constexpr const char* kBook = GEARWHY_SOURCE_DIR "/tests/cli/golden/fever-rank/book";

// One in three has no fever, so that answers differ.
std::string LineOf(int number) {
  return fmt::format("{{\"case\": \"case-{}\", \"title\": \"T\", \"complaint\": [{{\"{}\": \"fever\"}}]}}\n",
                     number, number % 3 == 0 ? "absent" : "present");
}

std::string Stream(int cases) {
  std::string lines;
  for (int i = 1; i <= cases; ++i) lines += LineOf(i);
  return lines;
}

std::vector<std::string> Rank(const std::vector<std::string>& more) {
  std::vector<std::string> command = {GEARWHY_PROGRAM, "rank", "-", "--rules", kBook};
  command.insert(command.end(), more.begin(), more.end());
  return command;
}

// The program on lines from a file, by the shell.
Ran RankFile(const std::string& lines, const std::string& more) {
  return RunCommand(
      fmt::format("'{}' rank - --rules '{}' --format jsonl {} <'{}'", GEARWHY_PROGRAM, kBook, more, lines));
}

std::multiset<std::string> LinesOf(const std::string& text) {
  std::multiset<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.insert(line);
  return lines;
}

TEST_CASE("who waits for an answer before sending the next case gets it") {
  Running program(Rank({"--format", "jsonl"}));
  for (std::size_t i = 1; i <= 5; ++i) {
    program.Write(LineOf(static_cast<int>(i)));
    CHECK(program.ReadLines(i).ends_with("}\n"));
  }
  program.CloseInput();
  CHECK(program.End() == 0);
}

TEST_CASE("as many jobs as are wanted give the same bytes") {
  const TemporaryFolder folder;
  folder.Write("lines", Stream(300));
  const Ran one = RankFile(folder.Path("lines"), "--jobs 1");
  CHECK(one.exit_code == 0);
  CHECK(LinesOf(one.out).size() == 300);
  for (const char* jobs : {"--jobs 2", "--jobs 7", ""})
    CHECK(RankFile(folder.Path("lines"), jobs).out == one.out);
  CHECK(RankFile(folder.Path("lines"), "--jobs 0 2>/dev/null").exit_code == 2);
}

TEST_CASE("a bad line is told by its number and by the id that it still shows, and the rest goes on") {
  struct Row {
    const char* line;
    const char* id;
    const char* told;  // on stderr
  };
  const Row rows[] = {
      {R"({"case":"x", ...bad})", "x", "(input line 2, x):1:"},
      {R"({"title": "T", "case" : "far-on", "complaint": [{"present": "fevre"}]})", "far-on",
       "(input line 2, far-on):1:"},
      {R"({"case": "cut-sho)", "line 2", "(input line 2):1:"},
      {R"({"title": "{\"case\": \"quoted\"}", "complaint": [{"case": "inner"}]})", "line 2",
       "(input line 2):1:"},
      {R"({"title": "case", "note": "x"})", "line 2", "(input line 2):1:"},
      {R"({"case": "no name \u0007", "title": 7})", "line 2", "(input line 2):1:"},
      {R"(nothing)", "line 2", "(input line 2):1:"},
  };
  const TemporaryFolder folder;
  for (const Row& row : rows) {
    INFO(row.line);
    folder.Write("lines", LineOf(1) + row.line + "\n" + LineOf(4));
    const Ran ran = RankFile(folder.Path("lines"), "2>'" + folder.Path("err") + "'");
    CHECK(ran.exit_code == 1);
    std::istringstream lines(ran.out);
    std::string first, bad, last;
    std::getline(lines, first);
    std::getline(lines, bad);
    std::getline(lines, last);
    CHECK(Json::parse(first)["case"] == "case-1");
    CHECK(Json::parse(last)["case"] == "case-4");
    CHECK(Json::parse(bad)["case"] == row.id);
    CHECK(Json::parse(bad)["input_line"] == 2);
    CHECK_FALSE(Json::parse(bad)["errors"].empty());
    CHECK(ReadAll(folder.path() / "err").starts_with(row.told));
  }
}

TEST_CASE("stopped between two cases only whole answers have left, in every format") {
  const std::size_t whole = 5;
  for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
    const TemporaryFolder folder;
    Running program(Rank({"--format", "jsonl"}), folder.Path("err"));
    program.Write(Stream(whole) + LineOf(6).substr(0, 20));
    program.ReadLines(whole);
    program.Signal(signal);
    const std::string& out = program.ReadToEnd();
    CHECK(program.End() == 128 + signal);
    CHECK(LinesOf(out).size() == whole);
    for (const std::string& line : LinesOf(out)) CHECK(Json::accept(line));
    CHECK(ReadAll(folder.path() / "err") ==
          "error: stopped after 5 cases, whose answers are whole; what follows is missing [stopped]\n");
  }
  Running list(Rank({"--format", "json"}));
  list.Write(Stream(2));
  list.ReadLines(200);  // in the second answer
  list.Signal(SIGINT);
  CHECK(Json::parse(list.ReadToEnd()).size() == 2);
  CHECK(list.End() == 130);
  Running text(Rank({"--only", "chances"}));
  text.Write(Stream(2));
  text.ReadLines(12);
  text.Signal(SIGINT);
  const std::string both = text.ReadToEnd();
  CHECK(text.End() == 130);
  const TemporaryFolder folder;
  folder.Write("lines", Stream(2));
  CHECK(both == RunCommand(fmt::format("'{}' rank - --rules '{}' --only chances <'{}'", GEARWHY_PROGRAM,
                                       kBook, folder.Path("lines")))
                    .out);
}

TEST_CASE("a second signal ends it at once, and one that was ignored stays ignored") {
  Running stuck(Rank({"--format", "jsonl"}));
  stuck.Write(Stream(200));  // its answers fill the pipe, as nobody reads them
  CHECK(stuck.HasSomethingToRead());
  stuck.Signal(SIGINT);
  stuck.Signal(SIGTERM);
  const int ended = stuck.End();  // whichever comes second
  CHECK((ended == 128 + SIGINT || ended == 128 + SIGTERM));
  Running ignoring(Rank({"--format", "jsonl"}), "/dev/null", SIGINT);
  ignoring.Write(LineOf(1));
  ignoring.ReadLines(1);
  ignoring.Signal(SIGINT);
  ignoring.Write(LineOf(2));
  ignoring.CloseInput();
  CHECK(LinesOf(ignoring.ReadToEnd()).size() == 2);
  CHECK(ignoring.End() == 0);
}

TEST_CASE("a run that was stopped and one that goes on with it write what one run writes") {
  const TemporaryFolder folder;
  const std::string bad =
      "{\"case\": \"bad\", \"title\": \"T\", \"complaint\": [{\"present\": \"fevre\"}]}\n";
  // Of two that are alike both are answered.
  const std::string lines = Stream(40) + bad + LineOf(7) + LineOf(41);
  folder.Write("lines", lines);
  const Ran at_once = RankFile(folder.Path("lines"), "2>/dev/null");
  CHECK(at_once.exit_code == 1);
  const std::string file = folder.Path("answers");
  {
    Running program(Rank({"--format", "jsonl", "--resume", file}));
    program.Write(Stream(20));
    const auto deadline = std::chrono::steady_clock::now() + std::chrono::seconds(30);
    while (LinesOf(ReadAll(file)).size() < 20) {
      REQUIRE(std::chrono::steady_clock::now() < deadline);
      ::usleep(1000);
    }
    program.Signal(SIGTERM);
    CHECK(program.ReadToEnd().empty());
    CHECK(program.End() == 143);
  }
  const std::string command = fmt::format("--resume '{}' --summary 2>&1", file);
  SECTION("where it was left") {
    const Ran resumed = RankFile(folder.Path("lines"), command);
    CHECK(resumed.exit_code == 1);
    CHECK(resumed.out.find("43 cases: 22 answered, 1 not answered, 0 not exact, 20 answered before; ") !=
          std::string::npos);
  }
  SECTION("with a last line that was cut short") {
    const std::string answers = ReadAll(file);
    folder.Write("answers", answers.substr(0, answers.size() - 100));
    const Ran resumed = RankFile(folder.Path("lines"), command);
    CHECK(resumed.out.find(fmt::format("{}:20: warning: this last line was cut short; it is taken off, and "
                                       "its case done again [cut-short]\n",
                                       file)) != std::string::npos);
    CHECK(resumed.out.find(" 19 answered before; ") != std::string::npos);
  }
  CHECK(LinesOf(ReadAll(file)) == LinesOf(at_once.out));
  // With nothing left to do, nothing is done, and what was wrong still is.
  const Ran again = RankFile(folder.Path("lines"), command);
  CHECK(again.exit_code == 1);
  CHECK(again.out.find("43 cases: 0 answered, 0 not answered, 0 not exact, 43 answered before; ") !=
        std::string::npos);
  CHECK(LinesOf(ReadAll(file)) == LinesOf(at_once.out));
}

TEST_CASE("what has changed since is answered again: the case, the rulebook, what is asked for") {
  const TemporaryFolder folder;
  const std::string book = folder.Path("book");
  std::filesystem::copy(kBook, book);
  folder.Write("cases/one.yaml", "case: one\ntitle: T\ncomplaint: [present: fever]\n");
  folder.Write("cases/two.yaml", "case: two\ntitle: T\ncomplaint: [present: fever]\n");
  folder.Write("cases/back.yaml", "case: back\ntitle: T\nafter: two\ncomplaint: [present: fever]\n");
  const auto answered = [&](const std::string& more) {
    const Ran ran = RunCommand(
        fmt::format("'{}' rank '{}' --rules '{}' --format jsonl --resume '{}' --summary {} 2>&1 >&-",
                    GEARWHY_PROGRAM, folder.Path("cases"), book, folder.Path("answers"), more));
    const std::size_t at = ran.out.find("cases: ");
    REQUIRE(at != std::string::npos);
    return ran.out[at + 7] - '0';
  };
  CHECK(answered("") == 3);
  CHECK(answered("") == 0);
  CHECK(answered("--only chances") == 3);
  CHECK(answered("--suspects 30") == 3);
  CHECK(answered("--jobs 1") == 0);
  folder.Write("cases/one.yaml", "case: one\ntitle: T\ncomplaint: [absent: fever]\n");
  CHECK(answered("") == 1);
  // The one that it has come back from is part of it.
  folder.Write("cases/two.yaml", "case: two\ntitle: Another\ncomplaint: [present: fever]\n");
  CHECK(answered("") == 2);
  std::ofstream(book + "/fever.yaml", std::ios::app) << "# a remark\n";
  CHECK(answered("") == 3);
}

TEST_CASE("a file that is none of answers is left as it is") {
  const TemporaryFolder folder;
  folder.Write("lines", Stream(2));
  const std::string answers = RankFile(folder.Path("lines"), "").out;
  struct Row {
    std::string text;
    const char* told;
  };
  const Row rows[] = {
      {Stream(2), "line 1 is no answer of `gearwhy rank --format jsonl`; name a file of those, or a new one"},
      {"remarks", "line 1 is no answer of `gearwhy rank --format jsonl`; name a file of those, or a new one"},
      {answers + "remarks\n",
       "line 3 is no answer of `gearwhy rank --format jsonl`; name a file of those, or a new one"},
      {answers + "[" + std::string(100'000, '[') + "\n",
       "line 3 is no answer of `gearwhy rank --format jsonl`; name a file of those, or a new one"},
  };
  for (const Row& row : rows) {
    folder.Write("answers", row.text);
    const Ran ran = RankFile(folder.Path("lines"), fmt::format("--resume '{}' 2>&1", folder.Path("answers")));
    CHECK(ran.exit_code == 1);
    CHECK(ran.out ==
          fmt::format("error: `{}` cannot be gone on with: {} [resume]\n", folder.Path("answers"), row.told));
    CHECK(ReadAll(folder.path() / "answers") == row.text);
  }
  const Ran nowhere = RankFile(folder.Path("lines"), "--resume /dev/null 2>&1");
  CHECK(nowhere.exit_code == 1);
  CHECK(nowhere.out.find("it is no file that can be read again") != std::string::npos);
  const Ran pages = RunCommand(fmt::format("'{}' rank - --rules '{}' --resume '{}' 2>&1 </dev/null",
                                           GEARWHY_PROGRAM, kBook, folder.Path("pages")));
  CHECK(pages.exit_code == 2);
  CHECK(pages.out ==
        "error: answers are gone on with as JSON lines alone: say --format jsonl as well [command-line]\n");
  CHECK_FALSE(std::filesystem::exists(folder.Path("pages")));
}

TEST_CASE("two runs do not write one file") {
  const TemporaryFolder folder;
  folder.Write("lines", Stream(2));
  const std::string file = folder.Path("answers");
  Running first(Rank({"--format", "jsonl", "--resume", file}));
  const auto deadline = std::chrono::steady_clock::now() + std::chrono::seconds(30);
  first.Write(LineOf(1));
  while (LinesOf(ReadAll(file)).empty()) {
    REQUIRE(std::chrono::steady_clock::now() < deadline);
    ::usleep(1000);
  }
  const Ran second = RankFile(folder.Path("lines"), fmt::format("--resume '{}' 2>&1", file));
  CHECK(second.exit_code == 1);
  CHECK(second.out ==
        fmt::format("error: `{}` cannot be gone on with: another run is writing it [resume]\n", file));
  first.CloseInput();
  CHECK(first.End() == 0);
  CHECK(LinesOf(ReadAll(file)).size() == 1);
}

TEST_CASE("a disk that is full is an error, with a file to go on with as without") {
  const TemporaryFolder folder;
  folder.Write("lines", Stream(3));
  const Ran ran = RankFile(folder.Path("lines"), "2>&1 >/dev/full");
  CHECK(ran.exit_code == 3);
  CHECK(ran.out.find("No space left on device [cannot-write]\n") != std::string::npos);
}

TEST_CASE("the end is summed up where that is asked for, or where a person looks on") {
  const TemporaryFolder folder;
  folder.Write("lines", Stream(3) + "nothing\n");
  const Ran asked = RankFile(folder.Path("lines"), "--summary 2>&1 >/dev/null");
  CHECK(std::regex_search(
      asked.out, std::regex("\n4 cases: 3 answered, 1 not answered, 0 not exact; [0-9]+\\.[0-9] s\n$")));
  CHECK(RankFile(folder.Path("lines"), "2>&1 >/dev/null").out.find("cases:") == std::string::npos);
}

// What a terminal is sent on stderr, while the answers go to a file.
std::string SeenAtTerminal(const TemporaryFolder& folder, const std::string& more) {
  folder.Write("command", fmt::format("'{}' rank - --rules '{}' --format jsonl {} <'{}' \n", GEARWHY_PROGRAM,
                                      kBook, more, folder.Path("lines")));
  return RunCommand(fmt::format("script -qec \"sh '{}'\" /dev/null </dev/null", folder.Path("command"))).out;
}

TEST_CASE("at a terminal one line says how far it is, and is taken away") {
  if (!HasPrograms({"script"})) return;
  const TemporaryFolder folder;
  folder.Write("lines", Stream(6000));
  const std::string seen = SeenAtTerminal(folder, ">/dev/null");
  // The last of it is written over with blanks, and the summary stands in its place.
  CHECK(std::regex_search(
      seen, std::regex("\r[0-9]+ cases, [0-9.]+ a second *\r +\r6000 cases: 6000 answered, 0 not answered, "
                       "0 not exact; [0-9.]+ s\r\n$")));
  const std::string quiet = SeenAtTerminal(folder, "--no-progress >/dev/null");
  CHECK(std::regex_match(quiet, std::regex("6000 cases: [^\r]* s\r\n")));
  CHECK(SeenAtTerminal(folder, "2>/dev/null >/dev/null").empty());
  // The answers themselves are there to be seen.
  CHECK(SeenAtTerminal(folder, "").find(" a second") == std::string::npos);
  folder.Write("lines", Stream(1));
  CHECK(SeenAtTerminal(folder, ">/dev/null").empty());
}

TEST_CASE("of files it is known how many there are, and how long they will take") {
  if (!HasPrograms({"script"})) return;
  const TemporaryFolder folder;
  for (int i = 0; i < 3000; ++i)
    folder.Write(fmt::format("cases/c{}.yaml", i),
                 fmt::format("case: c{}\ntitle: T\ncomplaint: [present: fever]\n", i));
  folder.Write("command", fmt::format("'{}' rank '{}' --rules '{}' --format jsonl >/dev/null\n",
                                      GEARWHY_PROGRAM, folder.Path("cases"), kBook));
  const std::string seen =
      RunCommand(fmt::format("script -qec \"sh '{}'\" /dev/null </dev/null", folder.Path("command"))).out;
  CHECK(std::regex_search(seen, std::regex("\r[0-9]+ of 3000 cases, [0-9.]+ a second, [0-9]+ (s|min) left")));
}

// The most memory that the program has held, in KiB.
long MostMemory(const TemporaryFolder& folder, int cases) {
  folder.Write("lines", Stream(cases));
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    const std::string command =
        fmt::format("exec '{}' rank - --rules '{}' --format jsonl --jobs 2 <'{}' >/dev/null", GEARWHY_PROGRAM,
                    kBook, folder.Path("lines"));
    ::setenv("ASAN_OPTIONS", "quarantine_size_mb=1", 1);  // what a sanitizer keeps back is none of ours
    ::execl("/bin/sh", "sh", "-c", command.c_str(), nullptr);
    ::_exit(98);
  }
  int status = 0;
  rusage used{};
  REQUIRE(::wait4(child, &status, 0, &used) == child);
  REQUIRE(WEXITSTATUS(status) == 0);
  return used.ru_maxrss;
}

TEST_CASE("memory does not grow with the number of cases") {
  const TemporaryFolder folder;
  const long of_few = MostMemory(folder, 1000), of_many = MostMemory(folder, 11'000);
  // Ten thousand answers more are 30 MB, and their lines one.
  CHECK(of_many - of_few < 8000);
}

TEST_CASE("cases that are shared out to several processes are answered with the same bytes") {
  if (!HasPrograms({"parallel"})) return;
  const TemporaryFolder folder;
  folder.Write("lines", Stream(50));
  const Ran shared =
      RunCommand(fmt::format("HOME='{}' parallel --will-cite --pipe -N 7 --jobs 2 \"'{}' rank - --rules '{}' "
                             "--format jsonl --jobs 1\" <'{}'",
                             folder.path().string(), GEARWHY_PROGRAM, kBook, folder.Path("lines")));
  CHECK(shared.exit_code == 0);
  CHECK(LinesOf(shared.out).size() == 50);
  CHECK(LinesOf(shared.out) == LinesOf(RankFile(folder.Path("lines"), "").out));
}

// What is in both has the same value; in lists of suspects, each.
void CheckIsPartOf(const Json& part, const Json& whole) {
  if (part.is_object()) {
    for (const auto& [key, value] : part.items()) {
      INFO(key);
      REQUIRE(whole.contains(key));
      CheckIsPartOf(value, whole[key]);
    }
  } else if (part.is_array()) {
    REQUIRE(part.size() == whole.size());
    for (std::size_t i = 0; i < part.size(); ++i) CheckIsPartOf(part[i], whole[i]);
  } else {
    CHECK(part == whole);
  }
}

TEST_CASE("chances alone are those of the whole answer, in every fourth shipped case") {
  std::string cases;
  for (const std::string& file : ShippedCaseFiles(4)) cases += " '" + file + "'";
  const auto answers = [&](const std::string& more) {
    const Ran ran = RunCommand("'" GEARWHY_PROGRAM "' rank" + cases + " --format jsonl " + more);
    CHECK(ran.exit_code == 0);
    std::vector<Json> all;
    std::istringstream lines(ran.out);
    for (std::string line; std::getline(lines, line);) all.push_back(Json::parse(line));
    return all;
  };
  std::vector<Json> alone = answers("--only chances");
  const std::vector<Json> whole = answers("");
  REQUIRE(alone.size() >= 25);
  REQUIRE(alone.size() == whole.size());
  for (std::size_t i = 0; i < alone.size(); ++i) {
    INFO(alone[i]["case"]);
    CHECK(alone[i]["only"] == "chances");
    CHECK(alone[i]["made_from"] != whole[i]["made_from"]);
    alone[i].erase("only");
    alone[i].erase("made_from");
    CHECK(alone[i].contains("suspects"));
    CHECK(alone[i].contains("where"));
    CheckIsPartOf(alone[i], whole[i]);
    // What was not worked out is not said to be nothing.
    for (const char* key : {"outcome", "accounts", "accounts_rest", "next", "cautions", "parts"})
      CHECK_FALSE(alone[i].contains(key));
    for (const Json& suspect : alone[i]["suspects"])
      CHECK((!suspect.contains("evidence") && !suspect.contains("before")));
  }
}

TEST_CASE("chances alone as text are one line each") {
  const auto rank = [](const std::string& more) {
    return RunCommand("'" GEARWHY_PROGRAM "' rank '" GEARWHY_SOURCE_DIR
                      "/tests/cli/golden/fever-rank/patient.yaml' --rules '" +
                      std::string(kBook) + "' --only chances " + more);
  };
  CHECK(rank("--suspects 2").out == R"(A patient with fever
case patient

What
 1 It is flu.                                                          82 in 100
 2 It is malaria.                                                      19 in 100

)");
  for (const char* with : {"--details", "--brief", "--steady"})
    CHECK(rank(with + std::string(" 2>/dev/null")).exit_code == 2);
  CHECK(RunCommand("'" GEARWHY_PROGRAM "' rank x --only reasons 2>&1").exit_code == 2);
}

}  // namespace
}  // namespace gearwhy
