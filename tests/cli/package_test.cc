// The Debian package, made by cpack of the build at hand: what it says of itself, what is in it, and that it
// comes and goes without a trace. Looked at by dpkg's own tools.
#include <fmt/format.h>

#include <filesystem>
#include <set>
#include <sstream>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

// Files and folders below a root, but for what dpkg keeps for itself.
std::set<std::string> Below(const fs::path& root) {
  std::set<std::string> found;
  for (const auto& entry : fs::recursive_directory_iterator(root)) {
    const std::string path = fs::relative(entry.path(), root).string();
    if (!path.starts_with("var")) found.insert(path);
  }
  return found;
}

// One package for all that is looked at.
struct Packed {
  TemporaryFolder folder;
  fs::path package;
  Packed() {
    const Ran ran = RunCommand(fmt::format("cpack -G DEB --config '{}/CPackConfig.cmake' -B '{}' 2>&1",
                                           GEARWHY_BUILD_DIR, folder.path().string()));
    INFO(ran.out);
    REQUIRE(ran.exit_code == 0);
    for (const auto& entry : fs::directory_iterator(folder.path())) {
      if (entry.path().extension() == ".deb") package = entry.path();
    }
    REQUIRE_FALSE(package.empty());
  }
  std::string Field(const std::string& name) const {
    std::string value = RunCommand(fmt::format("dpkg-deb -f '{}' {}", package.string(), name)).out;
    if (value.ends_with('\n')) value.pop_back();
    return value;
  }
};

void CheckFields(const Packed& packed) {
  CHECK(packed.Field("Package") == "gearwhy");
  CHECK(packed.Field("Architecture") + "\n" == RunCommand("dpkg --print-architecture").out);
  CHECK("gearwhy " + packed.Field("Version") + "\n" ==
        RunCommand(fmt::format("'{}' --version | head -n 1", GEARWHY_PROGRAM)).out);
  CHECK(packed.package.filename() ==
        fmt::format("gearwhy_{}_{}.deb", packed.Field("Version"), packed.Field("Architecture")));
  CHECK(packed.Field("Section") == "utils");
  CHECK_THAT(packed.Field("Description"),
             ContainsSubstring("finds why an automatic transmission failed\n For those"));
  // Each library that the loader wants is of a package that is named; asked of dpkg, which knows whose it is.
  const std::string depends = packed.Field("Depends");
  const std::string wanted =
      RunCommand(fmt::format("objdump -p '{}' | awk '/NEEDED/ {{print $2}}' | while read -r name; do "
                             "dpkg -S \"*/$(dpkg-architecture -qDEB_HOST_MULTIARCH)/$name\" | cut -d: -f1 | "
                             "head -n 1; done | sort -u",
                             GEARWHY_PROGRAM))
          .out;
  std::istringstream packages(wanted);
  int count = 0;
  for (std::string package; std::getline(packages, package); ++count)
    CHECK_THAT(depends, ContainsSubstring(package));
  CHECK(count >= 6);
}

void CheckContents(const Packed& packed) {
  const fs::path root = packed.folder.path() / "unpacked";
  REQUIRE(
      RunCommand(fmt::format("dpkg-deb -x '{}' '{}'", packed.package.string(), root.string())).exit_code ==
      0);
  CHECK(ReadAll(root / "usr/share/doc/gearwhy/copyright") == ReadAll(GEARWHY_SOURCE_DIR "/LICENSE"));
  for (const char* file :
       {"usr/share/doc/gearwhy/README.md", "usr/share/doc/gearwhy/changelog.gz",
        "usr/share/man/man1/gearwhy.1.gz", "usr/share/man/man1/gearwhy-rules-check.1.gz",
        "usr/share/bash-completion/completions/gearwhy", "usr/share/zsh/vendor-completions/_gearwhy",
        "usr/share/fish/vendor_completions.d/gearwhy.fish"}) {
    INFO(file);
    CHECK(fs::is_regular_file(root / file));
  }
  for (const std::string& path : Below(root)) {
    INFO(path);
    CHECK((path.starts_with("usr/share/") || path == "usr" || path == "usr/share" ||
           path.starts_with("usr/bin")));
    CHECK_FALSE(path.ends_with(".1"));
  }
  CHECK(RunCommand(fmt::format("man -l '{}/usr/share/man/man1/gearwhy.1.gz' 2>&1 >/dev/null", root.string()))
            .out.empty());
  // The rulebook that it finds is the one beside it.
  const std::string program = fmt::format("env -i LC_ALL=C.UTF-8 '{}/usr/bin/gearwhy' ", root.string());
  CHECK_THAT(RunCommand(program + "--version").out,
             ContainsSubstring(fmt::format("rulebook: {}/usr/share/gearwhy/rules\n", root.string())));
  const std::string ask = "unit show simpson-three-speed";
  const Ran ran = RunCommand(program + ask);
  CHECK(ran.exit_code == 0);
  CHECK(ran.out == RunCommand("'" GEARWHY_PROGRAM "' " + ask).out);
}

void CheckComesAndGoes(const Packed& packed) {
  const fs::path root = packed.folder.path() / "root";
  for (const char* folder : {"info", "updates", "triggers"})
    fs::create_directories(root / "var/lib/dpkg" / folder);
  for (const char* file : {"status", "available"}) std::ofstream(root / "var/lib/dpkg" / file);
  const std::set<std::string> before = Below(root);
  // The root is bare: nothing that the package depends on is in it.
  const std::string dpkg = fmt::format(
      "PATH=$PATH:/usr/sbin:/sbin dpkg --force-not-root --force-depends --path-include='/*' --log=/dev/null "
      "--root='{}' ",
      root.string());
  const Ran come = RunCommand(dpkg + "--install '" + packed.package.string() + "' 2>&1");
  INFO(come.out);
  CHECK(come.exit_code == 0);
  CHECK_THAT(RunCommand(dpkg + "--status gearwhy").out, ContainsSubstring("Status: install ok installed\n"));
  CHECK(RunCommand(dpkg + "--verify gearwhy 2>&1").out.empty());
  CHECK(fs::exists(root / "usr/bin/gearwhy"));
  const Ran go = RunCommand(dpkg + "--remove gearwhy 2>&1");
  INFO(go.out);
  CHECK(go.exit_code == 0);
  CHECK(Below(root) == before);
}

TEST_CASE("the Debian package says what it is, holds what it should, and comes and goes without a trace") {
  if (!HasPrograms({"cpack", "dpkg", "dpkg-shlibdeps", "man", "objdump"})) return;
  const Packed packed;
  CheckFields(packed);
  CheckContents(packed);
  CheckComesAndGoes(packed);
}

}  // namespace
}  // namespace gearwhy
