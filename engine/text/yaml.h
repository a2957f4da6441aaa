// The strict YAML tree: the only way YAML gets in, and the only user of yaml-cpp.
//
// In: one Source. Out: a tree in which every key and value knows its place, or nothing and diagnostics.
// The tree is plain data: maps keep the order of the file, scalars keep their text and whether they were
// quoted; nothing is guessed about types. Refused, each with a located error and a hint: duplicate and
// non-scalar keys, anchors, aliases, tags, further documents, invalid UTF-8, control and bidirectional
// characters, tab indentation, unclosed quotes and brackets, too deep, too many nodes, too long lines.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "engine/text/diagnostic.h"
#include "engine/text/source.h"

namespace gearwhy {

struct YamlEntry;

struct YamlNode {
  enum class Kind { kEmpty, kScalar, kList, kMap };

  Kind kind = Kind::kEmpty;
  Place place;                     // of the first character; of an empty value: just behind its key's colon
  std::string text;                // kScalar: the decoded text
  bool quoted = false;             // kScalar: written in quotes or as a block, so never a number or a word
  std::vector<YamlNode> items;     // kList
  std::vector<YamlEntry> entries;  // kMap, in the order of the file

  bool IsEmpty() const { return kind == Kind::kEmpty; }
  bool IsScalar() const { return kind == Kind::kScalar; }
  bool IsList() const { return kind == Kind::kList; }
  bool IsMap() const { return kind == Kind::kMap; }
  // The value under `key`, or nullptr. kMap only. Valid as long as the node.
  const YamlNode* Find(std::string_view key) const;
};

struct YamlEntry {
  std::string key;
  Place key_place;
  YamlNode value;
};

struct YamlLimits {
  int depth = 32;
  int nodes = 200'000;
  std::size_t scalar_bytes = 64 * 1024;
  std::size_t line_bytes = 16 * 1024;  // of each of several lines
};

// The tree of one source, or nothing when there was any error. An empty document gives a kEmpty node.
std::optional<YamlNode> ParseYaml(const Sources& sources, int source, Diagnostics& diagnostics,
                                  const YamlLimits& limits = {});

// The trees of several sources, in their order, read on as many threads as the machine has cores. Diagnostics
// come out as if they had been read one after the other.
std::vector<std::optional<YamlNode>> ParseYamlFiles(const Sources& sources, const std::vector<int>& indices,
                                                    Diagnostics& diagnostics, const YamlLimits& limits = {});

}  // namespace gearwhy
