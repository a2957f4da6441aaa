// Where nothing can be written: a disk that is full, a folder that may only be read. Every command that
// writes says so and ends with the code of the manual, and what was there before stays whole.
#include <fmt/format.h>

#include <filesystem>
#include <string>
#include <vector>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

const std::string kFever = GEARWHY_SOURCE_DIR "/tests/cli/golden/fever-rank/book";
const std::string kLamp = GEARWHY_SOURCE_DIR "/tests/cli/golden/ask-resume/book";
const std::string kFeverCase = GEARWHY_SOURCE_DIR "/tests/cli/golden/fever-rank/patient.yaml";

bool Holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

TEST_CASE("a result that a full disk does not take is an error of every command that prints") {
  // All of it goes out in one piece, or, of the longer ones, in several.
  const std::vector<std::string> commands = {"rank " + kFeverCase + " --rules " + kFever,
                                             "rank " + kFeverCase + " --format json --rules " + kFever,
                                             "why " + kFeverCase + " --rules " + kFever,
                                             "next " + kFeverCase + " --rules " + kFever,
                                             "bench " + kFeverCase + " --rules " + kFever,
                                             "sheet " + kFeverCase + " --rules " + kFever,
                                             "rules list --rules " + kFever,
                                             "rules show cold-chance --rules " + kFever,
                                             "rules schema --rules " + kFever,
                                             "rules gaps --rules " + kFever,
                                             "rules check --rules " + kFever,
                                             "unit show simpson-three-speed",
                                             "unit show simpson-three-speed --format json",
                                             "ask " + kFeverCase + " --rules " + kFever,
                                             "--version",
                                             "--help"};
  for (const std::string& command : commands) {
    const Ran ran = RunCommand(fmt::format("'{}' {} </dev/null 2>&1 >/dev/full", GEARWHY_PROGRAM, command));
    INFO(command << "\n" << ran.out);
    CHECK(ran.exit_code == 3);
    // Behind what else is to be said.
    CHECK(ran.out.ends_with(
        "error: the result could not be written: No space left on device [cannot-write]\n"));
  }
}

// Runs `command` in a folder that is a small disk of its own, where `before` has been run. Files are looked
// at by `after`, as the disk goes with the command.
Ran OnSmallDisk(const std::string& before, const std::string& command, const std::string& after) {
  const TemporaryFolder folder;
  folder.Write("run", "set -e\nmount -t tmpfs -o size=64k none \"$1\"\ncd \"$1\"\n" + before + "\nset +e\n" +
                          command + "\necho \"code $?\"\n" + after + "\n");
  std::filesystem::create_directory(folder.Path("disk"));
  return RunCommand(fmt::format("unshare -rm sh '{}' '{}' 2>&1", folder.Path("run"), folder.Path("disk")));
}

bool HasSmallDisks() {
  if (OnSmallDisk("", "true", "").out == "code 0\n") return true;
  WARN("SKIPPED: this system does not let a user mount a disk in memory");
  return false;
}

const std::string kFill = "head -c 1000000 /dev/zero >fill 2>/dev/null || true";
const std::string kReadOnly = "mount -o remount,ro \"$PWD\"";

struct Written {
  std::string command, file;
};

// Of a file that is there already, and of one that is not.
std::vector<Written> AllThatWrite() {
  const std::string program = GEARWHY_PROGRAM;
  return {{program + " sheet " + kFeverCase + " --rules " + kFever + " --output sheet.html", "sheet.html"},
          {program + " new case begun", "begun.yaml"},
          {program + " new rule begun", "begun.yaml"},
          {program + " manual .", "gearwhy.1"}};
}

void FailToWrite(const std::string& disk, const std::string& reason) {
  for (const Written& one : AllThatWrite()) {
    const Ran ran = OnSmallDisk(disk, one.command, "ls -A | grep -v '^fill$'");
    INFO(one.command << "\n" << ran.out);
    CHECK(Holds(ran.out, "cannot be written: " + reason + " [cannot-write]\ncode 1\n"));
    CHECK(ran.out.ends_with("code 1\n"));  // nothing is left, whole or half
  }
}

TEST_CASE("a full disk: nothing is left of a file that could not be written") {
  if (HasSmallDisks()) FailToWrite(kFill, "No space left on device");
}

TEST_CASE("a folder that may only be read: it is said") {
  if (HasSmallDisks()) FailToWrite(kReadOnly, "Read-only file system");
}

TEST_CASE("a file that is there stays as it was") {
  if (!HasSmallDisks()) return;
  const std::string sheet =
      "'" GEARWHY_PROGRAM "' sheet '" + kFeverCase + "' --rules '" + kFever + "' --output a.html";
  for (const std::string& disk : {kFill, kReadOnly}) {
    const Ran ran = OnSmallDisk("echo old >a.html\n" + disk, sheet, "cat a.html; ls -A | grep -v '^fill$'");
    INFO(ran.out);
    CHECK(Holds(ran.out, "cannot be written: "));
    CHECK(ran.out.ends_with("code 1\nold\na.html\n"));
  }
}

TEST_CASE("an interview goes on where the case cannot be kept, and says so at its end") {
  if (!HasSmallDisks()) return;
  const std::string before =
      "printf 'case: lamp\\ntitle: Dark\\ncomplaint:\\n- present: {dark: attic}\\n' >lamp.yaml\n"
      "cp lamp.yaml ../kept\n";
  const std::string ask =
      "printf '1\\n2\\n1\\n1\\n2\\nleave\\n' | '" GEARWHY_PROGRAM "' ask lamp.yaml --rules '" + kLamp + "'";
  for (const auto& [disk, reason] :
       {std::pair{kFill, "No space left on device"}, {kReadOnly, "Read-only file system"}}) {
    const Ran ran = OnSmallDisk(before + disk, ask, "cmp lamp.yaml ../kept && echo same; ls -A");
    INFO(ran.out);
    CHECK(Holds(ran.out, std::string("cannot be written: ") + reason));
    CHECK(Holds(ran.out, "The answer is kept here."));
    CHECK(Holds(ran.out, "\ncode 1\nsame\n"));
    CHECK_FALSE(Holds(ran.out, ".saving-"));
  }
}

TEST_CASE("an interview that began a case on a full disk keeps it once there is room") {
  if (!HasSmallDisks()) return;
  // Answered by a program that makes room when it is told that the case cannot be kept.
  const Ran ran = OnSmallDisk(kFill,
                              "(printf 'no light in the attic\\n1\\n\\n'; sleep 2; rm fill; printf "
                              "'1\\nleave\\n') | '" GEARWHY_PROGRAM "' ask new.yaml --rules '" +
                                  kLamp + "'",
                              "head -1 new.yaml; ls -A");
  INFO(ran.out);
  CHECK(Holds(ran.out, "cannot be written: No space left on device"));
  CHECK(ran.out.ends_with("code 0\ncase: new\nnew.yaml\n"));
}

}  // namespace
}  // namespace gearwhy
