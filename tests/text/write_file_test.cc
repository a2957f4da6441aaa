#include "engine/text/write_file.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

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

}  // namespace
}  // namespace gearwhy
