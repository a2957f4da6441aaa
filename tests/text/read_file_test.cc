#include "engine/text/read_file.h"

#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "tests/support/catch.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

// The text read, or the rendered errors.
std::string Read(const std::string& path, std::size_t most = 100) {
  Sources sources;
  Diagnostics diagnostics;
  const auto source = ReadSource(path, "f.yaml", most, sources, diagnostics);
  CHECK(source.has_value() != diagnostics.HasErrors());
  if (!source) return RenderDiagnostics(diagnostics, sources);
  CHECK(sources.Name(*source) == "f.yaml");
  return sources.Text(*source);
}

TEST_CASE("a file is read whole, up to the cap") {
  const TemporaryFolder folder;
  folder.Write("a", std::string("a\0b\r\n", 5));
  folder.Write("empty", "");
  CHECK(Read(folder.Path("a")) == std::string("a\0b\r\n", 5));
  CHECK(Read(folder.Path("a"), 5).size() == 5);
  CHECK(Read(folder.Path("a"), 4) == "error: `f.yaml` is too large; at most 4 bytes are read [large-file]\n");
  CHECK(Read(folder.Path("empty")).empty());
  folder.Write("big", std::string(kMaxCaseBytes + 1, 'x'));
  CHECK(Read(folder.Path("big"), kMaxCaseBytes) ==
        "error: `f.yaml` is too large; at most 1 MiB are read [large-file]\n");
  CHECK(Read(folder.Path("big"), kMaxBookBytes).size() == kMaxCaseBytes + 1);
}

TEST_CASE("what is no readable file is refused without waiting") {
  const TemporaryFolder folder;
  REQUIRE(::mkfifo(folder.Path("fifo").c_str(), 0600) == 0);
  fs::create_symlink("loop", folder.Path("loop"));
  fs::create_symlink("nowhere", folder.Path("dangling"));
  folder.Write("file", "x");
  CHECK(Read(folder.Path("missing")) ==
        "error: cannot read `f.yaml`: there is no such file [unreadable-file]\n");
  CHECK(Read(folder.Path("dangling")) ==
        "error: cannot read `f.yaml`: there is no such file [unreadable-file]\n");
  CHECK(Read(folder.Path("file/x")) ==
        "error: cannot read `f.yaml`: there is no such file [unreadable-file]\n");
  CHECK(Read("") == "error: cannot read `f.yaml`: there is no such file [unreadable-file]\n");
  CHECK(Read(folder.Path("")) == "error: cannot read `f.yaml`: it is a folder [unreadable-file]\n");
  CHECK(Read(folder.Path("fifo")) ==
        "error: cannot read `f.yaml`: it is not a regular file [unreadable-file]\n");
  CHECK(Read("/dev/zero") == "error: cannot read `f.yaml`: it is not a regular file [unreadable-file]\n");
  CHECK(Read(folder.Path("loop")) ==
        "error: cannot read `f.yaml`: its symbolic links go in a circle [unreadable-file]\n");
  CHECK(Read(folder.Path(std::string(5000, 'x'))) ==
        "error: cannot read `f.yaml`: the name is too long [unreadable-file]\n");
  CHECK(Read(std::string("a\0b", 3)) ==
        "error: cannot read `f.yaml`: the name holds a zero byte [unreadable-file]\n");
  if (::geteuid() != 0) {  // root may read everything
    REQUIRE(::chmod(folder.Path("file").c_str(), 0) == 0);
    CHECK(Read(folder.Path("file")) ==
          "error: cannot read `f.yaml`: there is no permission to read it [unreadable-file]\n");
  }
}

TEST_CASE("the YAML files below a folder are listed in order") {
  const TemporaryFolder folder;
  for (const char* name : {"b.yaml", "a.yml", "sub/z.yaml", "sub/deep/y.yaml", "note.txt", ".hidden.yaml",
                           ".git/x.yaml", "yaml", "c.YAML", "a/b.yaml"}) {
    folder.Write(name, "");
  }
  fs::create_directory_symlink(folder.Path("sub"), folder.Path("linked"));
  fs::create_directory_symlink(folder.Path(""), folder.Path("sub/up"));
  fs::create_symlink("nowhere", folder.Path("dangling.yaml"));  // not left out: reading it reports it
  Diagnostics diagnostics;
  const std::vector<std::string> expected = {folder.Path("a.yml"),           folder.Path("a/b.yaml"),
                                             folder.Path("b.yaml"),          folder.Path("dangling.yaml"),
                                             folder.Path("sub/deep/y.yaml"), folder.Path("sub/z.yaml")};
  CHECK(ListYamlFiles(folder.Path(""), diagnostics).size() == expected.size());
  const std::string root = fs::path(folder.Path("x")).parent_path().string();
  CHECK(ListYamlFiles(root, diagnostics) == expected);
  CHECK_FALSE(diagnostics.HasErrors());
}

TEST_CASE("a folder that cannot be listed is an error") {
  const TemporaryFolder folder;
  folder.Write("file", "");
  const auto shown = [](const std::string& path) {
    Diagnostics diagnostics;
    CHECK(ListYamlFiles(path, diagnostics).empty());
    return RenderDiagnostics(diagnostics, Sources());
  };
  const std::string missing = folder.Path("missing"), file = folder.Path("file");
  CHECK(shown(missing) ==
        "error: cannot read the folder `" + missing + "`: there is no such folder [unreadable-folder]\n");
  CHECK(shown(file) ==
        "error: cannot read the folder `" + file + "`: it is not a folder [unreadable-folder]\n");
}

}  // namespace
}  // namespace gearwhy
