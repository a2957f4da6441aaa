#include "engine/text/source.h"

#include <fmt/format.h>

#include <cassert>
#include <utility>

namespace gearwhy {
namespace {
constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
}

int Sources::Add(std::string name, std::string text) {
  sources_.push_back({std::move(name), "", {}});
  const int source = size() - 1;
  FillIn(source, std::move(text));
  return source;
}

void Sources::FillIn(int announced, std::string text) {
  assert(announced >= base_size_ && announced < size());
  std::vector<std::size_t> starts{text.starts_with(kByteOrderMark) ? kByteOrderMark.size() : 0};
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '\n') starts.push_back(i + 1);
  }
  Source& source = sources_[static_cast<std::size_t>(announced - base_size_)];
  source.text = std::move(text);
  source.line_starts = std::move(starts);
}

const Sources::Source& Sources::Get(int source) const {
  assert(source >= 0 && source < size());
  return source < base_size_ ? base_->Get(source) : sources_[static_cast<std::size_t>(source - base_size_)];
}

const std::string& Sources::Name(int source) const { return Get(source).name; }

const std::string& Sources::Text(int source) const { return Get(source).text; }

std::string_view Sources::Line(int source, int line) const {
  const Source& s = Get(source);
  if (line < 1 || static_cast<std::size_t>(line) > s.line_starts.size()) return {};
  const auto index = static_cast<std::size_t>(line - 1);
  const std::size_t begin = s.line_starts[index];
  const std::size_t end = index + 1 < s.line_starts.size() ? s.line_starts[index + 1] - 1 : s.text.size();
  std::string_view found = std::string_view(s.text).substr(begin, end - begin);
  if (found.ends_with('\r')) found.remove_suffix(1);
  return found;
}

std::string Sources::Describe(const Place& place) const {
  if (!place.IsSomewhere()) return "(no file)";
  if (place.line < 1) return Name(place.source);
  return fmt::format("{}:{}", Name(place.source), place.line);
}

}  // namespace gearwhy
