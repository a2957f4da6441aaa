// The house keeps its order: a folder includes only headers of the folders it stands on, and each library has
// one user.
//
// The linker enforces the first only for functions; a header of a later stage that needs none of its
// functions would slip through.
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

struct Include {
  std::string file;    // engine/text/yaml.cc
  std::string folder;  // engine/text
  std::string header;  // between the quotes or the angle brackets
};

// What a line includes, or an empty text.
std::string IncludedBy(const std::string& line) {
  const auto hash = line.find_first_not_of(" \t");
  if (hash == std::string::npos || line[hash] != '#') return "";
  const auto word = line.find_first_not_of(" \t", hash + 1);
  if (word == std::string::npos || line.compare(word, 7, "include") != 0) return "";
  const auto open = line.find_first_of("\"<", word);
  if (open == std::string::npos) return "";
  const auto close = line.find_first_of("\">", open + 1);
  return close == std::string::npos ? "" : line.substr(open + 1, close - open - 1);
}

std::vector<Include> IncludesBelow(const std::string& top) {
  const fs::path root = GEARWHY_SOURCE_DIR;
  std::set<std::string> files;
  for (const auto& entry : fs::recursive_directory_iterator(root / top)) {
    const std::string extension = entry.path().extension().string();
    if (extension == ".h" || extension == ".cc")
      files.insert(fs::relative(entry.path(), root).generic_string());
  }
  std::vector<Include> includes;
  for (const std::string& file : files) {
    std::ifstream in(root / file);
    REQUIRE(in);
    for (std::string line; std::getline(in, line);) {
      const std::string header = IncludedBy(line);
      if (!header.empty()) includes.push_back({file, fs::path(file).parent_path().generic_string(), header});
    }
  }
  return includes;
}

std::vector<Include> AllIncludes() {
  std::vector<Include> includes = IncludesBelow("engine");
  const std::vector<Include> program = IncludesBelow("cli");
  includes.insert(includes.end(), program.begin(), program.end());
  return includes;
}

TEST_CASE("A line that includes is told from one that does not") {
  CHECK(IncludedBy("#include <Eigen/Dense>") == "Eigen/Dense");
  CHECK(IncludedBy("  #  include \"engine/text/yaml.h\"  // why") == "engine/text/yaml.h");
  CHECK(IncludedBy("// #include <vector>").empty());
  CHECK(IncludedBy("#define X <vector>").empty());
}

TEST_CASE("A folder includes only headers of the folders it stands on") {
  // The house read from the ground up. Files, drivetrain, chain and belief are neighbours that do not know
  // each other.
  const std::set<std::string> model = {"text", "model"};
  const auto on = [](std::set<std::string> folders, const std::set<std::string>& more) {
    folders.insert(more.begin(), more.end());
    return folders;
  };
  const std::set<std::string> ground = on(model, {"drivetrain", "chain", "belief", "bench", "ground"});
  const std::set<std::string> advise = on(ground, {"explain", "advise"});
  const std::map<std::string, std::set<std::string>> stands_on = {
      {"text", {}},
      {"model", {"text"}},
      {"files", model},
      {"drivetrain", model},
      {"chain", model},
      {"belief", {"text"}},
      {"bench", on(model, {"bench"})},
      {"ground", ground},
      {"explain", on(ground, {"explain"})},
      {"advise", on(advise, {"files"})},           // an answer is a change of the case file
      {"study", on(advise, {"files"})},            // what a shop has changed, in its units, too
      {"render", on(advise, {"files", "study"})},  // a statement as one writes it
      {"api", on(advise, {"files", "study", "render", "api"})},
      {"cli", on(advise, {"files", "study", "render", "api"})},
  };
  std::set<std::string> seen;
  for (const Include& include : AllIncludes()) {
    INFO(include.file << " includes " << include.header);
    const auto name = [](const std::string& folder) {
      return folder.starts_with("engine/") ? folder.substr(7) : folder;
    };
    const auto place = stands_on.find(name(include.folder));
    REQUIRE(place != stands_on.end());  // a new folder needs a place in the order
    seen.insert(place->first);
    CHECK_FALSE(include.header.starts_with("tests/"));
    CHECK_FALSE(include.header.starts_with("."));
    if (!include.header.starts_with("engine/") && !include.header.starts_with("cli/")) continue;
    const std::string target = fs::path(include.header).parent_path().generic_string();
    CHECK((target == include.folder || place->second.contains(name(target))));
    CHECK(fs::exists(fs::path(GEARWHY_SOURCE_DIR) / include.header));
  }
  CHECK(seen.size() == stands_on.size());
}

TEST_CASE("Only what people read makes sentences") {
  // What is below holds statements, places and numbers, and no words of its own.
  int uses = 0;
  for (const Include& include : AllIncludes()) {
    if (include.header != "engine/render/say.h") continue;
    INFO(include.file << " includes " << include.header);
    CHECK((include.folder == "engine/render" || include.folder == "cli"));
    ++uses;
  }
  CHECK(uses > 0);
}

TEST_CASE("Each library has one user") {
  struct Owner {
    std::string headers;  // how its headers begin
    std::string user;     // a folder or a file
  };
  const std::vector<Owner> owners = {{"yaml-cpp/", "engine/text/"},
                                     {"nettle/", "engine/text/"},
                                     {"utf8proc.h", "engine/text/safe_text.cc"},
                                     {"libstemmer.h", "engine/text/stem.cc"},
                                     {"cereal/", "engine/files/book_archive.cc"},
                                     {"Eigen/", "engine/drivetrain/"},
                                     {"nlohmann/", "engine/render/json"},
                                     {"CLI/", "cli/"},
                                     {"histedit.h", "cli/line_reader.cc"}};
  const std::vector<Include> includes = AllIncludes();
  for (const Owner& owner : owners) {
    int uses = 0;
    for (const Include& include : includes) {
      if (!include.header.starts_with(owner.headers)) continue;
      INFO(include.file << " includes " << include.header);
      CHECK(include.file.starts_with(owner.user));
      ++uses;
    }
    INFO(owner.headers);
    CHECK(uses > 0);
  }
}

TEST_CASE("No header of the engine asks its user for a library") {
  // Eigen and nlohmann-json are each in one header of its folder's own, which is not installed.
  for (const Include& include : IncludesBelow("engine")) {
    if (!include.file.ends_with(".h")) continue;
    INFO(include.file << " includes " << include.header);
    for (const char* library : {"yaml-cpp/", "nettle/", "CLI/"}) {
      CHECK_FALSE(include.header.starts_with(library));
    }
    CHECK((!include.header.starts_with("nlohmann/") || include.file == "engine/render/json_parts.h"));
    CHECK((!include.header.starts_with("Eigen/") || include.file == "engine/drivetrain/relations.h"));
  }
}

}  // namespace
}  // namespace gearwhy
