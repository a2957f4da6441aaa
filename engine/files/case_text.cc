#include "engine/files/case_text.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

#include "engine/files/read_statement.h"
#include "engine/model/quantity.h"
#include "engine/text/flow_yaml.h"
#include "engine/text/number.h"
#include "engine/text/safe_text.h"
#include "engine/text/utf8.h"
#include "engine/text/yaml.h"

namespace gearwhy {
namespace {

// The order in which a case file usually says things.
constexpr std::array<std::string_view, 17> kUsualOrder = {
    "case",     "title",   "note", "unit",  "variant", "version", "history", "measured", "complaint",
    "observed", "unknown", "open", "found", "work",    "mended",  "tried",   "expect"};

bool IsReport(CaseList list) { return list == CaseList::kComplaint || list == CaseList::kObserved; }

std::string ValueYaml(const Value& value, const Slot& slot, const std::string& written) {
  if (!written.empty()) return written;
  if (const double* number = std::get_if<double>(&value)) {
    const std::string_view unit = BaseUnit(slot.dimension.value_or(Dimension::kNumber));
    return unit.empty() ? ShowNumber(*number) : fmt::format("{} {}", ShowNumber(*number), unit);
  }
  return std::get<std::string>(value);
}

// One item of a list, a line each, without dash and indent.
std::vector<std::string> ItemLines(const CaseChange& change, const Words& words) {
  if (change.list == CaseList::kOpen) return {change.access};
  const std::string statement = StatementYaml(change.statement, words, change.written);
  if (!IsReport(change.list)) return {statement};
  const bool has_slots = statement.find(": ") != std::string::npos;
  std::vector<std::string> lines = {fmt::format("{}: {}", change.present ? "present" : "absent",
                                                has_slots ? fmt::format("{{{}}}", statement) : statement)};
  if (change.trust != words.trusts.front().name) lines.push_back("trust: " + change.trust);
  if (!change.under.empty()) lines.push_back(fmt::format("under: [{}]", fmt::join(change.under, ", ")));
  if (!change.note.empty()) lines.push_back("note: " + QuotedYaml(change.note));
  return lines;
}

// The circumstances that a report names, sorted.
std::vector<std::string> UnderOf(const YamlNode& item) {
  std::vector<std::string> names;
  const YamlNode* under = item.Find("under");
  if (under == nullptr) return names;
  if (under->IsScalar()) names.push_back(under->text);
  for (const YamlNode& name : under->items) names.push_back(name.text);
  std::sort(names.begin(), names.end());
  return names;
}

std::vector<std::string> BlockLines(const YamlNode& item) {
  if (!item.IsMap() || item.entries.size() < 2) {
    const std::string flow = FlowYaml(item);
    // `{no_drive: R}` alone is a map of one: its braces are not needed.
    return {item.IsMap() && item.entries.size() == 1 ? flow.substr(1, flow.size() - 2) : flow};
  }
  std::vector<std::string> lines;
  for (const YamlEntry& entry : item.entries)
    lines.push_back(fmt::format("{}: {}", entry.key, FlowYaml(entry.value)));
  return lines;
}

// The lines of a text, each with its end.
class Editor {
 public:
  Editor(std::string_view text, const Words& words) : words_(words) {
    source_ = sources_.Add("case", std::string(text));
    Diagnostics diagnostics;
    tree_ = ParseYaml(sources_, source_, diagnostics);
    for (std::size_t start = 0; start < text.size();) {
      const std::size_t end = std::min(text.find('\n', start), text.size() - 1) + 1;
      lines_.emplace_back(text.substr(start, end - start));
      start = end;
    }
    end_of_line_ = !lines_.empty() && lines_[0].ends_with("\r\n") ? "\r\n" : "\n";
    if (!lines_.empty() && !lines_.back().ends_with('\n')) lines_.back() += end_of_line_;
    if (tree_ && tree_->IsMap() && tree_->place.IsSomewhere())
      is_block_ = Content(At(tree_->place.line)).find('{') != Column(tree_->place);
  }

  bool CanChange() const { return tree_ && tree_->IsMap() && is_block_; }

  bool Change(const CaseChange& change, std::string* why) {
    if (!CanChange()) {
      *why = "the file is not written one key a line, so lines cannot be put into it";
      return false;
    }
    const std::string_view key = CaseListKey(change.list);
    const YamlNode* list = tree_->Find(key);
    return change.kind == CaseChange::Kind::kAdd ? Add(change, key, list, why)
                                                 : Remove(change, key, list, why);
  }

  bool Rename(const std::string& id) {
    const YamlNode* node = CanChange() ? tree_->Find("case") : nullptr;
    if (node == nullptr || !node->IsScalar()) return false;
    const auto length = static_cast<std::size_t>(node->place.length);  // with its quotes
    lines_[At(node->place.line)].replace(Column(node->place), length, id);
    return true;
  }

  std::string Text() const {
    std::string text;
    for (const std::string& line : lines_) text += line;
    return text;
  }

 private:
  // Lines are counted from 0 here, and places from 1.
  static std::size_t At(int line) { return static_cast<std::size_t>(line - 1); }
  std::size_t Column(const Place& place) const {
    const std::size_t mark = place.line == 1 && lines_[0].starts_with("\xEF\xBB\xBF") ? 3 : 0;
    return static_cast<std::size_t>(place.column - 1) + mark;
  }
  std::string_view Content(std::size_t line) const {
    std::string_view content = lines_[line];
    while (!content.empty() && (content.back() == '\n' || content.back() == '\r')) content.remove_suffix(1);
    return content;
  }
  bool IsBlank(std::size_t line) const {
    return Content(line).find_first_not_of(' ') == std::string_view::npos;
  }
  std::size_t Indent(std::size_t line) const {
    return std::min(Content(line).find_first_not_of(' '), Content(line).size());
  }

  void Insert(std::size_t before, std::size_t indent, const std::vector<std::string>& item) {
    std::vector<std::string> added;
    for (std::size_t i = 0; i < item.size(); ++i) {
      added.push_back(std::string(indent, ' ') + (i == 0 ? "- " : "  ") + item[i] + end_of_line_);
    }
    lines_.insert(lines_.begin() + static_cast<std::ptrdiff_t>(before), added.begin(), added.end());
  }

  void Erase(std::size_t first, std::size_t end) {
    lines_.erase(lines_.begin() + static_cast<std::ptrdiff_t>(first),
                 lines_.begin() + static_cast<std::ptrdiff_t>(end));
  }

  // The column of an item's dash, when it stands on the item's own line with nothing but spaces before it.
  std::optional<std::size_t> DashOf(const YamlNode& item) const {
    const std::size_t line = At(item.place.line);
    const std::size_t indent = Indent(line);
    const std::string_view content = Content(line);
    if (indent >= content.size() || content[indent] != '-') return std::nullopt;
    if (content.find_first_not_of(' ', indent + 1) != Column(item.place)) return std::nullopt;
    return indent;
  }

  // Behind the last line of the item whose dash stands at this line and column.
  std::size_t EndOfItem(std::size_t line, std::size_t dash) const {
    std::size_t end = line + 1;
    for (std::size_t i = end; i < lines_.size(); ++i) {
      if (IsBlank(i)) continue;
      if (Indent(i) <= dash) break;
      end = i + 1;
    }
    return end;
  }

  // Behind the last line of a top key's block; comments at the margin belong to what follows.
  std::size_t EndOfKey(std::string_view key) const {
    std::size_t next = lines_.size();
    bool found = false;
    for (const YamlEntry& entry : tree_->entries) {
      if (found) {
        next = At(entry.key_place.line);
        break;
      }
      found = entry.key == key;
    }
    while (next > 0 &&
           (IsBlank(next - 1) || lines_[next - 1].starts_with('#') || lines_[next - 1].starts_with("...")))
      --next;
    return next;
  }

  static bool IsFlow(std::string_view content, std::size_t column) {
    return column < content.size() && (content[column] == '[' || content[column] == '{');
  }

  // Whether every item has its dash before it, so that lines can be put in and taken out.
  bool IsPlainBlock(const YamlNode& list) const {
    return list.IsList() && !list.items.empty() &&
           !IsFlow(Content(At(list.place.line)), Column(list.place)) &&
           std::all_of(list.items.begin(), list.items.end(),
                       [&](const YamlNode& item) { return DashOf(item).has_value(); });
  }

  bool Add(const CaseChange& change, std::string_view key, const YamlNode* list, std::string* why) {
    const std::vector<std::string> item = ItemLines(change, words_);
    if (list == nullptr) {
      std::size_t before = 0;
      for (const std::string_view earlier : kUsualOrder) {
        if (earlier == key) break;
        if (tree_->Find(earlier) != nullptr) before = std::max(before, EndOfKey(earlier));
      }
      if (before == 0) before = EndOfKey(tree_->entries.back().key);
      if (change.list == CaseList::kOpen) {
        lines_.insert(lines_.begin() + static_cast<std::ptrdiff_t>(before),
                      fmt::format("open: [{}]{}", change.access, end_of_line_));
        return true;
      }
      lines_.insert(lines_.begin() + static_cast<std::ptrdiff_t>(before),
                    fmt::format("{}:{}", key, end_of_line_));
      Insert(before + 1, 2, item);
      return true;
    }
    if (list->IsEmpty()) {
      Insert(At(list->place.line) + 1, 2, item);
      return true;
    }
    if (IsPlainBlock(*list)) {
      const std::size_t dash = *DashOf(list->items.back());
      Insert(EndOfItem(At(list->items.back().place.line), dash), dash, item);
      return true;
    }
    std::vector<std::vector<std::string>> items = ItemsOf(*list);
    items.push_back(item);
    return Rewrite(change.list, key, items, why);
  }

  bool Remove(const CaseChange& change, std::string_view key, const YamlNode* list, std::string* why) {
    std::size_t index = 0;
    const std::size_t count = list == nullptr    ? 0
                              : list->IsList()   ? list->items.size()
                              : list->IsScalar() ? 1
                                                 : 0;
    while (index < count && !Says(list->IsList() ? list->items[index] : *list, change)) ++index;
    if (index == count) {
      *why = fmt::format("`{}` does not say so", key);
      return false;
    }
    const std::size_t key_line = LineOfKey(key);
    if (count == 1) {
      Erase(key_line, std::max(EndOfKey(key), key_line + 1));
      return true;
    }
    if (IsPlainBlock(*list)) {
      const std::size_t line = At(list->items[index].place.line);
      Erase(line, EndOfItem(line, *DashOf(list->items[index])));
      return true;
    }
    std::vector<std::vector<std::string>> items = ItemsOf(*list);
    items.erase(items.begin() + static_cast<std::ptrdiff_t>(index));
    return Rewrite(change.list, key, items, why);
  }

  std::size_t LineOfKey(std::string_view key) const {
    for (const YamlEntry& entry : tree_->entries) {
      if (entry.key == key) return At(entry.key_place.line);
    }
    return 0;
  }

  static std::vector<std::vector<std::string>> ItemsOf(const YamlNode& list) {
    std::vector<std::vector<std::string>> items;
    if (list.IsScalar()) items.push_back({FlowYaml(list)});
    for (const YamlNode& item : list.items) items.push_back(BlockLines(item));
    return items;
  }

  // The whole list anew. What stood in brackets on one line keeps a comment behind it.
  bool Rewrite(CaseList list, std::string_view key, const std::vector<std::vector<std::string>>& items,
               std::string* why) {
    const std::size_t line = LineOfKey(key);
    const std::string_view content = Content(line);
    if (!content.starts_with(key)) {
      *why = fmt::format("`{}` is written in a way that cannot be edited", key);
      return false;
    }
    std::size_t mark = content.find(" #");
    while (mark != std::string_view::npos && content[mark - 1] == ' ') --mark;
    const std::string comment(mark == std::string_view::npos ? "" : content.substr(mark));
    Erase(line, std::max(EndOfKey(key), line + 1));
    std::string head = fmt::format("{}:", key);
    if (list == CaseList::kOpen) {
      head += " [";
      for (std::size_t i = 0; i < items.size(); ++i) head += (i == 0 ? "" : ", ") + items[i][0];
      head += "]";
    }
    lines_.insert(lines_.begin() + static_cast<std::ptrdiff_t>(line), head + comment + end_of_line_);
    if (list == CaseList::kOpen) return true;
    for (std::size_t i = items.size(); i-- > 0;) Insert(line + 1, 2, items[i]);
    return true;
  }

  // Whether an item of the list is the one that the change takes out.
  bool Says(const YamlNode& item, const CaseChange& change) const {
    if (change.list == CaseList::kOpen) return item.IsScalar() && item.text == change.access;
    Diagnostics ignored;
    const StatementContext context{words_, ignored};
    if (!IsReport(change.list)) {
      const auto statement = ReadStatement(item, change.list == CaseList::kUnknown, context);
      return statement && *statement == change.statement;
    }
    if (!item.IsMap()) return false;
    const YamlNode* event = item.Find(change.present ? "present" : "absent");
    const YamlNode* trust = item.Find("trust");
    if (event == nullptr || (trust == nullptr ? words_.trusts.front().name : trust->text) != change.trust)
      return false;
    if (UnderOf(item) != change.under) return false;
    const auto statement = ReadStatement(*event, true, context);
    return statement && *statement == change.statement;
  }

  const Words& words_;
  Sources sources_;
  int source_ = 0;
  std::optional<YamlNode> tree_;
  bool is_block_ = false;
  std::vector<std::string> lines_;
  std::string end_of_line_;
};

}  // namespace

std::optional<std::string> ChangeCaseText(std::string_view text, const CaseChange& change, const Words& words,
                                          std::string* why) {
  Editor editor(text, words);
  if (!editor.Change(change, why)) return std::nullopt;
  return editor.Text();
}

bool CanChangeCaseText(std::string_view text, const Words& words) { return Editor(text, words).CanChange(); }

std::string NewCaseText(const std::string& id, const std::string& title, const std::string& unit,
                        const std::string& variant, const std::string& version, const std::string& note) {
  std::string text = fmt::format("case: {}\ntitle: {}\n", id, QuotedYaml(title));
  if (!note.empty()) text += fmt::format("note: {}\n", QuotedYaml(note));
  if (!unit.empty()) text += fmt::format("unit: {}\n", unit);
  if (!variant.empty()) text += fmt::format("variant: {}\n", variant);
  if (!version.empty()) text += fmt::format("version: {}\n", version);
  return text;
}

std::optional<std::string> RenamedCaseText(std::string_view text, const std::string& id, const Words& words) {
  Editor editor(text, words);
  if (!editor.Rename(id)) return std::nullopt;
  return editor.Text();
}

std::string StatementYaml(const Statement& statement, const Words& words,
                          const std::vector<std::string>& written) {
  const Word* word = words.Find(statement.name);
  std::vector<std::string> slots;
  for (std::size_t i = 0; word != nullptr && i < word->slots.size(); ++i) {
    const Slot& slot = word->slots[i];
    if (slot.otherwise && *slot.otherwise == statement.slots[i]) continue;
    const std::string value = ValueYaml(statement.slots[i], slot, i < written.size() ? written[i] : "");
    if (word->slots.size() == 1) return fmt::format("{}: {}", statement.name, value);
    slots.push_back(fmt::format("{}: {}", slot.name, value));
  }
  if (slots.empty()) return statement.name;
  std::string joined;
  for (const std::string& slot : slots) joined += (joined.empty() ? "" : ", ") + slot;
  return fmt::format("{}: {{{}}}", statement.name, joined);
}

}  // namespace gearwhy
