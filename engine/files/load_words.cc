#include "engine/files/load_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "engine/files/read_statement.h"
#include "engine/text/fields.h"
#include "engine/text/near_names.h"
#include "engine/text/number.h"

namespace gearwhy {
namespace {

// Reads every entry of the map under `key` in every file.
template <typename Read>
void ForEachEntry(const std::vector<YamlNode>& roots, const char* key, Diagnostics& diagnostics, Read read) {
  for (const YamlNode& root : roots) {
    const YamlNode* map = root.Find(key);
    if (map == nullptr || map->IsEmpty()) continue;
    if (!map->IsMap()) {
      diagnostics.Error(map->place, "not-a-map",
                        fmt::format("`{}` is a map from names to descriptions", key));
      continue;
    }
    for (const YamlEntry& entry : map->entries) {
      if (IsName(entry.key)) {
        read(entry);
      } else {
        diagnostics.Error(entry.key_place, "not-a-name",
                          fmt::format("`{}` is no name: use letters, digits, `_`, `-` and `.`", entry.key));
      }
    }
  }
}

void ReportTwice(const std::string& name, const Place& place, const Place& first, Diagnostics& diagnostics) {
  diagnostics.Error(place, "described-twice", fmt::format("`{}` has been described already", name))
      .notes.push_back({first, "here"});
}

class Loader {
 public:
  Loader(const std::vector<YamlNode>& roots, Diagnostics& diagnostics)
      : roots_(roots), diagnostics_(diagnostics) {}

  Words Load() {
    ForEachEntry(roots_, "how_often", diagnostics_, [this](const YamlEntry& entry) { LoadHowOften(entry); });
    ForEachEntry(roots_, "trust", diagnostics_, [this](const YamlEntry& entry) { LoadTrust(entry); });
    ForEachEntry(roots_, "cautions", diagnostics_, [this](const YamlEntry& entry) { LoadCaution(entry); });
    ForEachEntry(roots_, "access", diagnostics_, [this](const YamlEntry& entry) { LoadAccess(entry); });
    CheckAccess();
    ForEachEntry(roots_, "kinds", diagnostics_, [this](const YamlEntry& entry) { LoadKind(entry); });
    ForEachEntry(roots_, "facts", diagnostics_, [this](const YamlEntry& entry) { LoadWord(entry, false); });
    ForEachEntry(roots_, "events", diagnostics_, [this](const YamlEntry& entry) { LoadWord(entry, true); });
    for (const auto& [name, items] : needs_) LoadNeeds(words_.words.at(name), *items);
    CheckNeeds();
    ForEachEntry(roots_, "circumstances", diagnostics_,
                 [this](const YamlEntry& entry) { LoadCircumstance(entry); });
    CheckCircumstances();
    if (words_.trusts.empty()) {
      // A rulebook that says nothing trusts what it is told.
      words_.trusts.push_back({"certain", 1, 0, true, "certain", {}});
    }
    return std::move(words_);
  }

 private:
  void LoadHowOften(const YamlEntry& entry) {
    const auto chance = ReadChance(entry.value, {}, diagnostics_);
    if (!chance) return;
    if (!words_.how_often.emplace(entry.key, *chance).second) {
      ReportTwice(entry.key, entry.key_place, scale_places_[entry.key], diagnostics_);
    }
    scale_places_.emplace(entry.key, entry.key_place);
  }

  void LoadTrust(const YamlEntry& entry) {
    Fields fields(entry.value, fmt::format("the trust `{}`", entry.key), diagnostics_);
    Trust trust{
        entry.key,      1, 0, fields.OptionalBool("direct", false), fields.OptionalText("says", entry.key),
        entry.key_place};
    trust.of_complaints = fields.OptionalBool("complaint", false);
    const auto chance = [&](const char* key, double& out) {
      const YamlNode* node = fields.Required(key);
      if (node == nullptr) return;
      if (const auto p = ReadChance(*node, words_.how_often, diagnostics_)) out = *p;
    };
    chance("noticed", trust.p_noticed);
    chance("mistaken", trust.p_mistaken);
    fields.Done();
    if (trust.p_noticed <= 0 || trust.p_mistaken >= 0.5) {
      diagnostics_.Error(entry.key_place, "trust-backwards",
                         fmt::format("`{}` would be no better than chance: something must be `noticed`, and "
                                     "less than half of the reports `mistaken`",
                                     entry.key));
    }
    if (const Trust* first = words_.FindTrust(entry.key)) {
      ReportTwice(entry.key, entry.key_place, first->place, diagnostics_);
      return;
    }
    const auto& trusts = words_.trusts;
    const auto other =
        std::find_if(trusts.begin(), trusts.end(), [](const Trust& t) { return t.of_complaints; });
    if (trust.of_complaints && other != trusts.end()) {
      diagnostics_
          .Error(entry.key_place, "two-trusts-of-complaints",
                 "only one trust can say how far complaints are trusted")
          .notes.push_back({other->place, "another does so here"});
    }
    words_.trusts.push_back(std::move(trust));
  }

  void LoadCaution(const YamlEntry& entry) {
    Fields fields(entry.value, fmt::format("the caution `{}`", entry.key), diagnostics_);
    Caution caution{entry.key, fields.RequiredText("says"), entry.key_place};
    fields.Done();
    const auto [it, is_new] = words_.cautions.emplace(entry.key, std::move(caution));
    if (!is_new) ReportTwice(entry.key, entry.key_place, it->second.place, diagnostics_);
  }

  void LoadAccess(const YamlEntry& entry) {
    Fields fields(entry.value, fmt::format("the access `{}`", entry.key), diagnostics_);
    Access access;
    access.name = entry.key;
    access.says = fields.RequiredText("says");
    access.from = fields.OptionalName("from");
    access.minutes = fields.OptionalNumber("minutes", 0);
    access.unit_out = fields.OptionalBool("unit_out", false);
    access.not_running = fields.OptionalBool("not_running", false);
    access.cautions = fields.OptionalNames("cautions");
    access.opens = fields.OptionalNames("opens");
    access.place = entry.key_place;
    if (access.minutes < 0) {
      diagnostics_.Error(fields.PlaceOf("minutes"), "negative-minutes", "minutes cannot be negative");
    }
    fields.Done();
    const auto [it, is_new] = words_.access.emplace(entry.key, std::move(access));
    if (!is_new) ReportTwice(entry.key, entry.key_place, it->second.place, diagnostics_);
  }

  // Every `from` leads to a step that exists, no way goes round in a circle, and every caution is one.
  void CheckAccess() {
    std::vector<std::string> cautions;
    for (const auto& [name, caution] : words_.cautions) cautions.push_back(name);
    for (const auto& [name, access] : words_.access) {
      for (const std::string& caution : access.cautions) {
        if (words_.cautions.contains(caution)) continue;
        diagnostics_.Error(
            access.place, "unknown-caution",
            fmt::format("there is no caution called `{}`{}", caution, Hint(caution, cautions)));
      }
    }
    std::vector<std::string> names;
    for (const auto& [name, access] : words_.access) names.push_back(name);
    for (const auto& [name, access] : words_.access) {
      for (const std::string& opened : access.opens) {
        if (words_.access.contains(opened)) continue;
        diagnostics_.Error(
            access.place, "unknown-access",
            fmt::format("`{}` opens `{}`, which is not described{}", name, opened, Hint(opened, names)));
      }
    }
    for (auto& [name, access] : words_.access) {
      if (access.from.empty() || words_.access.contains(access.from)) continue;
      diagnostics_.Error(access.place, "unknown-access",
                         fmt::format("`{}` is reached from `{}`, which is not described{}", name, access.from,
                                     Hint(access.from, names)));
      access.from.clear();
    }
    for (auto& [name, access] : words_.access) {
      std::set<std::string> seen = {name};
      for (const Access* step = &access; !step->from.empty(); step = &words_.access.at(step->from)) {
        if (seen.insert(step->from).second) continue;
        diagnostics_.Error(access.place, "access-circle",
                           fmt::format("the way to `{}` goes round in a circle", name));
        access.from.clear();
        break;
      }
    }
  }

  void LoadKind(const YamlEntry& entry) {
    Fields fields(entry.value, fmt::format("the kind `{}`", entry.key), diagnostics_);
    Kind kind;
    kind.name = entry.key;
    kind.place = entry.key_place;
    const std::string from = fields.OptionalText("from");
    for (const YamlEntry& value : fields.OptionalMap("values")) {
      std::string says;
      if (!IsName(value.key)) {
        diagnostics_.Error(value.key_place, "not-a-name",
                           fmt::format("`{}` is no name: use letters, digits, `_`, `-` and `.`", value.key));
      } else if (ReadText(value.value, "a value's spoken form", diagnostics_, &says)) {
        kind.values.push_back(value.key);
        kind.says[value.key] = says;
      }
    }
    fields.Done();
    kind.open = from == "unit";
    if (!fields.IsMap()) return;
    if (!from.empty() && !kind.open) {
      diagnostics_.Error(fields.PlaceOf("from"), "bad-kind",
                         "a kind's names come `from: unit`, or from its `values`");
    } else if (kind.open != kind.values.empty()) {
      diagnostics_.Error(
          entry.key_place, "bad-kind",
          fmt::format("the kind `{}` needs either `values` or `from: unit`, and not both", entry.key));
    }
    if (DimensionNamed(entry.key)) {
      diagnostics_.Error(entry.key_place, "bad-kind",
                         fmt::format("`{}` is the name of a quantity", entry.key));
      return;
    }
    // Walking over a kind: `element: $e`.
    Word walk;
    walk.name = entry.key;
    walk.slots.push_back({"is", entry.key, std::nullopt, std::nullopt});
    walk.says = fmt::format("{{is}} is one of the unit's {}s", entry.key);
    walk.place = entry.key_place;
    const auto [it, is_new] = words_.kinds.emplace(entry.key, std::move(kind));
    if (!is_new) {
      ReportTwice(entry.key, entry.key_place, it->second.place, diagnostics_);
    } else {
      words_.words.emplace(entry.key, std::move(walk));
    }
  }

  std::optional<Slot> ReadSlot(const YamlEntry& entry) {
    Slot slot;
    slot.name = entry.key;
    std::string sort;
    const YamlNode* otherwise = nullptr;
    const YamlNode* from = nullptr;
    const YamlNode* to = nullptr;
    bool whole = false;
    if (!IsName(entry.key)) {
      diagnostics_.Error(entry.key_place, "not-a-name", fmt::format("`{}` is no name for a slot", entry.key));
      return std::nullopt;
    }
    if (entry.value.IsMap()) {
      Fields fields(entry.value, fmt::format("the slot `{}`", entry.key), diagnostics_);
      sort = fields.RequiredName("kind");
      otherwise = fields.Optional("default");
      from = fields.Optional("from");
      to = fields.Optional("to");
      whole = fields.OptionalBool("whole", false);
      fields.Done();
      if (sort.empty()) return std::nullopt;
    } else if (!ReadName(entry.value, fmt::format("the kind of slot `{}`", entry.key), diagnostics_, &sort)) {
      return std::nullopt;
    }
    slot.dimension = DimensionNamed(sort);
    if (!slot.dimension) {
      const auto kind = words_.kinds.find(sort);
      if (kind == words_.kinds.end()) {
        std::vector<std::string> names;
        for (const auto& [name, known] : words_.kinds) names.push_back(name);
        diagnostics_.Error(
            entry.value.place, "unknown-kind",
            fmt::format("there is no kind or quantity called `{}`{}", sort, Hint(sort, names)));
        return std::nullopt;
      }
      slot.kind = sort;
    }
    ReadRange(entry.value.place, from, to, whole, slot);
    if (otherwise != nullptr) ReadDefault(*otherwise, slot);
    return slot;
  }

  // What the quantity of a slot can be: its dimension's range, narrowed by `from`, `to` and `whole`.
  void ReadRange(const Place& place, const YamlNode* from, const YamlNode* to, bool whole, Slot& slot) {
    if (!slot.dimension) {
      if (from == nullptr && to == nullptr && !whole) return;
      diagnostics_.Error(place, "bad-range",
                         fmt::format("only a quantity has a range, and the slot `{}` holds none", slot.name));
      return;
    }
    slot.range = RangeOf(*slot.dimension);
    const auto read = [&](const YamlNode* node, double& end) {
      std::string text, why;
      if (node == nullptr || !ReadText(*node, "an end of a range", diagnostics_, &text)) return;
      const auto number = ParseQuantity(text, *slot.dimension, &why);
      const auto outside =
          number ? WhyOutside(*number, text, *slot.dimension, RangeOf(*slot.dimension)) : std::optional(why);
      if (outside) {
        diagnostics_.Error(node->place, "bad-range", *outside);
      } else {
        end = *number;
      }
    };
    read(from, slot.range.least);
    read(to, slot.range.most);
    if (slot.range.least > slot.range.most) {
      diagnostics_.Error(place, "bad-range",
                         fmt::format("nothing can be in the range of the slot `{}`", slot.name));
    }
    if (whole && *slot.dimension != Dimension::kNumber) {
      diagnostics_.Error(place, "bad-range", "only a plain number can be `whole`");
    }
    slot.range.whole = whole;
  }

  void ReadDefault(const YamlNode& node, Slot& slot) {
    std::string text;
    if (!ReadText(node, fmt::format("the default of slot `{}`", slot.name), diagnostics_, &text)) return;
    if (slot.dimension) {
      std::string why;
      const auto number = ParseQuantity(text, *slot.dimension, &why);
      if (const auto outside =
              number ? WhyOutside(*number, text, *slot.dimension, slot.range) : std::optional(why)) {
        diagnostics_.Error(node.place, number ? "cannot-be" : "bad-quantity", *outside);
      } else {
        slot.otherwise = *number;
      }
      return;
    }
    const Kind& kind = words_.kinds.find(slot.kind)->second;
    if (!kind.open && std::find(kind.values.begin(), kind.values.end(), text) == kind.values.end()) {
      diagnostics_.Error(
          node.place, "unknown-value",
          fmt::format("there is no {} called `{}`{}", kind.name, text, Hint(text, kind.values)));
    }
    slot.otherwise = text;
  }

  void LoadWord(const YamlEntry& entry, bool event) {
    Fields fields(entry.value, fmt::format("the {} `{}`", event ? "event" : "fact", entry.key), diagnostics_);
    Word word;
    word.name = entry.key;
    word.place = entry.key_place;
    static const std::vector<YamlNode> kNone;
    const std::vector<YamlNode>* needs = &kNone;
    if (event) ReadEventFields(fields, word, &needs);
    std::vector<std::string> names;
    for (const YamlEntry& slot : fields.OptionalMap("slots")) {
      if (auto read = ReadSlot(slot)) {
        names.push_back(read->name);
        word.slots.push_back(std::move(*read));
      }
    }
    const auto sentence = [&](const char* key, bool required) {
      const std::string text = required ? fields.RequiredText(key) : fields.OptionalText(key);
      CheckBraces(text, names, fields.PlaceOf(key), diagnostics_);
      return text;
    };
    word.says = sentence("says", true);
    if (!event) word.history = fields.OptionalBool("history", false);
    if (!event) word.once = fields.OptionalBool("once", true);
    if (!event) word.every_part = fields.OptionalBool("every_part", false);
    for (const Slot& slot : word.slots) {
      if (!word.history || slot.dimension) continue;
      diagnostics_.Error(
          fields.PlaceOf("history"), "bad-history",
          fmt::format("the interview can ask for numbers only, not for the slot `{}`", slot.name));
    }
    if (event) {
      word.says_absent = sentence("says_absent", false);
      word.says_short = sentence("says_short", false);
    }
    fields.Done();
    if (entry.key == "not" || entry.key == "present" || entry.key == "absent") {
      diagnostics_.Error(entry.key_place, "taken-name",
                         fmt::format("`{}` has a meaning of its own in conditions", entry.key));
      return;
    }
    // A fact with the name of a kind takes the place of the plain walk over it, as `part: {part, kind}` does.
    if (const auto kind = words_.kinds.find(entry.key);
        !event && kind != words_.kinds.end() && words_.words.at(entry.key).place == kind->second.place) {
      words_.words.at(entry.key) = std::move(word);
      return;
    }
    const auto [it, is_new] = words_.words.emplace(entry.key, std::move(word));
    if (!is_new) {
      ReportTwice(entry.key, entry.key_place, it->second.place, diagnostics_);
    } else if (!needs->empty()) {
      needs_.emplace_back(entry.key, needs);
    }
  }

  // What a finding presupposes can be read only when all words are known.
  void LoadNeeds(Word& word, const std::vector<YamlNode>& items) {
    VariableUses variables;
    std::vector<std::string> slots;
    for (const Slot& slot : word.slots) {
      slots.push_back(slot.name);
      variables.kinds[slot.name] = slot.dimension ? DimensionName(*slot.dimension) : slot.kind;
      variables.first_use[slot.name] = word.place;
    }
    for (const YamlNode& item : items) {
      const bool well_formed = item.IsMap() && item.entries.size() == 1 &&
                               (item.entries[0].key == "present" || item.entries[0].key == "absent");
      if (!well_formed) {
        diagnostics_.Error(item.place, "bad-need",
                           "what a finding needs is `present:` or `absent:` another finding");
        continue;
      }
      const auto pattern = ReadPattern(item.entries[0].value, true, false, variables, {words_, diagnostics_});
      if (!pattern) continue;
      bool bound = true;
      for (const Term& term : pattern->terms) {
        const Variable* variable = std::get_if<Variable>(&term);
        if (variable == nullptr || word.SlotIndex(variable->name) >= 0) continue;
        bound = false;
        diagnostics_.Error(item.place, "unbound-variable",
                           fmt::format("`{}` has no slot `{}`{}; variables are here its own slots", word.name,
                                       variable->name, Hint(variable->name, slots)));
      }
      if (!bound) continue;
      if (words_.Find(pattern->name)->type != WordType::kFinding) {
        diagnostics_.Error(item.place, "bad-need",
                           fmt::format("`{}` is a {}; a finding needs findings only", pattern->name,
                                       WordTypeName(words_.Find(pattern->name)->type)));
        continue;
      }
      word.needs.push_back({item.entries[0].key == "present", *pattern, item.place});
    }
  }

  // Nothing needs itself, directly or by others.
  void CheckNeeds() {
    for (auto& [name, word] : words_.words) {
      for (const Need& need : word.needs) {
        std::set<std::string> reached;
        std::vector<std::string> left = {need.pattern.name};
        while (!left.empty()) {
          const std::string one = left.back();
          left.pop_back();
          if (!reached.insert(one).second) continue;
          for (const Need& further : words_.words.at(one).needs) left.push_back(further.pattern.name);
        }
        if (!reached.contains(name)) continue;
        diagnostics_.Error(need.place, "needs-circle",
                           fmt::format("what `{}` needs goes round in a circle, back to itself", name));
        break;
      }
    }
  }

  void LoadCircumstance(const YamlEntry& entry) {
    Fields fields(entry.value, fmt::format("the circumstance `{}`", entry.key), diagnostics_);
    Circumstance circumstance;
    circumstance.name = entry.key;
    circumstance.place = entry.key_place;
    circumstance.says = fields.RequiredText("says");
    circumstance.how = fields.OptionalText("how");
    circumstance.opposite = fields.RequiredName("opposite");
    circumstance.shown_by = fields.OptionalName("shown_by");
    const auto chance = [&](const char* key, double& out) {
      if (circumstance.shown_by.empty()) return;  // `missed` is then a key too many
      const YamlNode* node = fields.Required(key);
      if (node == nullptr) return;
      if (const auto p = ReadChance(*node, words_.how_often, diagnostics_)) out = *p;
    };
    chance("missed", circumstance.p_missed);
    chance("missed_unasked", circumstance.p_missed_unasked);
    const Place shown_by_place = fields.PlaceOf("shown_by");
    fields.Done();
    if (!circumstance.shown_by.empty()) CheckShownBy(circumstance.shown_by, shown_by_place);
    const auto [it, is_new] = words_.circumstances.emplace(entry.key, std::move(circumstance));
    if (!is_new) ReportTwice(entry.key, entry.key_place, it->second.place, diagnostics_);
  }

  void CheckShownBy(const std::string& name, const Place& place) {
    const Word* word = words_.Find(name);
    if (word == nullptr) {
      std::vector<std::string> names;
      for (const auto& [known, one] : words_.words) {
        if (one.type == WordType::kFinding) names.push_back(known);
      }
      diagnostics_.Error(place, "unknown-name",
                         fmt::format("there is no finding called `{}`{}", name, Hint(name, names)));
    } else if (word->type != WordType::kFinding || word->slots.size() > 1) {
      diagnostics_.Error(place, "bad-shown-by", "a finding with one slot at most tells how a trouble comes")
          .notes.push_back({word->place, fmt::format("`{}` is described here", name)});
    }
  }

  // Opposites are each other's.
  void CheckCircumstances() {
    for (const auto& [name, circumstance] : words_.circumstances) {
      const auto other = words_.circumstances.find(circumstance.opposite);
      if (!circumstance.opposite.empty() && name != circumstance.opposite &&
          other != words_.circumstances.end() && other->second.opposite == name)
        continue;
      diagnostics_.Error(circumstance.place, "bad-opposite",
                         fmt::format("`{}` needs an opposite that names it as its own", name));
    }
  }

  void ReadEventFields(Fields& fields, Word& word, const std::vector<YamlNode>** needs) {
    const std::string type = fields.RequiredName("type");
    static const std::vector<std::string> kTypes = {"fault", "state", "finding"};
    word.type = type == "fault" ? WordType::kFault : type == "state" ? WordType::kState : WordType::kFinding;
    if (!type.empty() && std::find(kTypes.begin(), kTypes.end(), type) == kTypes.end()) {
      diagnostics_.Error(fields.PlaceOf("type"), "bad-type",
                         fmt::format("an event is a `fault`, a `state` or a `finding`, not a `{}`", type));
    }
    word.where = fields.OptionalBool("where", false);
    if (word.where && word.type != WordType::kState) {
      diagnostics_.Error(fields.PlaceOf("where"), "bad-where",
                         "only a state can name the place of the trouble");
    }
    ReadRepair(fields, word);
    word.gap_because = fields.OptionalText("gap_because");
    if (!word.gap_because.empty() && word.type == WordType::kState) {
      diagnostics_.Error(fields.PlaceOf("gap_because"), "bad-gap", "only a fault or a finding can be a gap");
    }
    if (word.type == WordType::kFinding) *needs = &fields.OptionalList("needs");
    for (const YamlNode& item : fields.OptionalList("ask")) {
      std::string phrase;
      if (ReadText(item, "a phrase of `ask`", diagnostics_, &phrase)) word.ask.push_back(phrase);
    }
  }

  // `repair: in_car`, or `repair: {access: in_car, because: ...}`.
  void ReadRepair(Fields& fields, Word& word) {
    const YamlNode* node = fields.Optional("repair");
    if (node == nullptr) return;
    Place place = node->place;
    if (node->IsMap()) {
      Fields repair(*node, "the repair", diagnostics_);
      word.repair = repair.RequiredName("access");
      word.repair_because = repair.RequiredText("because");
      place = repair.PlaceOf("access");
      repair.Done();
    } else {
      word.repair = fields.OptionalName("repair");
    }
    if (word.type != WordType::kFault) {
      diagnostics_.Error(node->place, "bad-repair", "only a fault is repaired");
    } else if (!word.repair.empty() && !words_.access.contains(word.repair)) {
      std::vector<std::string> names;
      for (const auto& [name, access] : words_.access) names.push_back(name);
      diagnostics_.Error(
          place, "unknown-access",
          fmt::format("there is no access called `{}`{}", word.repair, Hint(word.repair, names)));
    }
  }

  const std::vector<YamlNode>& roots_;
  Diagnostics& diagnostics_;
  Words words_;
  std::map<std::string, Place> scale_places_;
  std::vector<std::pair<std::string, const std::vector<YamlNode>*>> needs_;  // to be read, by word
};

}  // namespace

Words LoadWords(const std::vector<YamlNode>& roots, Diagnostics& diagnostics) {
  return Loader(roots, diagnostics).Load();
}

const std::vector<std::string>& WordKeys() {
  static const std::vector<std::string> kKeys = {"kinds", "facts",         "events", "how_often",
                                                 "trust", "circumstances", "access", "cautions"};
  return kKeys;
}

std::optional<double> ReadChance(const YamlNode& node,
                                 const std::map<std::string, double, std::less<>>& how_often,
                                 Diagnostics& diagnostics) {
  if (!node.IsScalar()) {
    diagnostics.Error(node.place, "bad-chance", "a chance is a single value: `usually`, `12%` or `3 in 10`");
    return std::nullopt;
  }
  const std::string& text = node.text;
  if (const auto it = how_often.find(text); it != how_often.end()) return it->second;
  std::string why;
  std::optional<double> chance;
  if (const std::size_t in = text.find(" in "); in != std::string::npos) {
    const auto part = ParseNumber(text.substr(0, in), &why);
    const auto whole = ParseNumber(text.substr(in + 4), &why);
    if (part && whole && *whole > 0) chance = *part / *whole;
  } else if (const auto number = ParseQuantity(text, Dimension::kNumber, &why)) {
    chance = *number;
  }
  if (!chance) {
    std::vector<std::string> names;
    for (const auto& [name, p] : how_often) names.push_back(name);
    diagnostics.Error(node.place, "bad-chance",
                      fmt::format("`{}` is no chance{}; write a word of the scale, `12%` or `3 in 10`", text,
                                  Hint(text, names, 0)));
    return std::nullopt;
  }
  if (!(*chance >= 0 && *chance <= 1)) {
    const bool percent_meant = *chance > 1 && *chance <= 100 && text.find_first_of("% ") == std::string::npos;
    diagnostics.Error(node.place, "chance-outside",
                      fmt::format("the chance `{}` lies outside 0% to 100%{}", text,
                                  percent_meant ? fmt::format("; did you mean `{}%`?", text) : ""));
    return std::nullopt;
  }
  return chance;
}

namespace {

// The names in braces of a text, in order. `well_formed` is false when a brace is not closed.
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

}  // namespace

void CheckBraces(const std::string& text, const std::vector<std::string>& known, const Place& place,
                 Diagnostics& diagnostics) {
  bool well_formed = true;
  for (const std::string& name : BracedNames(text, &well_formed)) {
    if (std::find(known.begin(), known.end(), name) != known.end()) continue;
    diagnostics.Error(place, "unknown-brace",
                      fmt::format("`{{{}}}` in this sentence stands for nothing{}", name, Hint(name, known)));
  }
  if (!well_formed) diagnostics.Error(place, "open-brace", "a brace in this sentence is not closed");
}

}  // namespace gearwhy
