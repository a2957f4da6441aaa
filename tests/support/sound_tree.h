// What holds of every tree and every message that reading a text of YAML gives, whatever the text. Said as
// what is wrong, empty where nothing is, so that tests and fuzz targets ask the same.
#pragma once

#include <algorithm>
#include <string>

#include "engine/text/safe_text.h"
#include "engine/text/utf8.h"
#include "engine/text/yaml.h"

namespace gearwhy {

// A place lies in the text that it speaks of.
inline std::string WrongInPlace(const Place& place, const Sources& sources) {
  if (place.source < 0) return "";
  if (place.source >= sources.size()) return "a place in no text";
  if (place.line < 0 || place.length < 1) return "a line below 0, or a length below 1";
  if (place.line == 0) return "";
  const std::string& text = sources.Text(place.source);
  if (place.line > 1 + std::count(text.begin(), text.end(), '\n')) return "a line behind the last";
  if (place.column < 1) return "a column below 1";
  // A carriage return at the very end of a text stands behind its line.
  if (static_cast<std::size_t>(place.column) > sources.Line(place.source, place.line).size() + 1)
    return "a column behind the line";
  return "";
}

// What was decoded is UTF-8 without an escape character.
inline std::string WrongInTree(const YamlNode& node, const Sources& sources) {
  if (std::string wrong = WrongInPlace(node.place, sources); !wrong.empty()) return wrong;
  for (std::size_t at = 0; at < node.text.size();) {
    const CodePoint c = DecodeUtf8(node.text, at);
    if (!c.valid || c.value == 0x1B) return "a harmful character in a value";
    at += c.bytes;
  }
  for (const YamlNode& item : node.items) {
    if (std::string wrong = WrongInTree(item, sources); !wrong.empty()) return wrong;
  }
  for (const YamlEntry& entry : node.entries) {
    if (std::string wrong = WrongInPlace(entry.key_place, sources); !wrong.empty()) return wrong;
    if (std::string wrong = WrongInTree(entry.value, sources); !wrong.empty()) return wrong;
  }
  return "";
}

// Every message stands where it says, and is harmless for a terminal.
inline std::string WrongInMessages(const Diagnostics& diagnostics, const Sources& sources) {
  for (const Diagnostic& d : diagnostics.Sorted()) {
    if (std::string wrong = WrongInPlace(d.place, sources); !wrong.empty()) return wrong;
    for (const Note& note : d.notes) {
      if (std::string wrong = WrongInPlace(note.place, sources); !wrong.empty()) return wrong;
    }
  }
  const std::string shown = RenderDiagnostics(diagnostics, sources);
  return SafeText(shown) == shown ? "" : "a harmful character in a message";
}

}  // namespace gearwhy
