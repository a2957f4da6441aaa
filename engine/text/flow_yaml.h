// Flow YAML: values written as YAML on one line.
#pragma once

#include <string>
#include <string_view>

#include "engine/text/yaml.h"

namespace gearwhy {

// "{cannot_hold: $e}", "[a, b]", "3%"; "" of an empty value. What YAML would read otherwise is quoted.
std::string FlowYaml(const YamlNode& node);

// Free text in double quotes, with escapes.
std::string QuotedYaml(std::string_view text);

}  // namespace gearwhy
