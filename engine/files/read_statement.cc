#include "engine/files/read_statement.h"

#include <fmt/format.h>

#include "engine/files/read_value.h"
#include "engine/text/ascii.h"
#include "engine/text/at.h"
#include "engine/text/near_names.h"

namespace gearwhy {
namespace {

std::vector<std::string> WordNames(const Words& words, bool events) {
  std::vector<std::string> names;
  for (const auto& [name, word] : words.words) {
    if (word.IsEvent() == events) names.push_back(name);
  }
  return names;
}

const Word* FindWord(const StatementShape& shape, bool want_event, const StatementContext& context) {
  const Word* word = context.words.Find(shape.name);
  if (word == nullptr) {
    const std::vector<std::string> names = WordNames(context.words, want_event);
    context.diagnostics.Error(shape.place, "unknown-statement",
                              fmt::format("there is no {} called `{}`{}", want_event ? "event" : "fact",
                                          shape.name, Hint(shape.name, names, 0)));
    return nullptr;
  }
  if (word->IsEvent() != want_event) {
    const std::string message = want_event
                                    ? fmt::format("`{}` is a fact; an event is wanted here", shape.name)
                                    : fmt::format(
                                          "`{}` is a {}, which may or may not be so; a fact is wanted here "
                                          "(`present:` or `absent:` before it asks whether it was observed)",
                                          shape.name, WordTypeName(word->type));
    context.diagnostics.Error(shape.place, want_event ? "not-an-event" : "not-a-fact", message)
        .notes.push_back({word->place, fmt::format("`{}` is described here", shape.name)});
    return nullptr;
  }
  return word;
}

// What a slot holds: its kind's name or its dimension's.
std::string SortOf(const Slot& slot) {
  return slot.dimension ? std::string(DimensionName(*slot.dimension)) : slot.kind;
}

std::optional<Value> ReadValue(const YamlNode& node, const Slot& slot, const StatementContext& context) {
  if (!node.IsScalar()) {
    context.diagnostics.Error(node.place, "not-a-value",
                              fmt::format("slot `{}` takes a single value", slot.name));
    return std::nullopt;
  }
  if (slot.dimension) {
    std::string why;
    const std::optional<double> number = ParseQuantity(node.text, *slot.dimension, &why);
    if (!number) {
      context.diagnostics.Error(node.place, "bad-quantity", fmt::format("slot `{}`: {}", slot.name, why));
      return std::nullopt;
    }
    if (const auto outside = WhyOutside(*number, node.text, *slot.dimension, slot.range)) {
      context.diagnostics.Error(node.place, "cannot-be", fmt::format("slot `{}`: {}", slot.name, *outside));
      return std::nullopt;
    }
    return Value(*number);
  }
  if (!IsName(node.text)) {
    context.diagnostics.Error(
        node.place, "not-a-name",
        fmt::format("slot `{}` takes the name of one {}, not `{}`", slot.name, slot.kind, node.text));
    return std::nullopt;
  }
  const auto known = NamesOfKind(context.words.kinds.find(slot.kind)->second, context.members);
  if (!known) return Value(node.text);
  for (const auto& [name, says] : *known) {
    if (name == node.text) return Value(node.text);
  }
  context.diagnostics.Error(
      node.place, "unknown-value",
      fmt::format("there is no {} called `{}`{}", slot.kind, node.text, SpokenHint(node.text, *known)));
  return std::nullopt;
}

// Pairs each slot of the word with the node that fills it; nullptr where it is left out.
std::optional<std::vector<const YamlNode*>> SlotNodes(const StatementShape& shape, const Word& word,
                                                      const StatementContext& context) {
  std::vector<const YamlNode*> nodes(word.slots.size(), nullptr);
  if (shape.slots == nullptr || shape.slots->IsEmpty()) return nodes;
  if (!shape.slots->IsMap()) {
    // `element: B` fills the only slot, or the only one without a default.
    std::vector<std::size_t> candidates;
    for (std::size_t i = 0; i < word.slots.size(); ++i) {
      if (!word.slots[i].otherwise) candidates.push_back(i);
    }
    if (candidates.empty() && word.slots.size() == 1) candidates.push_back(0);
    if (shape.slots->IsScalar() && candidates.size() == 1) {
      nodes[candidates[0]] = shape.slots;
      return nodes;
    }
    std::string slots;
    for (const Slot& slot : word.slots)
      slots += fmt::format("{}{}: ...", slots.empty() ? "" : ", ", slot.name);
    context.diagnostics.Error(shape.slots->place, "not-slots",
                              word.slots.empty()
                                  ? fmt::format("`{}` has no slots to fill", word.name)
                                  : fmt::format("name the slots: `{}: {{{}}}`", word.name, slots));
    return std::nullopt;
  }
  bool good = true;
  for (const YamlEntry& entry : shape.slots->entries) {
    const int slot = word.SlotIndex(entry.key);
    if (slot < 0) {
      context.diagnostics
          .Error(entry.key_place, "unknown-slot",
                 fmt::format("`{}` has no slot `{}`{}", word.name, entry.key,
                             Hint(entry.key, NamesOf(word.slots))))
          .notes.push_back({word.place, fmt::format("`{}` is described here", word.name)});
      good = false;
    } else {
      nodes[At(slot)] = &entry.value;
    }
  }
  if (!good) return std::nullopt;
  return nodes;
}

// A slot that nobody filled: its default, or an error.
std::optional<Value> DefaultValue(const Slot& slot, const Word& word, const Place& place,
                                  const StatementContext& context) {
  if (slot.otherwise) return slot.otherwise;
  context.diagnostics
      .Error(place, "missing-slot",
             fmt::format("`{}` needs its slot `{}`: which {}?", word.name, slot.name, SortOf(slot)))
      .notes.push_back({word.place, fmt::format("`{}` is described here", word.name)});
  return std::nullopt;
}

bool NoteVariable(const std::string& name, const std::string& kind, const Place& place,
                  VariableUses& variables, Diagnostics& diagnostics) {
  const auto [it, is_new] = variables.kinds.emplace(name, kind);
  if (is_new) {
    variables.first_use[name] = place;
    return true;
  }
  if (it->second == kind) return true;
  diagnostics
      .Error(place, "wrong-kind",
             fmt::format("`${}` is of the kind {} elsewhere in this entry and cannot be of the kind {} here",
                         name, it->second, kind))
      .notes.push_back(
          {variables.first_use[name], fmt::format("`${}` is of the kind {} here", name, it->second)});
  return false;
}

// The name of a variable (without `$`), or nothing when the scalar is none. A malformed one is reported.
bool ReadVariable(const YamlNode& node, Diagnostics& diagnostics, std::optional<std::string>* variable) {
  variable->reset();
  if (!node.IsScalar() || node.quoted || !node.text.starts_with('$')) return true;
  const std::string name = node.text.substr(1);
  if (!IsName(name)) {
    diagnostics.Error(node.place, "bad-variable",
                      fmt::format("`{}` is no variable: write `$` and a name, as in `$element`", node.text));
    return false;
  }
  *variable = name;
  return true;
}

struct ComparisonSign {
  std::string_view sign;
  Comparison comparison;
};
constexpr ComparisonSign kSigns[] = {
    {"<=", Comparison::kLessOrEqual}, {">=", Comparison::kGreaterOrEqual}, {"!=", Comparison::kNotEqual},
    {"<", Comparison::kLess},         {">", Comparison::kGreater},         {"=", Comparison::kEqual},
};

// `$p < 3 bar`: a scalar with a comparison sign between spaces.
const ComparisonSign* FindSign(const std::string& text, std::size_t* at) {
  for (const ComparisonSign& sign : kSigns) {
    *at = text.find(fmt::format(" {} ", sign.sign));
    if (*at != std::string::npos) return &sign;
  }
  return nullptr;
}

// One side of a comparison. Sets `sort` to the kind or dimension it is of, empty when it could be any (a bare
// name).
bool ReadSide(const std::string& text, const Place& place, const VariableUses& variables,
              const StatementContext& context, Term* term, std::string* sort) {
  if (text.starts_with('$')) {
    const std::string name = text.substr(1);
    const auto use = variables.kinds.find(name);
    if (!IsName(name)) {
      context.diagnostics.Error(
          place, "bad-variable",
          fmt::format("`{}` is no variable: write `$` and a name, as in `$element`", text));
      return false;
    }
    *term = Variable{name};
    // A variable no statement binds is reported by the caller, with all others.
    *sort = use == variables.kinds.end() ? "" : use->second;
    return true;
  }
  std::string why;
  if (const std::optional<AnyQuantity> quantity = ParseAnyQuantity(text, &why)) {
    *term = Value(quantity->number);
    *sort = DimensionName(quantity->dimension);
    return true;
  }
  if (IsName(text) && !IsDigit(text[0])) {
    *term = Value(text);
    *sort = "";
    return true;
  }
  context.diagnostics.Error(place, "bad-comparison", fmt::format("cannot compare with `{}`: {}", text, why));
  return false;
}

// Takes "90% of " from the text, where it begins so; the share it says, or 1.
double TakeShare(std::string& text) {
  constexpr std::string_view kOf = "% of ";
  const std::size_t at = text.find(kOf);
  std::string why;
  const auto share = at == std::string::npos
                         ? std::nullopt
                         : ParseQuantity(text.substr(0, at + 1), Dimension::kNumber, &why);
  if (!share) return 1;
  text.erase(0, at + kOf.size());
  return *share;
}

std::optional<Condition> ReadComparison(const YamlNode& node, const ComparisonSign& sign, std::size_t at,
                                        const VariableUses& variables, const StatementContext& context) {
  const auto trim = [](std::string text) {
    while (!text.empty() && text.front() == ' ') text.erase(0, 1);
    while (!text.empty() && text.back() == ' ') text.pop_back();
    return text;
  };
  Condition condition;
  condition.kind = Condition::Kind::kCompare;
  condition.place = node.place;
  condition.comparison = sign.comparison;
  std::string left_sort, right_sort;
  std::string right = trim(node.text.substr(at + sign.sign.size() + 2));
  const bool in_part = right.find("% of ") != std::string::npos;
  condition.share_of_right = TakeShare(right);
  if (!ReadSide(trim(node.text.substr(0, at)), node.place, variables, context, &condition.left, &left_sort) ||
      !ReadSide(trim(right), node.place, variables, context, &condition.right, &right_sort)) {
    return std::nullopt;
  }
  const bool equality = sign.comparison == Comparison::kEqual || sign.comparison == Comparison::kNotEqual;
  const auto is_number = [](const std::string& sort) { return DimensionNamed(sort).has_value(); };
  const auto is_name_value = [](const Term& term) {
    const Value* value = std::get_if<Value>(&term);
    return value != nullptr && std::holds_alternative<std::string>(*value);
  };
  const bool left_name = is_name_value(condition.left) || (!left_sort.empty() && !is_number(left_sort));
  const bool right_name = is_name_value(condition.right) || (!right_sort.empty() && !is_number(right_sort));
  if (in_part && (left_name || right_name)) {
    context.diagnostics.Error(node.place, "bad-comparison", "only of a number can a share be taken");
    return std::nullopt;
  }
  if ((left_name || right_name) && !equality) {
    context.diagnostics.Error(node.place, "bad-comparison", "names can only be compared with `=` and `!=`");
    return std::nullopt;
  }
  const bool clash = (!left_sort.empty() && !right_sort.empty() && left_sort != right_sort) ||
                     (left_name && is_number(right_sort)) || (right_name && is_number(left_sort));
  if (clash) {
    const auto call = [](const std::string& sort) { return sort.empty() ? std::string("name") : sort; };
    context.diagnostics.Error(
        node.place, "bad-comparison",
        fmt::format("a {} cannot be compared with a {}", call(left_sort), call(right_sort)));
    return std::nullopt;
  }
  return condition;
}

std::optional<Condition> ReadCondition(const YamlNode& node, VariableUses& variables,
                                       const StatementContext& context) {
  Condition condition;
  condition.place = node.place;
  const YamlNode* statement = &node;
  bool want_event = false;
  // Peel `not:`, `present:` and `absent:` off, outermost first.
  while (statement->IsMap() && statement->entries.size() == 1) {
    const YamlEntry& entry = statement->entries[0];
    if (entry.key == "not" && condition.kind != Condition::Kind::kNot && !want_event) {
      condition.kind = Condition::Kind::kNot;
    } else if ((entry.key == "present" || entry.key == "absent") && !want_event) {
      want_event = true;
      condition.sense = entry.key == "present" ? Sense::kPresent : Sense::kAbsent;
    } else {
      break;
    }
    statement = &entry.value;
  }
  std::optional<Pattern> pattern = ReadPattern(*statement, want_event, true, variables, context);
  if (!pattern) return std::nullopt;
  condition.pattern = std::move(*pattern);
  return condition;
}

}  // namespace

std::optional<StatementShape> ReadShape(const YamlNode& node, Diagnostics& diagnostics) {
  if (node.IsScalar()) {
    if (IsName(node.text)) return StatementShape{node.text, node.place, nullptr};
    diagnostics.Error(
        node.place, "not-a-statement",
        fmt::format("`{}` is no statement; write a name, or `name: {{slot: value}}`", node.text));
    return std::nullopt;
  }
  if (node.IsMap() && node.entries.size() == 1) {
    return StatementShape{node.entries[0].key, node.entries[0].key_place, &node.entries[0].value};
  }
  if (node.IsMap() && node.entries.size() > 1) {
    diagnostics.Error(
        node.entries[1].key_place, "not-a-statement",
        fmt::format("one statement at a time: `{}` already stands before `{}` (slots go into braces)",
                    node.entries[0].key, node.entries[1].key));
    return std::nullopt;
  }
  diagnostics.Error(node.place, "not-a-statement", "a statement is wanted here: `name: {slot: value}`");
  return std::nullopt;
}

std::optional<Statement> ReadStatement(const YamlNode& node, bool want_event,
                                       const StatementContext& context) {
  VariableUses none;
  const std::optional<Pattern> pattern = ReadPattern(node, want_event, false, none, context);
  if (!pattern) return std::nullopt;
  if (!none.first_use.empty()) {
    const auto& [name, place] = *none.first_use.begin();
    context.diagnostics.Error(place, "variable-here",
                              fmt::format("`${}` is a variable; a certain thing must be named here", name));
    return std::nullopt;
  }
  Statement statement{pattern->name, {}};
  for (const Term& term : pattern->terms) statement.slots.push_back(std::get<Value>(term));
  return statement;
}

std::optional<Pattern> ReadPattern(const YamlNode& node, bool want_event, bool may_leave_out,
                                   VariableUses& variables, const StatementContext& context) {
  const std::optional<StatementShape> shape = ReadShape(node, context.diagnostics);
  if (!shape) return std::nullopt;
  const Word* word = FindWord(*shape, want_event, context);
  if (word == nullptr) return std::nullopt;
  const auto nodes = SlotNodes(*shape, *word, context);
  if (!nodes) return std::nullopt;
  Pattern pattern{shape->name, {}, shape->place};
  bool good = true;
  for (std::size_t i = 0; i < word->slots.size(); ++i) {
    const Slot& slot = word->slots[i];
    const YamlNode* filler = (*nodes)[i];
    if (filler == nullptr) {
      if (may_leave_out) {
        pattern.terms.emplace_back(Anything{});
      } else if (const auto value = DefaultValue(slot, *word, shape->place, context)) {
        pattern.terms.emplace_back(*value);
      } else {
        good = false;
      }
      continue;
    }
    std::optional<std::string> variable;
    if (!ReadVariable(*filler, context.diagnostics, &variable)) {
      good = false;
    } else if (variable) {
      good &= NoteVariable(*variable, SortOf(slot), filler->place, variables, context.diagnostics);
      pattern.terms.emplace_back(Variable{*variable});
    } else if (const auto value = ReadValue(*filler, slot, context)) {
      pattern.terms.emplace_back(*value);
    } else {
      good = false;
    }
  }
  if (!good) return std::nullopt;
  return pattern;
}

std::vector<Condition> ReadConditions(const std::vector<YamlNode>& items, VariableUses& variables,
                                      const StatementContext& context, std::set<std::string> bound) {
  // Comparisons come last, when every variable's kind is known, but keep their place in the list.
  std::vector<std::optional<Condition>> read(items.size());
  std::size_t at = 0;
  const auto sign_of = [&](const YamlNode& item) {
    return item.IsScalar() && !item.quoted ? FindSign(item.text, &at) : nullptr;
  };
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (sign_of(items[i]) == nullptr) read[i] = ReadCondition(items[i], variables, context);
  }
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (const ComparisonSign* sign = sign_of(items[i])) {
      read[i] = ReadComparison(items[i], *sign, at, variables, context);
    }
  }
  std::vector<Condition> conditions;
  for (std::optional<Condition>& condition : read) {
    if (condition) conditions.push_back(std::move(*condition));
  }
  bound.merge(BoundVariables(conditions));
  for (const Condition& condition : conditions) {
    if (condition.kind == Condition::Kind::kNot) {
      RequireBound(condition.pattern, bound, "this `not`", context.diagnostics);
    } else if (condition.kind == Condition::Kind::kCompare) {
      Pattern sides{"", {condition.left, condition.right}, condition.place};
      RequireBound(sides, bound, "this comparison", context.diagnostics);
    }
  }
  return conditions;
}

std::set<std::string> BoundVariables(const std::vector<Condition>& conditions) {
  std::set<std::string> bound;
  for (const Condition& condition : conditions) {
    if (condition.kind != Condition::Kind::kStatement) continue;
    for (const Term& term : condition.pattern.terms) {
      if (const Variable* variable = std::get_if<Variable>(&term)) bound.insert(variable->name);
    }
  }
  return bound;
}

void RequireBound(const Pattern& pattern, const std::set<std::string>& bound, const std::string& what,
                  Diagnostics& diagnostics) {
  for (const Term& term : pattern.terms) {
    const Variable* variable = std::get_if<Variable>(&term);
    if (variable == nullptr || bound.contains(variable->name)) continue;
    const std::vector<std::string> known(bound.begin(), bound.end());
    diagnostics.Error(
        pattern.place, "unbound-variable",
        fmt::format("nothing says what `${}` of {} stands for{}; a condition in `when` must name it",
                    variable->name, what, Hint(variable->name, known, 0)));
  }
}

}  // namespace gearwhy
