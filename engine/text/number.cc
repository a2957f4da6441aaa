#include "engine/text/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cstddef>
#include <system_error>

#include "engine/text/ascii.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

std::size_t SkipDigits(std::string_view text, std::size_t at) {
  while (at < text.size() && IsDigit(text[at])) ++at;
  return at;
}

// What is wrong with text that is no number, as the rest of a sentence.
std::string Reason(std::string_view text) {
  const std::string shown = InTicks(text);
  if (text.empty()) return "there is no number";
  if (text.starts_with("\u2212") || text.starts_with("\u2013")) {
    return fmt::format("{} starts with a typographic minus; use -", shown);
  }
  std::string_view body = text;
  if (body[0] == '+' || body[0] == '-') body.remove_prefix(1);
  if (body.empty()) return fmt::format("{} is a sign without a number", shown);

  const std::string lower = Lower(body);
  if (lower == "inf" || lower == ".inf" || lower == "infinity" || lower == "nan" || lower == ".nan") {
    return fmt::format("{} is not allowed; only finite numbers are", shown);
  }
  if (lower.starts_with("0x") || lower.starts_with("0o") || lower.starts_with("0b")) {
    return fmt::format("{} is not a decimal number", shown);
  }
  if (body[0] == '.' && body.size() > 1 && IsDigit(body[1])) {
    return fmt::format("{} lacks the digit before the point; use {}0{}", shown, text[0] == '-' ? "-" : "",
                       body);
  }
  if (!IsDigit(body[0])) return fmt::format("{} is not a number", shown);

  const std::size_t whole = SkipDigits(body, 0);
  const std::string_view rest = body.substr(whole);
  if (whole > 1 && body[0] == '0') {
    const std::size_t first = std::min(body.find_first_not_of('0'), whole - 1);
    return fmt::format("{} starts with a zero; use {}{}", shown, text[0] == '-' ? "-" : "",
                       body.substr(first));
  }
  if (rest.starts_with(',')) {
    const std::size_t end = SkipDigits(rest, 1);
    if (end == 4 || end < rest.size()) {
      return fmt::format("{} is not a number; use a point for decimals and nothing for thousands", shown);
    }
    if (end > 1)
      return fmt::format("{} is not a number; use {}{}.{}", shown, text[0] == '-' ? "-" : "",
                         body.substr(0, whole), rest.substr(1));
  }
  if (rest == ".")
    return fmt::format("{} lacks the digits behind the point; use {}", shown,
                       text.substr(0, text.size() - 1));
  return fmt::format("{} has more behind the number", shown);
}

}  // namespace

std::optional<double> ParseNumber(std::string_view text, std::string* why) {
  const auto fail = [&](std::string reason) {
    if (why) *why = std::move(reason);
    return std::nullopt;
  };
  // sign? (0 | [1-9][0-9]*) (. [0-9]+)? ([eE] sign? [0-9]+)?
  std::size_t at = !text.empty() && (text[0] == '+' || text[0] == '-') ? 1 : 0;
  const std::size_t whole = at;
  at = SkipDigits(text, at);
  if (at == whole || (at - whole > 1 && text[whole] == '0')) return fail(Reason(text));
  if (at < text.size() && text[at] == '.') {
    const std::size_t fraction = at + 1;
    at = SkipDigits(text, fraction);
    if (at == fraction) return fail(Reason(text));
  }
  if (at < text.size() && (text[at] == 'e' || text[at] == 'E')) {
    std::size_t exponent = at + 1;
    if (exponent < text.size() && (text[exponent] == '+' || text[exponent] == '-')) ++exponent;
    at = SkipDigits(text, exponent);
    if (at == exponent) return fail(InTicks(text) + " lacks the digits of its exponent");
  }
  if (at != text.size()) return fail(Reason(text));

  const char* begin = text.data() + (text[0] == '+' ? 1 : 0);
  double value = 0;
  const auto [end, error] = std::from_chars(begin, text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size()) {
    return fail(InTicks(text) + " is too large or too small for a number");
  }
  return value + 0.0;  // no negative zero
}

std::string ShowNumber(double number) { return fmt::format("{}", number); }

std::string Counted(std::size_t count, std::string_view one) {
  return fmt::format("{} {}{}", count, one, count == 1 ? "" : "s");
}

}  // namespace gearwhy
