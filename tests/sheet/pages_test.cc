// The pages that the program writes, held against page_check.py: well-formed, self-contained, with nothing in
// them but what a sheet is made of, whatever the files hold.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

// g++ 12 with sanitizers takes what std::regex holds for uninitialized, wherever it is made.
#if defined(__GNUC__) && !defined(__clang__)
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif
#include <regex>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

const std::vector<std::string> kUnits = {"simpson-three-speed", "ravigneaux-four-speed",
                                         "ravigneaux-simple-five-speed", "lepelletier-six-speed"};
const std::vector<std::string> kCases = {"no-reverse-when-hot",
                                         "third-burnt-by-the-servo",
                                         "gauges-that-contradict-each-other",
                                         "no-third-by-telephone",
                                         "nothing-wrong",
                                         "plates-renewed-root-left",
                                         "which-variant-the-gauge-tells",
                                         "came-back-vague",
                                         "dead-speedometer",
                                         "band-close-to-its-limit-by-caliper"};

Ran Gearwhy(const std::string& arguments) {
  return RunCommand(fmt::format("cd '{}' && '{}' {} 2>&1", GEARWHY_SOURCE_DIR, GEARWHY_PROGRAM, arguments));
}

std::string Checked(const std::vector<std::string>& files) {
  std::string command = "python3 '" GEARWHY_SOURCE_DIR "/tests/sheet/page_check.py'";
  for (const std::string& file : files) command += " '" + file + "'";
  return RunCommand(command + " 2>&1").out;
}

std::string AllGood(const std::vector<std::string>& files) {
  std::string text;
  for (const std::string& file : files) text += file + ": good\n";
  return text;
}

// Writes to a file of the folder, and gives its path.
std::string Write(const TemporaryFolder& folder, const std::string& arguments, const std::string& name) {
  const std::string path = folder.Path(name);
  const Ran ran = Gearwhy(fmt::format("{} > '{}'", arguments, path));
  INFO(arguments << ran.out);
  REQUIRE(ran.exit_code == 0);
  return path;
}

TEST_CASE("every kind of page is well-formed and holds nothing from outside") {
  const TemporaryFolder folder;
  std::vector<std::string> files;
  for (const std::string& one : kCases)
    files.push_back(Write(folder, "sheet cases/" + one + ".yaml", one + ".html"));
  for (const std::string& unit : kUnits)
    files.push_back(Write(folder, "unit show " + unit + " --html", unit + ".html"));
  for (const std::string kind : {"--blank", "--for customer"})
    files.push_back(Write(folder, fmt::format("sheet cases/no-reverse-when-hot.yaml {}", kind),
                          fmt::format("of{}.html", kind.substr(2, 3))));
  CHECK(Checked(files) == AllGood(files));
}

TEST_CASE("the check of pages sees what must not be there") {
  const TemporaryFolder folder;
  const std::string page = ReadAll(Write(folder, "sheet cases/dead-speedometer.yaml", "page.html"));
  const auto with = [&](const std::string& old, const std::string& is) {
    std::string text = page;
    const std::size_t at = text.find(old);
    REQUIRE(at != std::string::npos);
    folder.Write("bad.html", text.replace(at, old.size(), is));
    return Checked({folder.Path("bad.html")});
  };
  for (const auto& [old, is] :
       std::vector<std::pair<std::string, std::string>>{{"<h1>", "<script>x</script><h1>"},
                                                        {"<h1>", "<h1 onclick=\"x\">"},
                                                        {"<h1>", "<h1><b>"},
                                                        {"<h2 ", "<h2 style=\"x\" "},
                                                        {"style-src 'unsafe-inline'", "style-src *"},
                                                        {"</main>", "<a href=\"javascript:x\">x</a></main>"},
                                                        {"role=\"img\"", ""},
                                                        {"</h1>", "\x7f</h1>"},
                                                        {"</style>", "@import 'x';</style>"},
                                                        {" scope=\"col\"", ""}}) {
    INFO(old << " -> " << is);
    CHECK(with(old, is).find(": good") == std::string::npos);
  }
}

// A copy of a file or a folder with markup behind all that it says (hostile).
void CopyHostile(const std::string& from, const std::string& to) {
  const Ran ran = RunCommand(fmt::format(
      "'" GEARWHY_SOURCE_DIR "/tests/sheet/hostile' '" GEARWHY_SOURCE_DIR "/{}' '{}' 2>&1", from, to));
  INFO(ran.out);
  REQUIRE(ran.exit_code == 0);
}

TEST_CASE("no text of a rulebook, a unit or a case becomes more than text") {
  const TemporaryFolder folder;
  CopyHostile("rules", folder.Path("rules"));
  std::vector<std::string> files;
  const std::string rules = fmt::format(" --rules '{}'", folder.Path("rules"));
  for (const std::string& one : kCases) {
    CopyHostile("cases/" + one + ".yaml", folder.Path("cases/" + one + ".yaml"));
    const std::string path = fmt::format("'{}'", folder.Path("cases/" + one + ".yaml"));
    files.push_back(Write(folder, "sheet " + path + rules, one + ".html"));
    files.push_back(Write(folder, "sheet --blank " + path + rules, one + "-blank.html"));
    files.push_back(Write(folder, "sheet --for customer " + path + rules, one + "-customer.html"));
    CHECK(ReadAll(files.back()).find("&lt;script&gt;alert(1)") != std::string::npos);
  }
  for (const std::string& unit : kUnits)
    files.push_back(Write(folder, "unit show " + unit + " --html" + rules, unit + ".html"));
  CHECK(Gearwhy(fmt::format("sheet '{}' -o '{}'{}", folder.Path("cases"), folder.Path("shop"), rules))
            .exit_code == 0);
  files.push_back(folder.Path("shop/index.html"));
  CHECK(ReadAll(files.back()).find("&lt;script&gt;alert(1)") != std::string::npos);
  CHECK(Checked(files) == AllGood(files));
}

TEST_CASE("the same case gives the same bytes") {
  for (const std::string arguments :
       {"sheet cases/no-reverse-when-hot.yaml", "why cases/no-reverse-when-hot.yaml --format dot",
        "unit show lepelletier-six-speed --html"}) {
    const Ran once = Gearwhy(arguments);
    CHECK(once.exit_code == 0);
    CHECK(once.out == Gearwhy(arguments).out);
  }
}

// Without spaces and ends of lines.
std::string Bare(const std::string& text) {
  std::string bare;
  for (const char c : text) {
    if (c != ' ' && c != '\n') bare += c;
  }
  return bare;
}

TEST_CASE("the sheet says what rank says, in the same words and numbers") {
  for (const std::string& one : kCases) {
    INFO(one);
    std::string page =
        std::regex_replace(Gearwhy("sheet cases/" + one + ".yaml").out, std::regex("<[^>]*>"), " ");
    page = std::regex_replace(page, std::regex("&#39;"), "'");
    const std::string brief = Gearwhy("rank --brief cases/" + one + ".yaml").out;
    CHECK(Bare(page).find(Bare(brief.substr(brief.find("\nWhat ")))) != std::string::npos);
  }
}

TEST_CASE("a file is written whole or not at all, and a folder gets an index") {
  const TemporaryFolder folder;
  CHECK(Gearwhy(fmt::format("sheet cases/nothing-wrong.yaml -o '{}'", folder.Path("a.html"))).out == "");
  CHECK(ReadAll(folder.Path("a.html")) == Gearwhy("sheet cases/nothing-wrong.yaml").out);
  const Ran no_folder =
      Gearwhy(fmt::format("sheet cases/nothing-wrong.yaml -o '{}'", folder.Path("no/a.html")));
  CHECK(no_folder.exit_code == 1);
  CHECK(no_folder.out.find("[cannot-write]") != std::string::npos);
  CHECK(Gearwhy("sheet cases").exit_code == 2);
  CHECK(Gearwhy("sheet cases/nothing-wrong.yaml --for nobody").exit_code == 2);

  fs::create_directories(folder.path() / "shop/sub");
  for (const std::string name : {"nothing-wrong", "dead-speedometer"})
    fs::copy_file(GEARWHY_SOURCE_DIR "/cases/" + name + ".yaml", folder.path() / "shop" / (name + ".yaml"));
  fs::copy_file(GEARWHY_SOURCE_DIR "/cases/only-fourth.yaml", folder.path() / "shop/sub/only-fourth.yaml");
  folder.Write("shop/torn.yaml", "case: torn\n");
  const Ran all = Gearwhy(fmt::format("sheet '{}' -o '{}'", folder.Path("shop"), folder.Path("out")));
  CHECK(all.exit_code == 1);  // one of them is torn, and is told
  CHECK(all.out.find("torn.yaml:1:1: error") != std::string::npos);
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder.path() / "out"))
    names.push_back(entry.path().filename().string());
  std::sort(names.begin(), names.end());
  CHECK(names == std::vector<std::string>{"dead-speedometer.html", "index.html", "nothing-wrong.html",
                                          "sub-only-fourth.html"});
  const std::string index = ReadAll(folder.Path("out/index.html"));
  for (const std::string link : {"./dead-speedometer.html", "./nothing-wrong.html", "./sub-only-fourth.html"})
    CHECK(index.find("href=\"" + link + "\"") != std::string::npos);
  CHECK(index.find("torn: the case has errors") != std::string::npos);
}

// Where something of a picture stands.
std::vector<std::vector<double>> Numbers(const std::string& text, const std::string& pattern) {
  std::vector<std::vector<double>> found;
  const std::regex regex(pattern);
  for (std::sregex_iterator it(text.begin(), text.end(), regex), end; it != end; ++it) {
    std::vector<double> row;
    for (std::size_t i = 1; i < it->size(); ++i) row.push_back(std::stod((*it)[i]));
    found.push_back(row);
  }
  return found;
}

TEST_CASE("the speeds in the picture of a unit are those of its tooth counts") {
  // Simpson train, sun 33, ring 72 in both sets. By Benford and Leising's lever (SAE 810102, from memory)
  // with the output at 0, the ring of the front set stands at -S on a lever whose sun stands at R, and the
  // rear carrier beyond at (distance of the common sun, laid over) R S / (R + S).
  const std::string page = Gearwhy("unit show simpson-three-speed --html").out;
  const std::string picture = page.substr(page.find("<svg"), page.find("</svg>") - page.find("<svg"));
  const std::string n = "\"(-?[0-9.]+)\"";
  const auto shafts = Numbers(picture, "class=\"shaft\" x1=" + n);
  const auto ranges = Numbers(picture, "class=\"range\" x1=" + n + " y1=" + n + " x2=" + n + " y2=" + n);
  const auto zero = Numbers(picture, "class=\"axis\" x1=\"[^\"]*\" y1=" + n);
  const auto one = Numbers(picture, "class=\"grid\" x1=\"[^\"]*\" y1=" + n);
  REQUIRE(shafts.size() == 4);
  REQUIRE(zero.size() == 1);
  REQUIRE(one.size() == 1);
  const double sun = shafts[0][0], rear_carrier = shafts[1][0], output = shafts[2][0], ring = shafts[3][0];
  constexpr double kR = 72, kS = 33;
  CHECK((output - sun) / (ring - output) == Approx(kR / kS).epsilon(0.01));
  CHECK((rear_carrier - sun) / (output - rear_carrier) == Approx(kR / kS).epsilon(0.01));
  // A range is drawn once: first, second, third, reverse.
  REQUIRE(ranges.size() == 4);
  std::vector<double> ratios;
  for (const std::vector<double>& line : ranges) {
    const auto speed_at = [&](double x) {
      const double y = line[1] + (line[3] - line[1]) * (x - line[0]) / (line[2] - line[0]);
      return (y - zero[0][0]) / (one[0][0] - zero[0][0]);
    };
    ratios.push_back(speed_at(ring) / speed_at(output));  // the ring is the input where it turns with it
    if (std::abs(speed_at(ring) - 1) > 0.01) ratios.back() = speed_at(sun) / speed_at(output);
  }
  std::sort(ratios.begin(), ratios.end());
  CHECK(ratios[0] == Approx(-kR / kS).epsilon(0.01));
  CHECK(ratios[1] == Approx(1).epsilon(0.01));
  CHECK(ratios[2] == Approx(1 + kS / kR).epsilon(0.01));
  CHECK(ratios[3] == Approx(2 + kS / kR).epsilon(0.01));
}

TEST_CASE("the graph for Graphviz is escaped, and drawn by nothing else") {
  const TemporaryFolder folder;
  const Ran dot = Gearwhy("why cases/no-reverse-when-hot.yaml lip_cracked:E.piston --format dot");
  CHECK(dot.exit_code == 0);
  CHECK(dot.out.rfind("digraph reasons {\n", 0) == 0);
  // Outside of quoted texts there are only our own words.
  const std::string bare = std::regex_replace(dot.out, std::regex(R"("(\\.|[^"\\])*")"), "");
  CHECK(std::regex_match(bare, std::regex(R"([A-Za-z0-9_ =,;.\[\]{}>\n-]*)")));
  CHECK(Gearwhy("why cases/no-reverse-when-hot.yaml --format dot --network").exit_code == 2);
}

}  // namespace
}  // namespace gearwhy
