#include "engine/text/flow_yaml.h"

#include <fmt/format.h>

#include "engine/text/safe_text.h"
#include "engine/text/utf8.h"

namespace gearwhy {

std::string FlowYaml(const YamlNode& node) {
  std::string out;
  switch (node.kind) {
    case YamlNode::Kind::kEmpty:
      return "";
    case YamlNode::Kind::kScalar:
      return node.quoted || node.text.starts_with("%") ||
                     node.text.find_first_of(",[]{}:#&*!|>'\"@`\n") != std::string::npos
                 ? QuotedYaml(node.text)
                 : node.text;
    case YamlNode::Kind::kList:
      for (const YamlNode& item : node.items) out += (out.empty() ? "" : ", ") + FlowYaml(item);
      return "[" + out + "]";
    case YamlNode::Kind::kMap:
      for (const YamlEntry& entry : node.entries)
        out += fmt::format("{}{}: {}", out.empty() ? "" : ", ", entry.key, FlowYaml(entry.value));
      return "{" + out + "}";
  }
  return out;
}

std::string QuotedYaml(std::string_view text) {
  std::string out = "\"";
  for (std::size_t at = 0; at < text.size();) {
    const CodePoint point = DecodeUtf8(text, at);
    if (text[at] == '\n') {
      out += "\\n";
    } else if (text[at] == '\t') {
      out += "\\t";
    } else if (point.valid && !IsHarmful(point.value)) {  // what a case file may not hold is left out
      if (text[at] == '"' || text[at] == '\\') out += '\\';
      out += text.substr(at, point.bytes);
    }
    at += point.bytes;
  }
  return out + "\"";
}

}  // namespace gearwhy
