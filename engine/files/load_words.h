// Rulebook files -> Words: kinds, facts, events and scales, from all files together.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/model/words.h"
#include "engine/text/yaml.h"

namespace gearwhy {

// `roots` are the top maps of the files. Everything wrong is reported; what could be read is returned, so
// that later stages can report their own errors in the same go.
Words LoadWords(const std::vector<YamlNode>& roots, Diagnostics& diagnostics);

// The keys of a rulebook file that LoadWords reads.
const std::vector<std::string>& WordKeys();

// A chance: a word of the scale, `12%`, `3 in 10`, or a number between 0 and 1. Reports anything else.
std::optional<double> ReadChance(const YamlNode& node,
                                 const std::map<std::string, double, std::less<>>& how_often,
                                 Diagnostics& diagnostics);

// Reports each name in braces of `text` that is not in `known`, and unclosed braces.
void CheckBraces(const std::string& text, const std::vector<std::string>& known, const Place& place,
                 Diagnostics& diagnostics);

}  // namespace gearwhy
