#include "engine/model/say.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <functional>
#include <vector>

namespace gearwhy {
namespace {

// Replaces every {name} by what `spoken` says for it.
std::string FillBraces(std::string_view text, const std::function<std::string(std::string_view)>& spoken) {
  std::string out;
  while (!text.empty()) {
    const std::size_t open = text.find('{');
    const std::size_t close = text.find('}', open == std::string_view::npos ? 0 : open);
    if (open == std::string_view::npos || close == std::string_view::npos) break;
    out += text.substr(0, open);
    out += spoken(text.substr(open + 1, close - open - 1));
    text.remove_prefix(close + 1);
  }
  out += text;
  return out;
}

}  // namespace

std::string SayTrust(const Words& words, const Observation& observation) {
  std::string says = words.FindTrust(observation.trust)->says;
  for (const std::string& name : observation.under)
    says += ", " + words.circumstances.find(name)->second.says;
  return says;
}

std::vector<std::string> BracedNames(std::string_view text, bool* well_formed) {
  std::vector<std::string> names;
  *well_formed = true;
  for (std::size_t open = text.find('{'); open != std::string_view::npos; open = text.find('{', open + 1)) {
    const std::size_t close = text.find('}', open);
    if (close == std::string_view::npos) {
      *well_formed = false;
      break;
    }
    names.emplace_back(text.substr(open + 1, close - open - 1));
  }
  return names;
}

std::string Speaker::SayName(const std::string& name, std::string_view kind) const {
  if (const auto names = names_.find(kind); names != names_.end()) {
    if (const auto it = names->second.find(name); it != names->second.end()) return it->second;
  }
  if (const auto known = words_.kinds.find(kind); known != words_.kinds.end()) {
    if (const auto it = known->second.says.find(name); it != known->second.says.end()) return it->second;
  }
  std::string plain = name;
  std::replace(plain.begin(), plain.end(), '_', ' ');
  return plain;
}

std::string Speaker::SayValue(const Value& value, const Slot& slot) const {
  if (const double* number = std::get_if<double>(&value)) {
    return ShowQuantity(*number, slot.dimension.value_or(Dimension::kNumber));
  }
  return SayName(std::get<std::string>(value), slot.kind);
}

std::string Speaker::Fill(std::string_view text, const Word& word, const Statement& statement) const {
  return FillBraces(text, [&](std::string_view name) {
    const int slot = word.SlotIndex(name);
    if (slot < 0) return fmt::format("{{{}}}", name);
    const auto i = static_cast<std::size_t>(slot);
    return SayValue(statement.slots[i], word.slots[i]);
  });
}

std::string Speaker::Say(const Statement& statement, bool present) const {
  const Word* word = words_.Find(statement.name);
  if (word == nullptr) return StatementId(statement);
  const std::string& text = present || word->says_absent.empty() ? word->says : word->says_absent;
  std::string said = Fill(text, *word, statement);
  if (!present && word->says_absent.empty()) said = "it is not so that " + said;
  return said;
}

std::string Speaker::SayShort(const Statement& statement) const {
  const Word* word = words_.Find(statement.name);
  if (word == nullptr || word->says_short.empty()) return Say(statement);
  return Fill(word->says_short, *word, statement);
}

std::string Speaker::SayText(std::string_view text, const Bindings& bindings,
                             const VariableKinds& variables) const {
  return FillBraces(text, [&](std::string_view name) {
    for (const Binding& binding : bindings) {
      if (binding.variable != name) continue;
      const auto kind = variables.find(binding.variable);
      Slot slot;
      if (kind != variables.end()) {
        slot.dimension = DimensionNamed(kind->second);
        slot.kind = kind->second;
      }
      return SayValue(binding.value, slot);
    }
    return fmt::format("{{{}}}", name);
  });
}

namespace {

std::string_view ComparisonSign(Comparison comparison) {
  switch (comparison) {
    case Comparison::kLess:
      return "<";
    case Comparison::kLessOrEqual:
      return "<=";
    case Comparison::kEqual:
      return "=";
    case Comparison::kNotEqual:
      return "!=";
    case Comparison::kGreaterOrEqual:
      return ">=";
    case Comparison::kGreater:
      return ">";
  }
  return "";
}

const Value* BoundValue(const Term& term, const Bindings& bindings) {
  if (const Value* value = std::get_if<Value>(&term)) return value;
  if (const Variable* variable = std::get_if<Variable>(&term)) {
    for (const Binding& binding : bindings) {
      if (binding.variable == variable->name) return &binding.value;
    }
  }
  return nullptr;
}

}  // namespace

std::string SayCondition(const Speaker& speaker, const Words& words, const Condition& condition,
                         const Bindings& bindings) {
  if (condition.kind == Condition::Kind::kCompare) {
    const auto side = [&](const Term& term) {
      const Value* value = BoundValue(term, bindings);
      return value == nullptr ? std::string("something") : ShowValue(*value);
    };
    return fmt::format("{} {} {}", side(condition.left), ComparisonSign(condition.comparison),
                       side(condition.right));
  }
  const Word* word = words.Find(condition.pattern.name);
  std::string text = word->says;
  for (std::size_t i = 0; i < word->slots.size(); ++i) {
    const Slot& slot = word->slots[i];
    const Value* value = BoundValue(condition.pattern.terms[i], bindings);
    const std::string said = value != nullptr ? speaker.SayValue(*value, slot)
                             : slot.dimension ? fmt::format("some {}", DimensionName(*slot.dimension))
                                              : fmt::format("some {}", slot.kind);
    const std::string brace = fmt::format("{{{}}}", slot.name);
    for (std::size_t at = text.find(brace); at != std::string::npos;
         at = text.find(brace, at + said.size())) {
      text.replace(at, brace.size(), said);
    }
  }
  if (condition.sense == Sense::kAbsent) text = "it was observed not to be so that " + text;
  if (condition.sense == Sense::kPresent) text = "it was observed that " + text;
  if (condition.kind == Condition::Kind::kNot) text = "it is not known that " + text;
  return text;
}

std::string Capitalised(std::string_view clause) {
  std::string text(clause);
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

std::string AsSentence(std::string_view clause) {
  std::string sentence = Capitalised(clause);
  if (!sentence.empty() && !sentence.ends_with('.') && !sentence.ends_with('!') && !sentence.ends_with('?'))
    sentence += '.';
  return sentence;
}

}  // namespace gearwhy
