// A shop's folders, as the program takes them: from the command line, the environment and the config file;
// what it says of them; starts of files that are right as they stand.
#include <fmt/format.h>

#include <filesystem>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

// A small rulebook, a case of it, and two shops.
struct Shop {
  TemporaryFolder folder;

  Shop() {
    folder.Write("book/book.yaml", R"(rulebook: small
version: 1
facts:
  towed: {says: it towed}
events:
  worn: {type: fault, says: the lining is worn, says_absent: the lining is sound}
  bent: {type: fault, says: the rod is bent}
  slips: {type: finding, says: it slips, says_absent: it holds, ask: [slips]}
trust:
  customer: {noticed: 90%, mistaken: 10%, says: the customer says so}
access:
  in_car: {says: in the car}
chances:
  - {id: wears, fault: worn, chance: 2%, because: Linings wear., factors: [{id: worn-by-towing, when: [towed], odds: 3, because: Heat.}]}
  - {id: bends, fault: bent, chance: 2%, because: Rods bend.}
charts:
  - id: slip
    symptom: slips
    unexplained: 1%
    causes:
      - {cause: worn, how_often: 80%, because: It does not grip.}
      - {cause: bent, how_often: 60%, because: It does not press.}
checks:
  - {id: try, says: trying it, tells: [slips], minutes: 5, access: in_car, how: Drive it.}
)");
    folder.Write("one/own.yaml",
                 "changes:\n  - {tune: wears, to: {chance: 1%}, because: our linings last}\n");
    folder.Write("two/own.yaml", "changes:\n  - {tune: wears, to: {chance: 9%}, because: ours do not}\n");
    folder.Write("case.yaml",
                 "case: case\ntitle: slips\ncomplaint:\n  - present: slips\nexpect:\n  - fault: worn\n");
  }
  Ran Run(const std::string& arguments, const std::string& environment = "") const {
    return RunCommand(fmt::format("cd '{}' && {} '{}' {} 2>&1", folder.path().string(), environment,
                                  GEARWHY_PROGRAM, arguments));
  }
};

TEST_CASE(
    "the folders in force are those of the command line, else of the environment, else of the config file") {
  const Shop shop;
  shop.folder.Write("config/gearwhy/config.toml",
                    "rules = \"../../book\"\nshop = [\"../../one\", \"../../two\"]\n");
  const std::string config = "XDG_CONFIG_HOME='" + shop.folder.Path("config") + "'";
  const std::string list = "rules list --layers";
  const auto has = [](const Ran& ran, const char* text) { return ran.out.find(text) != std::string::npos; };
  const Ran by_file = shop.Run(list, config);
  INFO(by_file.out);
  CHECK(has(by_file, "one: 1 file, 0 of its own, 1 change"));
  CHECK(has(by_file, "two: 1 file, 0 of its own, 1 change"));
  CHECK(has(by_file, "overridden by"));
  const Ran by_environment = shop.Run(list + " --rules book", config + " GEARWHY_SHOP=two");
  CHECK(has(by_environment, "2  two: 1 file"));
  CHECK_FALSE(has(by_environment, "one: 1 file"));
  const Ran by_command = shop.Run(list + " --rules book --shop one", config + " GEARWHY_SHOP=two");
  CHECK(has(by_command, "2  one: 1 file"));
  CHECK_FALSE(has(by_command, "two: 1 file"));
  const Ran none = shop.Run(list + " --no-shop", config);
  CHECK(has(none, "No shop's own folder"));
  CHECK(has(shop.Run(list, config + " GEARWHY_SHOP="), "No shop's own folder"));
}

TEST_CASE("a case behind the option of a folder is a case, and no folder") {
  const Shop shop;
  const Ran one = shop.Run("rank --rules book --shop one case.yaml --brief");
  INFO(one.out);
  CHECK(one.exit_code == 0);
  CHECK(one.out.starts_with("slips (case)"));
  const Ran two = shop.Run("rank --rules book --shop one --shop two case.yaml --brief");
  CHECK(two.exit_code == 0);
  CHECK(two.out != one.out);
}

TEST_CASE("a config file that is wrong says so") {
  const Shop shop;
  shop.folder.Write("config/gearwhy/config.toml", "shops = [\"one\"]\n");
  const std::string file = shop.folder.Path("config");
  const Ran ran = shop.Run("rules list", "XDG_CONFIG_HOME='" + file + "'");
  CHECK(ran.exit_code == 1);
  CHECK(ran.out ==
        "error: " + file + "/gearwhy/config.toml: it has no key `shops`; did you mean `shop`? [config]\n");
}

TEST_CASE("what a folder changes is told in sentences, and so is how rankings move by it") {
  const Shop shop;
  const Ran ran = shop.Run("rules diff case.yaml --rules book --shop one");
  CHECK(ran.exit_code == 0);
  INFO(ran.out);
  CHECK(ran.out.starts_with(R"(What one says otherwise
  * The chance wears: chance 1% instead of 2%. Our linings last.
      one/own.yaml:2

How the first three suspects of each case move
  case.yaml
    The rod is bent. )"));
  CHECK(ran.out.find("1 at ") != std::string::npos);
  CHECK(ran.out.find(" instead of 2 at ") != std::string::npos);
  CHECK(ran.out.ends_with("1 ranking moved, 0 not\n"));
}

TEST_CASE("a reason says which layer its number comes from") {
  const Shop shop;
  const Ran why = shop.Run("why case.yaml worn --rules book --shop one --shop two");
  INFO(why.out);
  CHECK(why.out.find("chance 9% instead of 1% by two/own.yaml:2: ours do not") != std::string::npos);
  CHECK(why.out.find("by one/own.yaml") == std::string::npos);  // overridden
  const Ran json = shop.Run("why case.yaml worn --rules book --shop one --format json");
  INFO(json.out);
  CHECK(json.out.find("\"layer\": \"one\"") != std::string::npos);
  CHECK(json.out.find("\"because\": \"our linings last\"") != std::string::npos);
  CHECK(json.out.find("\"layer\": \"book\"") != std::string::npos);  // of the chart
}

TEST_CASE("cases that a folder breaks are told, with the entry that makes the difference") {
  const Shop shop;
  shop.folder.Write("one/more.yaml", "facts:\n  boat: {says: it is in a boat}\n");
  const Ran ran = shop.Run("rules test case.yaml --rules book --changed-by one");
  CHECK(ran.exit_code == 1);
  INFO(ran.out);
  CHECK(ran.out.find("case.yaml: broken by chance wears: chance 1% instead of 2% (one/own.yaml:2)") !=
        std::string::npos);
  CHECK(ran.out.find("By one: 1 broken, 0 mended") != std::string::npos);
  const Ran mended = shop.Run("rules test case.yaml --rules book --shop one --changed-by two");
  CHECK(mended.exit_code == 0);
  CHECK(mended.out.find("By two: 0 broken, 1 mended") != std::string::npos);
}

TEST_CASE("entries that no case brings into play are listed") {
  const Shop shop;
  const Ran ran = shop.Run("rules test case.yaml --rules book --coverage");
  INFO(ran.out);
  CHECK(ran.out.find("0 of 2 chances") != std::string::npos);
  CHECK(ran.out.find("1 of 1 factors: worn-by-towing") != std::string::npos);
}

TEST_CASE("an empty folder is no shop") {
  const Shop shop;
  fs::create_directory(shop.folder.path() / "empty");
  const Ran ran = shop.Run("rules check --rules book --shop empty");
  CHECK(ran.exit_code == 1);
  CHECK(ran.out == "error: there is no YAML file in `empty` [empty-shop]\n");
}

TEST_CASE("what is begun anew is right as it stands") {
  const TemporaryFolder folder;
  const auto run = [&](const std::string& arguments) {
    const Ran ran = RunCommand(
        fmt::format("cd '{}' && '{}' {} 2>&1", folder.path().string(), GEARWHY_PROGRAM, arguments));
    INFO(arguments << "\n" << ran.out);
    CHECK(ran.exit_code == 0);
    return ran.out;
  };
  CHECK(run("new shop our-shop") == "our-shop/changes.yaml is written.\n");
  run("new rule our-shop/loose-tube");
  run("new unit our-shop/units/our-three-speed");
  run("new case our-case --unit our-three-speed --shop our-shop");
  run("rules check --shop our-shop");
  run("unit check our-three-speed --shop our-shop");
  run("rank our-case.yaml --shop our-shop");
  const Ran again = RunCommand(fmt::format("cd '{}' && '{}' new rule our-shop/loose-tube 2>&1",
                                           folder.path().string(), GEARWHY_PROGRAM));
  CHECK(again.exit_code == 1);  // nothing is overwritten
}

TEST_CASE("words are found as they are written, and entries are shown in sentences") {
  const Shop shop;
  const Ran found = shop.Run("rules find 'it slips' --rules book");
  CHECK(found.exit_code == 0);
  INFO(found.out);
  CHECK(found.out.find("- present: slips") != std::string::npos);
  CHECK(found.out.find("told by  try") != std::string::npos);
  const Ran shown = shop.Run("rules show wears case.yaml --rules book --shop two");
  INFO(shown.out);
  CHECK(shown.out.find("Chance wears") != std::string::npos);
  CHECK(shown.out.find("Counts in 1 of 1 case: case.") != std::string::npos);
  const Ran unknown = shop.Run("rules show wear case.yaml --rules book");
  CHECK(unknown.exit_code == 1);
  CHECK(unknown.out == "error: there is no entry called `wear`; did you mean `wears`? [no-entry]\n");
}

}  // namespace
}  // namespace gearwhy
