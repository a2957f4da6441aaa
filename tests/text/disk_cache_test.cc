// The cache gives back what was kept, and nothing else: not what is damaged, renamed, somebody else's or open
// to others. Nothing that is wrong with its folder is an error.
#include "engine/text/disk_cache.h"

#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <functional>
#include <vector>

#include "engine/text/build_id.h"
#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

int ModeOf(const fs::path& path) {
  struct stat status {};
  REQUIRE(::stat(path.c_str(), &status) == 0);
  return static_cast<int>(status.st_mode & 07777);
}

// A cache with one entry, in a folder that the first entry has made.
struct Kept {
  TemporaryFolder around;
  fs::path folder = around.path() / "gearwhy";
  DiskCache cache{folder.string()};
  std::string bytes = std::string("what\0was\nread", 13);
  std::string key = cache.KeyOf("a text");
  fs::path file = folder / key;

  Kept() { cache.Keep(key, bytes); }
  bool IsThere() const { return cache.Find(key) == bytes; }
  // As if it were not there; and made anew it is there again.
  void CheckMadeAnew() {
    CHECK_FALSE(cache.Find(key));
    cache.Keep(key, bytes);
    CHECK(IsThere());
    CHECK(ModeOf(file) == 0600);
  }
};

TEST_CASE("what was kept comes back, also in another run, and nobody else may read it") {
  const Kept kept;
  REQUIRE(kept.IsThere());
  CHECK(DiskCache(kept.folder.string()).Find(kept.key) == kept.bytes);
  CHECK_FALSE(kept.cache.Find(kept.cache.KeyOf("another text")));
  CHECK(ModeOf(kept.folder) == 0700);
  CHECK(ModeOf(kept.file) == 0600);
  CHECK(std::distance(fs::directory_iterator(kept.folder), fs::directory_iterator()) == 1);
  kept.cache.Keep(kept.cache.KeyOf("nothing"), "");
  CHECK(kept.cache.Find(kept.cache.KeyOf("nothing")) == "");
}

TEST_CASE("a file that is cut short, changed in any bit or longer is made anew") {
  Kept kept;
  const std::string whole = ReadAll(kept.file);
  const auto write = [&](const std::string& text) { std::ofstream(kept.file, std::ios::binary) << text; };
  for (std::size_t i = 0; i < whole.size(); ++i) {
    INFO(i);
    write(whole.substr(0, i));
    CHECK_FALSE(kept.cache.Find(kept.key));
    for (int bit = 0; bit < 8; ++bit) {
      std::string damaged = whole;
      damaged[i] = static_cast<char>(damaged[i] ^ (1 << bit));
      write(damaged);
      CHECK_FALSE(kept.cache.Find(kept.key));
    }
  }
  write(whole + "x");
  CHECK_FALSE(kept.cache.Find(kept.key));
  write(whole);
  CHECK(kept.IsThere());
  write(std::string(200, '0'));
  kept.CheckMadeAnew();
}

TEST_CASE("a file under the name of another key is not taken for it") {
  Kept kept;
  const std::string other = kept.cache.KeyOf("another text");
  fs::copy_file(kept.file, kept.folder / other);
  CHECK_FALSE(kept.cache.Find(other));
  CHECK(kept.IsThere());
}

TEST_CASE("a file that others may read or write, or that is somebody else's, is made anew") {
  Kept kept;
  for (const mode_t mode : {0644, 0660, 0602}) {
    REQUIRE(::chmod(kept.file.c_str(), mode) == 0);
    kept.CheckMadeAnew();
  }
  if (::geteuid() != 0) return;  // only root may give files away
  REQUIRE(::chown(kept.file.c_str(), 65534, 65534) == 0);
  kept.CheckMadeAnew();
}

TEST_CASE("a folder that others may enter, or that is somebody else's, is not used, and stays as it is") {
  const Kept kept;
  const auto check_unused = [&] {
    CHECK_FALSE(kept.cache.Find(kept.key));
    const std::string key = kept.cache.KeyOf("another text");
    kept.cache.Keep(key, "more");
    CHECK_FALSE(fs::exists(kept.folder / key));
  };
  REQUIRE(::chmod(kept.folder.c_str(), 0755) == 0);
  check_unused();
  CHECK(ModeOf(kept.folder) == 0755);
  REQUIRE(::chmod(kept.folder.c_str(), 0700) == 0);
  CHECK(kept.IsThere());
  if (::geteuid() != 0) return;
  REQUIRE(::chown(kept.folder.c_str(), 65534, 65534) == 0);
  check_unused();
}

TEST_CASE("symbolic links are not followed, and what they lead to stays") {
  Kept kept;
  kept.around.Write("elsewhere", ReadAll(kept.file));
  REQUIRE(::chmod(kept.around.Path("elsewhere").c_str(), 0600) == 0);
  fs::remove(kept.file);
  fs::create_symlink(kept.around.Path("elsewhere"), kept.file);
  CHECK_FALSE(kept.cache.Find(kept.key));
  kept.bytes = "other bytes";
  kept.CheckMadeAnew();
  CHECK_FALSE(fs::is_symlink(kept.file));
  CHECK(ReadAll(kept.around.Path("elsewhere")).find("other bytes") == std::string::npos);

  fs::create_directory_symlink(kept.folder, kept.around.Path("link"));
  const DiskCache linked(kept.around.Path("link"));
  CHECK_FALSE(linked.Find(kept.key));
  linked.Keep(linked.KeyOf("more"), "more");
  CHECK_FALSE(fs::exists(kept.folder / linked.KeyOf("more")));
}

TEST_CASE("the folder is made, with the one around it, and no more than that") {
  const TemporaryFolder home;
  const auto keep_in = [&](const std::string& folder) {
    const DiskCache cache(folder);
    cache.Keep(cache.KeyOf("x"), "y");
    return cache.Find(cache.KeyOf("x")) == "y";
  };
  CHECK(keep_in(home.Path("cache/gearwhy")));
  CHECK(ModeOf(home.Path("cache")) == 0700);
  CHECK_FALSE(keep_in(home.Path("no/such/gearwhy")));
  CHECK_FALSE(fs::exists(home.Path("no")));
  home.Write("file", "text");
  CHECK_FALSE(keep_in(home.Path("file")));
  CHECK_FALSE(keep_in(home.Path("file/gearwhy")));
  CHECK_FALSE(keep_in("/proc/gearwhy"));  // where nobody can write
  CHECK(ReadAll(home.Path("file")) == "text");
}

TEST_CASE("without a folder nothing is kept") {
  for (const DiskCache& cache : {DiskCache(), DiskCache("")}) {
    CHECK_FALSE(cache.IsOn());
    cache.Keep(cache.KeyOf("x"), "y");
    CHECK_FALSE(cache.Find(cache.KeyOf("x")));
  }
}

TEST_CASE("the oldest files go, and what is not the cache's stays") {
  const Kept kept;
  const auto long_ago = fs::file_time_type::clock::now() - std::chrono::hours(1000);
  std::ofstream(kept.folder / "notes.txt") << "mine";
  fs::last_write_time(kept.folder / "notes.txt", long_ago);
  // What a writer that was killed has left.
  const fs::path half = kept.folder / ("." + kept.key + ".saving-abcdef");
  std::ofstream(half) << "half";
  fs::last_write_time(half, long_ago);
  fs::last_write_time(kept.file, long_ago + std::chrono::hours(1));
  std::string last;
  for (std::size_t i = 0; i < DiskCache::kMostFiles; ++i) {
    last = kept.cache.KeyOf(std::to_string(i));
    kept.cache.Keep(last, "x");
  }
  CHECK_FALSE(fs::exists(half));
  CHECK_FALSE(kept.cache.Find(kept.key));
  CHECK(kept.cache.Find(last) == "x");
  CHECK(fs::exists(kept.folder / "notes.txt"));
  CHECK(std::distance(fs::directory_iterator(kept.folder), fs::directory_iterator()) ==
        static_cast<int>(DiskCache::kMostFiles) + 1);
}

// True when the work is done well in a process of its own.
bool InChild(const std::function<bool()>& work) {
  const pid_t child = ::fork();
  if (child == 0) ::_exit(work() ? 0 : 1);
  int status = 0;
  return ::waitpid(child, &status, 0) == child && status == 0;
}

TEST_CASE("a disk that is full keeps nothing and leaves nothing") {
  const Kept kept;
  CHECK(InChild([&] {
    std::signal(SIGXFSZ, SIG_IGN);
    const rlimit limit{4096, 4096};
    ::setrlimit(RLIMIT_FSIZE, &limit);
    const std::string key = kept.cache.KeyOf("large");
    kept.cache.Keep(key, std::string(100'000, 'x'));
    return !kept.cache.Find(key);
  }));
  CHECK(kept.IsThere());
  CHECK(std::distance(fs::directory_iterator(kept.folder), fs::directory_iterator()) == 1);
}

TEST_CASE("processes that find and keep at once see whole files or none") {
  const TemporaryFolder around;
  const DiskCache cache(around.Path("gearwhy"));
  const std::string bytes(300'000, 'b'), key = cache.KeyOf("x");
  std::vector<pid_t> children;
  for (int i = 0; i < 4; ++i) {
    children.push_back(::fork());
    if (children.back() != 0) continue;
    bool good = true;
    for (int round = 0; round < 10; ++round) {
      cache.Keep(key, bytes);
      const auto found = cache.Find(key);
      good = good && (!found || *found == bytes);
    }
    ::_exit(good ? 0 : 1);
  }
  for (const pid_t child : children) {
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    CHECK(status == 0);
  }
  CHECK(cache.Find(key) == bytes);
}

// readelf of GNU binutils, or of LLVM.
TEST_CASE("the build id is the one that the linker has left in the program") {
  if (!HasPrograms({"readelf"})) return;
  const Ran ran = RunCommand("readelf -n /proc/" + std::to_string(::getpid()) + "/exe 2>/dev/null");
  const std::string id = BuildId();
  REQUIRE(id.size() >= 16);
  CHECK_THAT(ran.out, ContainsSubstring("Build ID: " + id + "\n"));
}

}  // namespace
}  // namespace gearwhy
