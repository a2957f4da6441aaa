#include "engine/text/number.h"

#include <limits>
#include <string>

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

TEST_CASE("numbers are read as written") {
  const struct {
    const char* text;
    double value;
  } cases[] = {
      {"0", 0},
      {"-0", 0},
      {"7", 7},
      {"+7", 7},
      {"-12", -12},
      {"1.5", 1.5},
      {"0.25", 0.25},
      {"-0.5", -0.5},
      {"10.0", 10},
      {"1e3", 1000},
      {"1E+3", 1000},
      {"2.5e-2", .025},
      {"0e5", 0},
      {"123456789", 123456789},
      // Largest and smallest normal number of IEEE 754 binary64.
      {"1.7976931348623157e308", std::numeric_limits<double>::max()},
      {"2.2250738585072014e-308", std::numeric_limits<double>::min()},
  };
  for (const auto& c : cases) {
    CAPTURE(c.text);
    std::string why;
    const auto number = ParseNumber(c.text, &why);
    CHECK(why.empty());
    REQUIRE(number);
    CHECK(*number == c.value);
  }
  CHECK(ShowNumber(*ParseNumber("-0", nullptr)) == "0");
}

TEST_CASE("what is no number is refused with a reason") {
  const struct {
    const char* text;
    const char* why;
  } cases[] = {
      {"", "there is no number"},
      {"-", "`-` is a sign without a number"},
      {"+", "`+` is a sign without a number"},
      {"high", "`high` is not a number"},
      {"--1", "`--1` is not a number"},
      {" 1", "` 1` is not a number"},
      {"017", "`017` starts with a zero; use 17"},
      {"-007.5", "`-007.5` starts with a zero; use -7.5"},
      {"00", "`00` starts with a zero; use 0"},
      {"00.5", "`00.5` starts with a zero; use 0.5"},
      {"1,5", "`1,5` is not a number; use 1.5"},
      {"-1,25", "`-1,25` is not a number; use -1.25"},
      {"1,000", "`1,000` is not a number; use a point for decimals and nothing for thousands"},
      {"1,000.5", "`1,000.5` is not a number; use a point for decimals and nothing for thousands"},
      {"1,", "`1,` has more behind the number"},
      {".5", "`.5` lacks the digit before the point; use 0.5"},
      {"-.5", "`-.5` lacks the digit before the point; use -0.5"},
      {"5.", "`5.` lacks the digits behind the point; use 5"},
      {"1e", "`1e` lacks the digits of its exponent"},
      {"1e+", "`1e+` lacks the digits of its exponent"},
      {"inf", "`inf` is not allowed; only finite numbers are"},
      {"-.inf", "`-.inf` is not allowed; only finite numbers are"},
      {"NaN", "`NaN` is not allowed; only finite numbers are"},
      {"0x1F", "`0x1F` is not a decimal number"},
      {"5 bar", "`5 bar` has more behind the number"},
      {"1_000", "`1_000` has more behind the number"},
      {"1 000", "`1 000` has more behind the number"},
      {"12:30", "`12:30` has more behind the number"},
      {"1.2.3", "`1.2.3` has more behind the number"},
      {"10%", "`10%` has more behind the number"},
      {"\u22125", "`\u22125` starts with a typographic minus; use -"},
      {"1e999", "`1e999` is too large or too small for a number"},
      {"1e-999", "`1e-999` is too large or too small for a number"},
  };
  for (const auto& c : cases) {
    CAPTURE(c.text);
    std::string why;
    CHECK_FALSE(ParseNumber(c.text, &why));
    CHECK(why == c.why);
    CHECK_FALSE(ParseNumber(c.text, nullptr));
  }
}

TEST_CASE("a number is shown as short as it reads back") {
  const struct {
    double number;
    const char* shown;
  } cases[] = {{0, "0"},
               {1, "1"},
               {-2.5, "-2.5"},
               {0.1, "0.1"},
               {0.1 + 0.2, "0.30000000000000004"},
               {1e6, "1000000"},
               {1e-7, "1e-07"},
               {1.0 / 3, "0.3333333333333333"},
               {1e300, "1e+300"}};
  for (const auto& c : cases) {
    CHECK(ShowNumber(c.number) == c.shown);
    CHECK(ParseNumber(ShowNumber(c.number), nullptr) == c.number);
  }
}

TEST_CASE("a count of one stands alone, every other with an s") {
  CHECK(Counted(0, "case") == "0 cases");
  CHECK(Counted(1, "case") == "1 case");
  CHECK(Counted(2, "more finding") == "2 more findings");
}

}  // namespace
}  // namespace gearwhy
