#include "engine/text/utf8.h"

namespace gearwhy {

CodePoint DecodeUtf8(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[at + i]); };
  const unsigned char first = byte(0);
  const CodePoint invalid{first, 1, false};
  if (first < 0x80) return {first, 1, true};

  // The length, and the bounds of the second byte that keep out overlong forms, surrogates and what is too
  // large.
  std::size_t length = 0;
  unsigned char low = 0x80, high = 0xBF;
  if (first >= 0xC2 && first <= 0xDF) {
    length = 2;
  } else if (first >= 0xE0 && first <= 0xEF) {
    length = 3;
    if (first == 0xE0) low = 0xA0;
    if (first == 0xED) high = 0x9F;
  } else if (first >= 0xF0 && first <= 0xF4) {
    length = 4;
    if (first == 0xF0) low = 0x90;
    if (first == 0xF4) high = 0x8F;
  } else {
    return invalid;
  }
  if (text.size() - at < length || byte(1) < low || byte(1) > high) return invalid;

  char32_t value = first & (0xFFu >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(i) & 0xC0) != 0x80) return invalid;
    value = (value << 6) | (byte(i) & 0x3Fu);
  }
  return {value, length, true};
}

}  // namespace gearwhy
