// Entry shape: which keys a kind of entry has, and what each of them takes.
//
// Plain data, for help and for schemas. It comes from the loaders themselves: DescribeFields in fields.h.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace gearwhy {

enum class Presence { kNeeded, kOptional };

struct FieldShape {
  const char* key = "";
  Presence presence = Presence::kOptional;
  // What the value is, or each of a list or a map of them: "text", "share" and others that
  // render/json_schema.cc describes, or a kind of entry, "cause". One of several: "slot|name".
  const char* takes = "";
  const char* help = "";  // a sentence
  enum class Form { kOne, kList, kMap } form = Form::kOne;
  std::vector<std::string_view> choices = {};  // the value is one of these
  // Only where another key says one of `only_values`, or, without values, says anything.
  const char* only_key = nullptr;
  std::vector<const char*> only_values = {};
};

struct EntryShape {
  std::string kind;  // "chart"
  std::vector<FieldShape> fields = {};
  std::vector<const char*> one_of = {};  // of these keys exactly one stands there
};

// A file, and behind it each kind of entry in it.
using FileShape = std::vector<EntryShape>;

}  // namespace gearwhy
