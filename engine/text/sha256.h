// The SHA-256 of a text, so that anyone can check with `sha256sum` which rulebook an answer came from.
#pragma once

#include <string>
#include <string_view>

namespace gearwhy {

// 64 lower-case hexadecimal digits (FIPS 180-4).
std::string Sha256Hex(std::string_view bytes);

}  // namespace gearwhy
