#include "engine/text/write_file.h"

#include <fcntl.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <sys/file.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <csignal>
#include <cstddef>
#include <filesystem>
#include <fstream>
#include <functional>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "tests/support/catch.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

std::string Read(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

TEST_CASE("a text is written, and written over, and nothing else is left in the folder") {
  const TemporaryFolder folder;
  std::string why;
  REQUIRE(WriteFile(folder.Path("a.yaml"), "one", WriteMode::kNew, &why));
  CHECK(Read(folder.Path("a.yaml")) == "one");
  REQUIRE(WriteFile(folder.Path("a.yaml"), "two", WriteMode::kReplace, &why));
  CHECK(Read(folder.Path("a.yaml")) == "two");
  CHECK_FALSE(WriteFile(folder.Path("a.yaml"), "three", WriteMode::kNew, &why));
  CHECK(why == "`" + folder.Path("a.yaml") + "` cannot be written: there is such a file already");
  CHECK(Read(folder.Path("a.yaml")) == "two");
  CHECK(folder.Count() == 1);
}

TEST_CASE("the mode of a file stays, and a new one gets what the mask leaves") {
  const TemporaryFolder folder;
  std::string why;
  const mode_t mask = ::umask(027);
  REQUIRE(WriteFile(folder.Path("new.yaml"), "x", WriteMode::kReplace, &why));
  ::umask(mask);
  struct stat status {};
  REQUIRE(::stat(folder.Path("new.yaml").c_str(), &status) == 0);
  CHECK((status.st_mode & 07777) == 0640);
  REQUIRE(::chmod(folder.Path("new.yaml").c_str(), 0604) == 0);
  REQUIRE(WriteFile(folder.Path("new.yaml"), "y", WriteMode::kReplace, &why));
  REQUIRE(::stat(folder.Path("new.yaml").c_str(), &status) == 0);
  CHECK((status.st_mode & 07777) == 0604);
}

TEST_CASE("a symlink stays one, and the file it names is written") {
  const TemporaryFolder folder;
  fs::create_directory(folder.Path("there"));
  std::ofstream(folder.Path("there/real.yaml")) << "old";
  fs::create_symlink("there/real.yaml", folder.Path("one.yaml"));
  fs::create_symlink("one.yaml", folder.Path("two.yaml"));
  std::string why;
  REQUIRE(WriteFile(folder.Path("two.yaml"), "new", WriteMode::kReplace, &why));
  CHECK(fs::is_symlink(folder.Path("two.yaml")));
  CHECK(fs::is_symlink(folder.Path("one.yaml")));
  CHECK(Read(folder.Path("there/real.yaml")) == "new");
  fs::create_symlink("round.yaml", folder.Path("round.yaml"));
  CHECK_FALSE(WriteFile(folder.Path("round.yaml"), "new", WriteMode::kReplace, &why));
}

TEST_CASE("what is no file, or may not be written, is left alone") {
  const TemporaryFolder folder;
  fs::create_directory(folder.Path("folder"));
  std::string why;
  CHECK_FALSE(WriteFile(folder.Path("folder"), "x", WriteMode::kReplace, &why));
  CHECK(why == "`" + folder.Path("folder") + "` cannot be written: it is no regular file");
  CHECK_FALSE(WriteFile("/dev/full", "x", WriteMode::kReplace, &why));
  CHECK(why == "`/dev/full` cannot be written: it is no regular file");
  CHECK_FALSE(WriteFile(folder.Path("no/such/x.yaml"), "x", WriteMode::kReplace, &why));
  CHECK(why == "`" + folder.Path("no/such/x.yaml") + "` cannot be written: No such file or directory");
}

TEST_CASE("a disk that is full leaves the old text and no temporary") {
  const TemporaryFolder folder;
  std::ofstream(folder.Path("a.yaml")) << "old";
  // A limit on the size of files fails a write in the middle, as a full disk does. The child keeps it to
  // itself.
  const pid_t child = ::fork();
  if (child == 0) {
    std::signal(SIGXFSZ, SIG_IGN);
    const rlimit limit{4096, 4096};
    ::setrlimit(RLIMIT_FSIZE, &limit);
    std::string why;
    const bool written =
        WriteFile(folder.Path("a.yaml"), std::string(100'000, 'x'), WriteMode::kReplace, &why);
    ::_exit(!written && why.ends_with("cannot be written: File too large") ? 0 : 1);
  }
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  CHECK(status == 0);
  CHECK(Read(folder.Path("a.yaml")) == "old");
  CHECK(folder.Count() == 1);
}

TEST_CASE("temporaries of the dead are swept, those of the living and of other files stay") {
  const TemporaryFolder folder;
  std::ofstream(folder.Path(".a.yaml.saving-dead00")) << "half";
  std::ofstream(folder.Path(".b.yaml.saving-dead00")) << "half";
  std::ofstream(folder.Path(".a.yaml.saving-alive0")) << "half";
  const int held = ::open(folder.Path(".a.yaml.saving-alive0").c_str(), O_RDONLY);
  REQUIRE(held >= 0);
  REQUIRE(::flock(held, LOCK_EX | LOCK_NB) == 0);
  std::string why;
  REQUIRE(WriteFile(folder.Path("a.yaml"), "x", WriteMode::kReplace, &why));
  CHECK_FALSE(fs::exists(folder.Path(".a.yaml.saving-dead00")));
  CHECK(fs::exists(folder.Path(".a.yaml.saving-alive0")));
  CHECK(fs::exists(folder.Path(".b.yaml.saving-dead00")));
  ::close(held);
}

TEST_CASE("a kill at any moment leaves a whole file") {
  const TemporaryFolder folder;
  const std::string path = folder.Path("a.yaml");
  std::string why;
  REQUIRE(WriteFile(path, std::string(200'000, 'a'), WriteMode::kNew, &why));
  for (int round = 0; round < 40; ++round) {
    const pid_t child = ::fork();
    if (child == 0) {
      for (char c = 'b';; c = c == 'z' ? 'b' : static_cast<char>(c + 1)) {
        WriteFile(path, std::string(200'000, c), WriteMode::kReplace, &why);
      }
    }
    ::usleep(static_cast<useconds_t>(1000 + 700 * round));
    ::kill(child, SIGKILL);
    REQUIRE(::waitpid(child, nullptr, 0) == child);
    const std::string text = Read(path);
    REQUIRE(text.size() == 200'000);
    REQUIRE(text.find_first_not_of(text[0]) == std::string::npos);
  }
  REQUIRE(WriteFile(path, "end", WriteMode::kReplace, &why));
  CHECK(folder.Count() == 1);  // and no litter
}

TEST_CASE("a text is replaced only where it is still the one that was read") {
  const TemporaryFolder folder;
  const std::string path = folder.Path("a.yaml");
  std::string why;
  CHECK(ReplaceText(path, std::nullopt, "one", &why) == Replaced::kDone);
  CHECK(ReplaceText(path, std::nullopt, "mine", &why) == Replaced::kOtherText);
  CHECK(ReplaceText(path, "on", "mine", &why) == Replaced::kOtherText);
  CHECK(ReplaceText(path, "one and more", "mine", &why) == Replaced::kOtherText);
  CHECK(ReplaceText(path, "", "mine", &why) == Replaced::kOtherText);
  CHECK(Read(path) == "one");
  CHECK(ReplaceText(path, "one", "two", &why) == Replaced::kDone);
  CHECK(Read(path) == "two");
  fs::remove(path);
  CHECK(ReplaceText(path, "two", "three", &why) == Replaced::kDone);  // gone: made anew
  CHECK(Read(path) == "three");
  CHECK(ReplaceText(folder.Path("no/such.yaml"), std::nullopt, "x", &why) == Replaced::kFailed);
  CHECK(why == "`" + folder.Path("no/such.yaml") + "` cannot be written: No such file or directory");
  CHECK(folder.Count() == 1);
}

// Ends with 0 where `work` is true.
pid_t Fork(const std::function<bool()>& work) {
  const pid_t child = ::fork();
  if (child == 0) ::_exit(work() ? 0 : 1);
  return child;
}

int Ended(pid_t child) {
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  return WIFEXITED(status) ? WEXITSTATUS(status) : 1000;
}

// Adds lines to the file, one at a time, each behind what stands there now.
bool AddLines(const std::string& path, const std::string& line, int count) {
  std::string why;
  for (int added = 0; added < count;) {
    const std::string before = Read(path);
    const Replaced replaced = ReplaceText(path, before, before + line, &why);
    if (replaced == Replaced::kFailed) return false;
    if (replaced == Replaced::kDone) ++added;
  }
  return true;
}

TEST_CASE("of two processes that write one file again and again no line is lost") {
  const TemporaryFolder folder;
  const std::string path = folder.Path("a.yaml");
  std::ofstream(path) << "";
  const pid_t first = Fork([&] { return AddLines(path, "first\n", 100); });
  const pid_t second = Fork([&] { return AddLines(path, "second\n", 100); });
  CHECK(Ended(first) == 0);
  CHECK(Ended(second) == 0);
  CHECK(Read(path).size() == 100 * std::string("first\nsecond\n").size());
  CHECK(folder.Count() == 1);
}

// Two processes make the file at the same moment: one must win, the other be told. Returns how often it was
// so.
int RoundsWithOneWinner(const TemporaryFolder& folder, int rounds, const std::function<bool()>& prepare) {
  int good = 0;
  for (int round = 0; round < rounds; ++round) {
    const std::string path = folder.Path("new.yaml");
    int gate[2];
    REQUIRE(::pipe(gate) == 0);
    const auto make = [&](const std::string& text) {
      return Fork([&, text] {
        char byte;
        std::string why;
        if (!prepare() || ::read(gate[0], &byte, 1) != 1) ::_exit(9);
        const Replaced replaced = ReplaceText(path, std::nullopt, text, &why);
        if (replaced == Replaced::kFailed) ::_exit(8);
        return replaced == Replaced::kDone;
      });
    };
    const pid_t first = make("first"), second = make("second");
    REQUIRE(::write(gate[1], "gg", 2) == 2);
    const int a = Ended(first), b = Ended(second);
    ::close(gate[0]);
    ::close(gate[1]);
    if (a + b == 1 && Read(path) == (a == 0 ? "first" : "second")) ++good;
    fs::remove(path);
  }
  return good;
}

TEST_CASE("of two processes that make one file at once, one makes it and the other is told") {
  const TemporaryFolder folder;
  CHECK(RoundsWithOneWinner(folder, 60, [] { return true; }) == 60);
  CHECK(folder.Count() == 0);
}

// From now on the kernel refuses this process hard links and locks, as some file systems do.
bool RefuseLinksAndLocks() {
  const auto refuse = [](unsigned call, unsigned error) {
    return std::array<sock_filter, 2>{sock_filter BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, call, 0, 1),
                                      sock_filter BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ERRNO | error)};
  };
  std::vector<sock_filter> filter = {
      sock_filter BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, nr))};
  for (const auto& [call, error] : {std::pair<unsigned, unsigned>{__NR_linkat, EPERM},
#ifdef __NR_link
                                    {__NR_link, EPERM},
#endif
                                    {__NR_flock, EOPNOTSUPP}}) {
    for (const sock_filter& step : refuse(call, error)) filter.push_back(step);
  }
  filter.push_back(sock_filter BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ALLOW));
  const sock_fprog program{static_cast<unsigned short>(filter.size()), filter.data()};
  return ::prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0 &&
         ::prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &program) == 0;
}

TEST_CASE("where there are no hard links and no locks, a file is written and made all the same") {
  const TemporaryFolder folder;
  if (Ended(Fork(RefuseLinksAndLocks)) != 0) {
    WARN("this system does not let a process refuse itself calls");
    return;
  }
  const std::string path = folder.Path("a.yaml");
  CHECK(Ended(Fork([&] {
          std::string why;
          return RefuseLinksAndLocks() && ::link("/nowhere", path.c_str()) != 0 && errno == EPERM &&
                 ReplaceText(path, std::nullopt, "one", &why) == Replaced::kDone &&
                 ReplaceText(path, std::nullopt, "two", &why) == Replaced::kOtherText &&
                 ReplaceText(path, "two", "three", &why) == Replaced::kOtherText &&
                 ReplaceText(path, "one", "four", &why) == Replaced::kDone;
        })) == 0);
  CHECK(Read(path) == "four");
  CHECK(folder.Count() == 1);
  CHECK(RoundsWithOneWinner(folder, 20, RefuseLinksAndLocks) == 20);
}

}  // namespace
}  // namespace gearwhy
