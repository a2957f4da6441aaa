// What several entries of a unit file say alike: a quantity, a number for all variants or one for each, a
// part of an element.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/model/quantity.h"
#include "engine/model/unit.h"
#include "engine/text/fields.h"

namespace gearwhy {

// The quantity under a key; `to` stays what it was where there is none.
void ReadUnder(Fields& fields, const char* key, Presence presence, Dimension dimension,
               const QuantityRange& range, double& to, const char* help);

// `0.8 mm`, or `{light: 0.8 mm, heavy: 1.0 mm}` with every variant of the unit. `key`: as it is called in
// messages.
void ReadByVariant(const YamlNode& node, const char* key, Dimension dimension, const QuantityRange& range,
                   const Unit& unit, std::map<std::string, double>& to, Diagnostics& diagnostics);

// Sizes of what is chosen by its thickness; they ascend, or that is reported.
void ReadSizes(const std::vector<YamlNode>& nodes, std::vector<double>& to, Diagnostics& diagnostics);

// The id of a part of the element, or empty after reporting that there is none.
std::string ReadPartOf(const std::string& element, const std::string& name, const Unit& unit,
                       const Place& place, Diagnostics& diagnostics);

}  // namespace gearwhy
