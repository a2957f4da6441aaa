// The parser library's events become our tree; everything we refuse is refused here or before (yaml_text.h).
#include "engine/text/yaml.h"

#include <fmt/format.h>
#include <yaml-cpp/depthguard.h>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <sstream>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

#include "engine/text/safe_text.h"
#include "engine/text/utf8.h"
#include "engine/text/yaml_syntax.h"
#include "engine/text/yaml_text.h"

namespace gearwhy {
namespace {

struct Stop {};  // thrown through the library when reading on is of no use; the reason is reported already

Spot ToSpot(const YAML::Mark& mark, const YamlText& text) {
  return text.FromParser({std::max(mark.line, 0), std::max(mark.column, 0)});
}

class TreeBuilder : public YAML::EventHandler {
 public:
  TreeBuilder(const YamlText& text, const YamlLimits& limits, Diagnostics& diagnostics)
      : text_(text), limits_(limits), diagnostics_(diagnostics) {}

  YamlNode TakeRoot() { return std::move(root_); }

  ParserState State() const {
    ParserState state;
    state.behind_last = behind_last_;
    for (const Open& open : open_) {
      if (!open.is_flow) state.block_indent = open.start.column;
    }
    // A pair inside `[a: b]` is a map without a bracket of its own.
    for (auto it = open_.rbegin(); it != open_.rend() && it->is_flow && !state.open; ++it) {
      const char c = text_.At(it->start);
      if (c == '[' || c == '{') state.open = it->start;
    }
    return state;
  }

  void OnDocumentStart(const YAML::Mark& mark) override {
    if (++documents_ == 1) return;
    ExplainLeftover(ToSpot(mark, text_), text_, diagnostics_);
    throw Stop{};
  }
  void OnDocumentEnd() override {}

  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
    const Spot spot = ToSpot(mark, text_);
    Count(spot);
    CheckProperties(spot, "", anchor);
    const int word = NullWordAt(spot);
    if (AwaitsKey()) {
      if (word > 0) {
        Report(spot, word, "empty-key", "`null` cannot be a key; put it in quotes");
      } else {
        Report(spot, 1, "empty-key", "a key is missing here");
      }
      return SetKey("", text_.ToPlace(spot), text_.ToPlace(spot));
    }
    YamlNode node;
    if (word > 0) {
      node.place = text_.ToPlace(spot, word);
      behind_last_ = {spot.line, spot.column + word};
    } else {
      node.place = PlaceOfNothing(spot);
      if (!open_.empty() && open_.back().is_flow && open_.back().node.IsList()) {
        Report(spot, 1, "empty-item", "an item is missing before this");
      }
    }
    Add(std::move(node));
  }

  void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override {
    Report(ToSpot(mark, text_), 1, "alias",
           "aliases (`*`) are not allowed; put the text in quotes or write the value out");
    throw Stop{};
  }

  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override {
    const Spot spot = ToSpot(mark, text_);
    Count(spot);
    CheckProperties(spot, tag, anchor);
    YamlNode node;
    node.kind = YamlNode::Kind::kScalar;
    node.quoted = tag == "!";
    node.place = text_.ToPlace(spot, LengthOf(spot, value, node.quoted));
    node.text = value;
    CheckText(node);
    if (AwaitsKey()) {
      const Place behind_colon = CheckColon(spot, node);
      SetKey(std::move(node.text), node.place, behind_colon);
    } else {
      Add(std::move(node));
    }
  }

  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value style) override {
    Start(YamlNode::Kind::kList, mark, tag, anchor, style);
  }
  void OnSequenceEnd() override { End(); }
  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value style) override {
    Start(YamlNode::Kind::kMap, mark, tag, anchor, style);
  }
  void OnMapEnd() override { End(); }

 private:
  // A list or map whose end has not come yet.
  struct Open {
    YamlNode node;
    Spot start;
    bool is_flow = false;
    bool has_key = false;  // a map that awaits the value of this key:
    std::string key;
    Place key_place;
    Place behind_colon;
    std::unordered_map<std::string, Place> keys;
  };

  void Report(Spot spot, int length, const char* code, std::string message) {
    diagnostics_.Error(text_.ToPlace(spot, length), code, std::move(message));
  }

  bool AwaitsKey() const { return !open_.empty() && open_.back().node.IsMap() && !open_.back().has_key; }

  void Count(Spot spot) {
    if (++nodes_ <= limits_.nodes) return;
    Report(spot, 1, "too-many-values",
           fmt::format("the file holds more than {} keys and values", limits_.nodes));
    throw Stop{};
  }

  // Tags and anchors stand before the value; the library gives "?" and "!" for values that have no tag.
  void CheckProperties(Spot spot, const std::string& tag, YAML::anchor_t anchor) {
    const bool has_tag = text_.At(spot) == '!' || (!tag.empty() && tag != "?" && tag != "!");
    if (has_tag) Report(spot, 1, "tag", "tags (`!`) are not allowed; put the text in quotes");
    if (anchor != 0) Report(spot, 1, "anchor", "anchors (`&`) are not allowed; put the text in quotes");
    if (has_tag || anchor != 0) throw Stop{};
  }

  // The length of `null` or `~` written at the spot, or 0.
  int NullWordAt(Spot spot) const {
    static constexpr std::array<std::string_view, 4> kWords = {"~", "null", "Null", "NULL"};
    const std::string_view line = text_.Line(spot.line);
    const std::string_view rest = line.substr(std::min(static_cast<std::size_t>(spot.column), line.size()));
    for (const std::string_view word : kWords) {
      if (!rest.starts_with(word)) continue;
      if (rest.size() > word.size() &&
          std::string_view(" \t,:]}").find(rest[word.size()]) == std::string_view::npos) {
        continue;
      }
      // Before a colon it is the next key, unless a key is what is awaited.
      const std::size_t next = std::min(rest.find_first_not_of(" \t", word.size()), rest.size());
      const bool is_key = next < rest.size() && rest[next] == ':';
      if (is_key == AwaitsKey() || !is_key) return static_cast<int>(word.size());
    }
    return 0;
  }

  // The library gives nothing the place of what comes next; we want the place where something is missing.
  Place PlaceOfNothing(Spot next) {
    if (open_.empty()) return text_.ToPlace({0, 0});
    const Open& open = open_.back();
    if (open.node.IsMap()) return open.behind_colon;
    if (open.is_flow) return text_.ToPlace(next);
    const Spot dash = text_.FindOutsideComments(behind_last_, "-");
    if (text_.IsBehindTheEnd(dash)) return text_.ToPlace(next);
    behind_last_ = {dash.line, dash.column + 1};
    return text_.ToPlace(dash);
  }

  // How much of its first line a scalar takes; also moves behind it.
  int LengthOf(Spot spot, const std::string& value, bool quoted) {
    const std::string_view line = text_.Line(spot.line);
    const auto column = std::min(static_cast<std::size_t>(spot.column), line.size());
    const auto rest_of_line = static_cast<int>(line.size() - column);
    const char first = text_.At(spot);
    if (quoted && (first == '"' || first == '\'')) {
      const Spot end = text_.EndOfQuoted(spot);
      CheckQuotedLines(spot, end);
      behind_last_ = end;
      return end.line == spot.line ? end.column - spot.column : rest_of_line;
    }
    if (quoted) {  // `|` or `>`: the header up to a space; the text stands in the lines below
      behind_last_ = {spot.line + 1, 0};
      return static_cast<int>(std::min(line.find(' ', column), line.size()) - column);
    }
    if (line.substr(column).starts_with(value)) {
      behind_last_ = {spot.line, spot.column + static_cast<int>(value.size())};
      return static_cast<int>(value.size());
    }
    behind_last_ = {spot.line, static_cast<int>(line.size())};  // goes on in the next line
    return rest_of_line;
  }

  // Lines of a quoted text that stand no deeper than the key it belongs to mean that a quote is missing: the
  // library would take everything up to the next quote into the text.
  void CheckQuotedLines(Spot open, Spot end) {
    const int indent = State().block_indent;
    for (int line = open.line + 1; line <= end.line && line < text_.line_count(); ++line) {
      const bool is_blank = text_.Line(line).find_first_not_of(' ') == std::string_view::npos;
      if (is_blank || text_.Indent(line) > indent) continue;
      ReportUnclosedQuote(open, text_, diagnostics_);
      throw Stop{};
    }
  }

  void CheckText(const YamlNode& node) {
    if (node.text.size() > limits_.scalar_bytes) {
      diagnostics_.Error(node.place, "long-text",
                         fmt::format("the text is {} bytes long; at most {} are read", node.text.size(),
                                     limits_.scalar_bytes));
      return;
    }
    for (std::size_t at = 0; at < node.text.size();) {
      const CodePoint c = DecodeUtf8(node.text, at);
      if (!c.valid || IsRefusedInYaml(c.value)) {
        diagnostics_.Error(node.place, "control-character",
                           fmt::format("the text holds the invisible character {}, written as an escape",
                                       SafeLine(std::string_view(node.text).substr(at, c.bytes))));
        return;
      }
      at += c.bytes;
    }
  }

  // Finds the colon of a key that was just read and returns the place behind it. Without a colon the library
  // takes a line for a key with no value.
  Place CheckColon(Spot spot, const YamlNode& key) {
    const Spot end = behind_last_;
    const std::string_view line = text_.Line(end.line);
    const std::size_t colon = line.find_first_not_of(" \t", static_cast<std::size_t>(end.column));
    if (colon != std::string_view::npos && line[colon] == ':') {
      behind_last_ = {end.line, static_cast<int>(colon) + 1};
      return text_.ToPlace(behind_last_);
    }
    const std::size_t inner = key.quoted ? std::string::npos : key.text.find(':');
    if (inner != std::string::npos && end.line == spot.line) {
      Report({spot.line, spot.column + static_cast<int>(inner)}, 1, "missing-space",
             "a space is missing behind this colon");
    } else if (!open_.back().is_flow) {
      diagnostics_.Error(key.place, "missing-colon",
                         fmt::format("a colon is missing behind {}", InTicks(key.text)));
    }
    return text_.ToPlace(end);
  }

  void SetKey(std::string key, const Place& place, const Place& behind_colon) {
    Open& open = open_.back();
    if (!open.is_flow && open.node.entries.empty()) open.node.place.length = place.length;
    open.has_key = true;
    open.key_place = place;
    open.behind_colon = behind_colon;
    if (!key.empty()) {
      const auto [first, is_new] = open.keys.try_emplace(key, place);
      if (!is_new) {
        Diagnostic& error = diagnostics_.Error(place, "duplicate-key",
                                               fmt::format("the key {} is given twice", InTicks(key)));
        error.notes.push_back({first->second, fmt::format("{} is first given here", InTicks(key))});
      }
    }
    open.key = std::move(key);
  }

  void Add(YamlNode node) {
    if (open_.empty()) {
      root_ = std::move(node);
    } else if (Open& open = open_.back(); open.node.IsList()) {
      open.node.items.push_back(std::move(node));
    } else {
      open.node.entries.push_back({std::move(open.key), open.key_place, std::move(node)});
      open.has_key = false;
    }
  }

  void Start(YamlNode::Kind kind, const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
             YAML::EmitterStyle::value style) {
    const Spot spot = ToSpot(mark, text_);
    Count(spot);
    CheckProperties(spot, tag, anchor);
    if (AwaitsKey()) {
      ExplainCollectionAsKey(spot, text_, diagnostics_);
      throw Stop{};
    }
    if (static_cast<int>(open_.size()) >= limits_.depth) {
      Report(spot, 1, "too-deep",
             fmt::format("lists and maps are nested deeper than {} levels", limits_.depth));
      throw Stop{};
    }
    Open open;
    open.node.kind = kind;
    open.node.place = text_.ToPlace(spot);
    open.start = spot;
    open.is_flow = style == YAML::EmitterStyle::Flow;
    open_.push_back(std::move(open));
    if (text_.At(spot) == '[' || text_.At(spot) == '{') behind_last_ = {spot.line, spot.column + 1};
  }

  void End() {
    YamlNode node = std::move(open_.back().node);
    open_.pop_back();
    Add(std::move(node));
  }

  const YamlText& text_;
  const YamlLimits& limits_;
  Diagnostics& diagnostics_;
  YamlNode root_;
  std::vector<Open> open_;
  Spot behind_last_;
  int documents_ = 0;
  int nodes_ = 0;
};

}  // namespace

const YamlNode* YamlNode::Find(std::string_view key) const {
  const auto found =
      std::find_if(entries.begin(), entries.end(), [&](const YamlEntry& e) { return e.key == key; });
  return found == entries.end() ? nullptr : &found->value;
}

std::optional<YamlNode> ParseYaml(const Sources& sources, int source, Diagnostics& diagnostics,
                                  const YamlLimits& limits) {
  const int errors_before = diagnostics.error_count();
  if (!CheckYamlText(sources, source, limits, diagnostics)) return std::nullopt;

  const YamlText text(sources, source);
  TreeBuilder builder(text, limits, diagnostics);
  try {
    std::istringstream stream(text.ForParser());
    YAML::Parser parser(stream);
    // The second call is there to find what the first left over; it never adds to the tree.
    if (parser.HandleNextDocument(builder)) parser.HandleNextDocument(builder);
  } catch (const Stop&) {
    return std::nullopt;
  } catch (const YAML::DeepRecursion& error) {
    diagnostics.Error(text.ToPlace(ToSpot(error.mark, text)), "too-deep",
                      fmt::format("lists and maps are nested deeper than {} levels", limits.depth));
  } catch (const YAML::Exception& error) {
    ExplainSyntaxError(error.msg, ToSpot(error.mark, text), builder.State(), text, diagnostics);
  }
  if (diagnostics.error_count() > errors_before) return std::nullopt;
  return builder.TakeRoot();
}

}  // namespace gearwhy
