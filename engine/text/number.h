// Numbers as people write them, read strictly and without regard to the locale.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace gearwhy {

// A decimal number: digits with an optional sign, fraction and exponent. On failure returns nothing and sets
// `why` to the rest of a sentence: "`1,5` is not a number; use 1.5", "`017` starts with a zero; ...".
// Refused: leading zeros, `inf`, `nan`, hexadecimal, a comma, a lone sign, anything behind the number,
// overflow.
std::optional<double> ParseNumber(std::string_view text, std::string* why);

// A number as short as it can be written and still read back as the same double.
std::string ShowNumber(double number);

// "1 case", "2 cases", "0 more errors": `one` takes an s when there is not exactly one.
std::string Counted(std::size_t count, std::string_view one);

}  // namespace gearwhy
