// What all fuzz targets have in common. A target is a function that takes any bytes and must come back: it
// ends the process where something does not hold, and the fuzzer, or the sanitizers, tell of which input.
//
// An input of several texts has a line `%%` between them, which is no YAML.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "engine/text/diagnostic.h"
#include "tests/support/sound_tree.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace gearwhy {

// `wrong`: what does not hold; empty where all does.
inline void Must(const std::string& wrong) {
  if (wrong.empty()) return;
  std::fprintf(stderr, "does not hold: %s\n", wrong.c_str());
  std::abort();
}
inline void Must(bool holds, const char* what) { Must(holds ? "" : what); }

inline std::string TextOf(const std::uint8_t* data, std::size_t size) {
  return std::string(reinterpret_cast<const char*>(data), size);
}

inline std::vector<std::string> PartsOf(const std::string& text) {
  static const std::string kBetween = "\n%%\n";
  std::vector<std::string> parts;
  std::size_t from = 0;
  for (std::size_t to; (to = text.find(kBetween, from)) != std::string::npos; from = to + kBetween.size())
    parts.push_back(text.substr(from, to + 1 - from));
  parts.push_back(text.substr(from));
  return parts;
}

// Something was read, or it was said why not; and what was said is sound.
inline void MustHaveAnswered(bool read, const Diagnostics& diagnostics, const Sources& sources) {
  Must(read != diagnostics.HasErrors(), "either something is read or there is an error");
  Must(WrongInMessages(diagnostics, sources));
}

}  // namespace gearwhy
