// One code point at a time out of UTF-8.
//
// Well-formed means what the Unicode Standard calls so (chapter 3, table 3-7, "Well-Formed UTF-8 Byte
// Sequences"): no overlong forms, no surrogates, nothing above U+10FFFF.
#pragma once

#include <cstddef>
#include <string_view>

namespace gearwhy {

struct CodePoint {
  char32_t value = 0;
  std::size_t bytes = 1;  // how many bytes it takes; 1 for an invalid byte
  bool valid = false;     // false: `value` is the byte that fits nowhere
};

// The code point that starts at `at`, which must be inside the text.
CodePoint DecodeUtf8(std::string_view text, std::size_t at);

}  // namespace gearwhy
