#include "engine/render/say.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <functional>
#include <vector>

#include "engine/text/safe_text.h"

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

std::string SayKnown(const Words& words, const std::string& trust, const std::vector<std::string>& under) {
  std::string says = words.FindTrust(trust)->says;
  for (const std::string& name : under) says += ", " + words.circumstances.find(name)->second.says;
  return says;
}

}  // namespace

std::string SayTrust(const Words& words, const Observation& observation) {
  return SayKnown(words, observation.trust, observation.under);
}

Speaker::Speaker(const Words& words, const Unit* unit, const Sources& sources)
    : words_(words), unit_(unit), sources_(sources) {
  if (unit == nullptr) return;
  for (const Element& element : unit->elements) names_["element"][element.name] = element.says;
  for (const Range& range : unit->ranges) names_["range"][range.name] = range.says;
  for (const Part& part : unit->parts) names_["part"][part.id] = part.says;
  for (const auto* named : {&unit->versions, &unit->plain_variants, &unit->variants}) {
    for (const Variant& one : *named) names_["variant"][one.name] = one.says;
  }
  for (const Variant& version : unit->versions) names_["version"][version.name] = version.says;
}

std::string Speaker::SayTrust(const Origin& origin) const {
  if (origin.kind == Origin::Kind::kRule) return fmt::format("by the rule {}", origin.id);
  if (origin.kind == Origin::Kind::kSilence) return *origin.says;
  if (origin.kind == Origin::Kind::kReading) return fmt::format("with {}", *origin.says);
  return SayKnown(words_, origin.id, origin.under);
}

std::string Speaker::SayOrigin(const Origin& origin) const {
  const auto here = [&]() -> std::string {
    switch (origin.kind) {
      case Origin::Kind::kRule:
        return fmt::format("{} (rule {})", SayPlace(origin.place), origin.id);
      case Origin::Kind::kChart:
        return fmt::format("{} (chart {})", SayPlace(origin.place), origin.id);
      case Origin::Kind::kFactor:
        return fmt::format("{} (factor {})", SayPlace(origin.place), origin.id);
      default:
        return SayPlace(origin.place);
    }
  };
  if (origin.kind == Origin::Kind::kReckoned) return "reckoned from this:";
  if (origin.kind == Origin::Kind::kCalculated) return "calculated from the gearsets and the apply chart";
  std::string text = here();
  for (const LayerChange* change : LayeredAt(origin.place).changes) {
    if (change->overridden_by >= 0) continue;
    text += fmt::format("; {} by {}: {}", SayChangedKeys(*change), SayPlace(change->place), change->because);
  }
  return text;
}

Speaker::Layered Speaker::LayeredAt(const Place& place) const {
  Layered layered;
  if (layers_ == nullptr || layers_->names.size() < 2 || !layers_->of_source.contains(place.source))
    return layered;
  layered.changes = ChangesAt(layers_->changes, place);
  if (unit_ != nullptr) {
    const auto of_unit = ChangesAt(unit_->changes, place);
    layered.changes.insert(layered.changes.end(), of_unit.begin(), of_unit.end());
  }
  const int layer = layered.changes.empty() ? layers_->Of(place) : layered.changes.back()->layer;
  layered.layer = LayerName(layer);
  return layered;
}

std::string SayChangedKeys(const LayerChange& change) {
  constexpr int kWidest = 40;  // columns of one value
  std::string text;
  const auto add = [&](const std::string& part) { text += (text.empty() ? "" : ", ") + part; };
  for (const LayerChange::Key& key : change.keys) {
    const std::string name = key.key.empty() ? "" : key.key + " ";
    const auto value = [](const std::string& yaml) {
      return DisplayWidth(yaml) <= kWidest ? SafeLine(yaml) : "as it stands there";
    };
    if (key.is.empty()) {
      add(fmt::format("no {}", name.empty() ? "value" : key.key));
    } else if (change.verb == LayerChange::Verb::kExtend) {
      add(fmt::format("{}{} added", name, value(key.is)));
    } else if (key.was.empty() || DisplayWidth(key.was) > kWidest || DisplayWidth(key.is) > kWidest) {
      add(name + value(key.is));
    } else {
      add(fmt::format("{}{} instead of {}", name, value(key.is), value(key.was)));
    }
  }
  return text.empty() ? std::string(LayerVerbName(change.verb)) + "d" : text;
}

std::string Speaker::SayAccess(const std::string& access) const {
  const auto known = words_.access.find(access);
  return known == words_.access.end() ? "" : known->second.says;
}

std::string Speaker::SayCaution(const std::string& caution) const {
  const auto known = words_.cautions.find(caution);
  return known == words_.cautions.end() ? "" : known->second.says;
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

std::string Speaker::SayOpen(const Word& word, const Statement* known, const std::vector<int>& open,
                             std::string_view blank) const {
  return FillBraces(word.says, [&](std::string_view name) {
    const int slot = word.SlotIndex(name);
    if (known == nullptr || slot < 0 || std::find(open.begin(), open.end(), slot) != open.end())
      return std::string(blank);
    const auto i = static_cast<std::size_t>(slot);
    return SayValue(known->slots[i], word.slots[i]);
  });
}

std::string Speaker::SayWith(const Statement& fact, std::string_view number) const {
  const Word& word = *words_.Find(fact.name);
  std::vector<int> quantities;
  for (std::size_t i = 0; i < word.slots.size(); ++i) {
    if (word.slots[i].dimension) quantities.push_back(static_cast<int>(i));
  }
  return SayOpen(word, &fact, quantities, number);
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

std::string Speaker::Say(const Phrase& phrase) const {
  if (phrase.IsEmpty()) return "";
  return FillBraces(*phrase.text, [&](std::string_view name) {
    for (const Binding& binding : phrase.bindings) {
      if (binding.variable != name) continue;
      const auto kind = phrase.variables->find(binding.variable);
      Slot slot;
      if (kind != phrase.variables->end()) {
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

std::string Speaker::SayCondition(const Condition& condition, const Bindings& bindings) const {
  if (condition.kind == Condition::Kind::kCompare) {
    const auto side = [&](const Term& term) {
      const Value* value = BoundValue(term, bindings);
      return value == nullptr ? std::string("something") : ShowValue(*value);
    };
    const std::string share = condition.share_of_right == 1
                                  ? ""
                                  : fmt::format("{}% of ", ShowValue(condition.share_of_right * 100));
    return fmt::format("{} {} {}{}", side(condition.left), ComparisonSign(condition.comparison), share,
                       side(condition.right));
  }
  const Word* word = words_.Find(condition.pattern.name);
  std::string text = word->says;
  for (std::size_t i = 0; i < word->slots.size(); ++i) {
    const Slot& slot = word->slots[i];
    const Value* value = BoundValue(condition.pattern.terms[i], bindings);
    const std::string said = value != nullptr ? SayValue(*value, slot)
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
