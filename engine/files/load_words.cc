#include "engine/files/load_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "engine/files/read_statement.h"
#include "engine/files/read_value.h"
#include "engine/text/ascii.h"
#include "engine/text/near_names.h"

namespace gearwhy {
namespace {

using enum Presence;

class Loader {
 public:
  Loader(std::vector<Fields>& files, Diagnostics& diagnostics) : files_(files), diagnostics_(diagnostics) {}

  // What others name comes first.
  Words Load() {
    for (Fields& file : files_) {
      for (const YamlEntry& entry : file.Map("how_often", kOptional, "share", "The words for chances."))
        LoadHowOften(entry);
    }
    LoadAll("trust", "trust", "How far reports are trusted; the first is the default.", &Loader::LoadTrust);
    LoadAll("cautions", "caution", "What can hurt somebody, and how to keep safe.", &Loader::LoadCaution);
    LoadAll("access", "access", "What must be open, a tree in which each step costs once.",
            &Loader::LoadAccess);
    CheckAccess();
    LoadAll("kinds", "kind", "The kinds of thing that a slot can hold, by name.", &Loader::LoadKind);
    LoadAll("facts", "fact", "What is certain: from the unit, the history or a rule.", &Loader::LoadFact);
    LoadAll("events", "event", "What may or may not be so: faults, states and findings.", &Loader::LoadEvent);
    for (const auto& [name, items] : needs_) LoadNeeds(words_.words.at(name), *items);
    CheckNeeds();
    LoadAll("circumstances", "circumstance", "How it is while something is looked at.",
            &Loader::LoadCircumstance);
    CheckCircumstances();
    for (Fields& file : files_) {
      for (Fields& fields : file.Entries("sayings", kOptional, "saying",
                                         "How people say things, for complaints in plain words."))
        LoadSaying(fields);
    }
    if (words_.trusts.empty()) {
      // A rulebook that says nothing trusts what it is told.
      words_.trusts.push_back({"certain", 1, 0, true, "certain", {}});
    }
    return std::move(words_);
  }

 private:
  // Reads every entry of the map under `key` in every file.
  void LoadAll(const char* key, const char* kind, const char* help,
               void (Loader::*load)(const YamlEntry& entry, Fields& fields)) {
    for (Fields& file : files_) {
      for (auto& [entry, fields] : file.Named(key, kOptional, kind, help)) {
        if (RequireName(entry)) (this->*load)(entry, fields);
      }
    }
  }

  bool RequireName(const YamlEntry& entry) {
    if (IsName(entry.key)) return true;
    diagnostics_.Error(entry.key_place, "not-a-name",
                       fmt::format("`{}` is no name: use letters, digits, `_`, `-` and `.`", entry.key));
    return false;
  }

  // Keeps what was read under its name, or reports that the name is taken.
  template <typename Of>
  bool Keep(std::map<std::string, Of, std::less<>>& all, Of one) {
    const Place place = one.place;
    const auto [it, is_new] = all.emplace(one.name, std::move(one));
    if (!is_new) ReportTwice(it->first, place, it->second.place, diagnostics_);
    return is_new;
  }

  void Chance(Fields& fields, const char* key, double& to, const char* help) {
    ReadChance(fields, key, kNeeded, to, help, words_.how_often);
  }

  void LoadHowOften(const YamlEntry& entry) {
    if (!RequireName(entry)) return;
    const auto chance = ReadChance(entry.value, {}, diagnostics_);
    if (!chance) return;
    if (!words_.how_often.emplace(entry.key, *chance).second)
      ReportTwice(entry.key, entry.key_place, scale_places_[entry.key], diagnostics_);
    scale_places_.emplace(entry.key, entry.key_place);
  }

  void LoadTrust(const YamlEntry& entry, Fields& fields) {
    Trust trust = NamedBy<Trust>(entry);
    trust.says = entry.key;
    fields.Truth("direct", trust.direct, "Whether the part itself is looked at or measured.");
    fields.Text("says", kOptional, trust.says, "How it is spoken of; its name when left out.");
    fields.Truth("complaint", trust.of_complaints, "Whether complaints are trusted so.");
    fields.Truth("teardown", trust.of_teardown, "Whether what a case says was `found` is trusted so.");
    Chance(fields, "noticed", trust.p_noticed, "Of a hundred such troubles, how many are noticed.");
    Chance(fields, "mistaken", trust.p_mistaken, "Of a hundred such reports, how many are wrong.");
    fields.Done();
    if (trust.p_noticed <= 0 || trust.p_mistaken >= 0.5) {
      diagnostics_.Error(entry.key_place, "trust-backwards",
                         fmt::format("`{}` would be no better than chance: something must be `noticed`, and "
                                     "less than half of the reports `mistaken`",
                                     entry.key));
    }
    if (const Trust* first = words_.FindTrust(entry.key))
      return ReportTwice(entry.key, entry.key_place, first->place, diagnostics_);
    RequireOnly(trust, &Trust::of_complaints, "complaints are");
    RequireOnly(trust, &Trust::of_teardown, "what a teardown found is");
    words_.trusts.push_back(std::move(trust));
  }

  void RequireOnly(const Trust& trust, bool Trust::*mark, const char* what) {
    const auto& trusts = words_.trusts;
    const auto other = std::find_if(trusts.begin(), trusts.end(), [&](const Trust& t) { return t.*mark; });
    if (!(trust.*mark) || other == trusts.end()) return;
    diagnostics_
        .Error(trust.place, "two-trusts", fmt::format("only one trust can say how far {} trusted", what))
        .notes.push_back({other->place, "another does so here"});
  }

  void LoadCaution(const YamlEntry& entry, Fields& fields) {
    Caution caution = NamedBy<Caution>(entry);
    fields.Text("says", kNeeded, caution.says, "What the reader must know, in whole sentences.");
    fields.Done();
    Keep(words_.cautions, std::move(caution));
  }

  void LoadAccess(const YamlEntry& entry, Fields& fields) {
    Access access = NamedBy<Access>(entry);
    fields.Text("says", kNeeded, access.says, "How it is spoken of: \"with the pan off\".");
    fields.Name("from", kOptional, access.from, "The step it is reached from.");
    ReadMinutes(fields, kOptional, access.minutes, "How long this step takes.");
    fields.Truth("unit_out", access.unit_out, "Whether this step takes the unit out of the vehicle.");
    fields.Truth("not_running", access.not_running, "Whether the vehicle cannot run while this is open.");
    fields.Names("cautions", access.cautions, "What can hurt somebody in this step, by name.");
    fields.Names("opens", access.opens, "Steps of other branches that are done with this one.");
    fields.Done();
    Keep(words_.access, std::move(access));
  }

  // Every `from` leads to a step that exists, no way goes round in a circle, and every caution is one.
  void CheckAccess() {
    const std::vector<std::string> names = NamesOf(words_.access);
    const auto require = [&](const Access& access, const char* how, const std::string& other) {
      if (words_.access.contains(other)) return true;
      diagnostics_.Error(
          access.place, "unknown-access",
          fmt::format("`{}` {} `{}`, which is not described{}", access.name, how, other, Hint(other, names)));
      return false;
    };
    for (auto& [name, access] : words_.access) {
      for (const std::string& caution : access.cautions)
        RequireKnown(caution, NamesOf(words_.cautions), "caution", access.place, diagnostics_);
      for (const std::string& opened : access.opens) require(access, "opens", opened);
      if (!access.from.empty() && !require(access, "is reached from", access.from)) access.from.clear();
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

  void LoadKind(const YamlEntry& entry, Fields& fields) {
    Kind kind = NamedBy<Kind>(entry);
    const bool one = fields.ExactlyOne({"from", "values"});
    fields.OneOf<bool>(
        "from", kOptional, {true}, [](bool) { return std::string_view("unit"); }, kind.open,
        "`unit`: the unit file says which there are.", "; or list its `values`");
    for (const YamlEntry& value :
         fields.Map("values", kOptional, "text", "A closed list, each with how it is spoken of.")) {
      std::string says;
      if (!RequireName(value) || !ReadText(value.value, "a value's spoken form", diagnostics_, &says))
        continue;
      kind.values.push_back(value.key);
      kind.says[value.key] = says;
    }
    fields.Done();
    if (!fields.IsMap()) return;
    if (!one || (kind.values.empty() && !fields.Has("from"))) {
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
    Word walk = NamedBy<Word>(entry);
    walk.slots.push_back({"is", entry.key, std::nullopt, std::nullopt});
    walk.says = fmt::format("{{is}} is one of the unit's {}s", entry.key);
    if (Keep(words_.kinds, std::move(kind))) words_.words.emplace(entry.key, std::move(walk));
  }

  // A slot is described by its kind alone, or by a map.
  std::optional<Slot> ReadSlot(const YamlEntry& entry, const Fields& word) {
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
      Fields fields = word.Entry("slot", entry.value, fmt::format("the slot `{}`", entry.key));
      fields.Name("kind", kNeeded, sort, "The kind of thing or the quantity that it holds.");
      otherwise = fields.Value("default", kOptional, "quantity", "What it holds where it is left out.");
      from = fields.Value("from", kOptional, "quantity", "The least that the quantity can be.");
      to = fields.Value("to", kOptional, "quantity", "The most that the quantity can be.");
      fields.Truth("whole", whole, "Whether it can be a whole number only.");
      fields.Done();
    } else {
      ReadName(entry.value, fmt::format("the kind of slot `{}`", entry.key), diagnostics_, &sort);
    }
    if (sort.empty()) return std::nullopt;
    slot.dimension = DimensionNamed(sort);
    if (!slot.dimension) {
      if (!words_.kinds.contains(sort)) {
        diagnostics_.Error(entry.value.place, "unknown-kind",
                           fmt::format("there is no kind or quantity called `{}`{}", sort,
                                       Hint(sort, NamesOf(words_.kinds))));
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
    const std::string what = fmt::format("the default of slot `{}`", slot.name);
    if (slot.dimension) {
      if (const auto number = ReadQuantity(node, what, "", *slot.dimension, slot.range, diagnostics_))
        slot.otherwise = *number;
      return;
    }
    std::string text;
    if (!ReadText(node, what, diagnostics_, &text)) return;
    const Kind& kind = words_.kinds.find(slot.kind)->second;
    if (!kind.open && std::find(kind.values.begin(), kind.values.end(), text) == kind.values.end()) {
      diagnostics_.Error(
          node.place, "unknown-value",
          fmt::format("there is no {} called `{}`{}", kind.name, text, Hint(text, kind.values)));
    }
    slot.otherwise = text;
  }

  void LoadFact(const YamlEntry& entry, Fields& fields) {
    Word word = NamedBy<Word>(entry);
    ReadSlots(fields, word);
    ReadSentence(fields, "says", kNeeded, word.says, NamesOf(word.slots),
                 "The sentence that a reader sees, with slots in braces.");
    fields.Truth("history", word.history, "Whether `gearwhy ask` asks for it when a case is begun.");
    fields.Truth("once", word.once, "Whether a case may say it only once of the same things.");
    fields.Truth("every_part", word.every_part,
                 "Whether every part is spoken of where it holds, not the suspects alone.");
    fields.Truth("renews", word.renews, "Work: whether the part in its slot `part` is new with it.");
    fields.Done();
    if (word.renews && word.SlotIndex("part") < 0) {
      diagnostics_.Error(fields.PlaceOf("renews"), "bad-renews",
                         "what `renews` has a slot `part`, the part that is new with it");
    }
    for (const Slot& slot : word.slots) {
      if (!word.history || slot.dimension) continue;
      diagnostics_.Error(
          fields.PlaceOf("history"), "bad-history",
          fmt::format("the interview can ask for numbers only, not for the slot `{}`", slot.name));
    }
    KeepWord(std::move(word));
  }

  void LoadEvent(const YamlEntry& entry, Fields& fields) {
    Word word = NamedBy<Word>(entry);
    word.type = WordType::kFinding;
    fields.OneOf(
        "type", kNeeded, {WordType::kFault, WordType::kState, WordType::kFinding}, WordTypeName, word.type,
        "A part that has failed, something inside that follows, or what a person can see, feel or measure.");
    ReadSlots(fields, word);
    ReadSentence(fields, "says", kNeeded, word.says, NamesOf(word.slots),
                 "The sentence that a reader sees, with slots in braces.");
    ReadSentence(fields, "says_absent", kOptional, word.says_absent, NamesOf(word.slots),
                 "The sentence when it is not so.");
    ReadSentence(fields, "says_short", kOptional, word.says_short, NamesOf(word.slots),
                 "A few words for lists.");
    fields.Truth("where", word.where, "Whether a state names the place of the trouble.");
    if (const YamlNode* repair =
            fields.Value("repair", kOptional, "fault_repair|name",
                         "The access that mending a fault takes, where its kind of part does not say it."))
      ReadRepair(*repair, fields, word);
    const std::vector<YamlNode>* needs = nullptr;
    fields.Where("type", {"finding"}, word.type == WordType::kFinding, [&] {
      needs = &fields.List("needs", kOptional, "report", "What the finding presupposes of other findings.");
    });
    ReadPhrases(fields, "ask", word.ask, "Words that a customer would use, with or without slots in braces.");
    ReadPhrases(fields, "ask_absent", word.ask_absent, "The same when it is not so.");
    fields.Text("gap_because", kOptional, word.gap_because,
                "Why it may stand here although `gearwhy rules gaps` would list it.");
    fields.Done();
    if (word.where && word.type != WordType::kState) {
      diagnostics_.Error(fields.PlaceOf("where"), "bad-where",
                         "only a state can name the place of the trouble");
    }
    if (!word.gap_because.empty() && word.type == WordType::kState) {
      diagnostics_.Error(fields.PlaceOf("gap_because"), "bad-gap", "only a fault or a finding can be a gap");
    }
    if (KeepWord(std::move(word)) && needs != nullptr) needs_.emplace_back(entry.key, needs);
  }

  void ReadPhrases(Fields& fields, const char* key, std::vector<std::string>& to, const char* help) {
    for (const YamlNode& item : fields.List(key, kOptional, "text", help)) {
      std::string phrase;
      if (ReadText(item, fmt::format("a phrase of `{}`", key), diagnostics_, &phrase)) to.push_back(phrase);
    }
  }

  bool KeepWord(Word word) {
    if (word.name == "not" || word.name == "present" || word.name == "absent") {
      diagnostics_.Error(word.place, "taken-name",
                         fmt::format("`{}` has a meaning of its own in conditions", word.name));
      return false;
    }
    // A fact with the name of a kind takes the place of the plain walk over it, as `part: {part, kind}` does.
    const auto kind = words_.kinds.find(word.name);
    if (!word.IsEvent() && kind != words_.kinds.end() &&
        words_.words.at(word.name).place == kind->second.place) {
      words_.words.at(word.name) = std::move(word);
      return true;
    }
    return Keep(words_.words, std::move(word));
  }

  void ReadSlots(Fields& fields, Word& word) {
    for (const YamlEntry& entry : fields.Map("slots", kOptional, "slot|name",
                                             "What it speaks of: each slot with its kind or quantity.")) {
      if (auto slot = ReadSlot(entry, fields)) word.slots.push_back(std::move(*slot));
    }
  }

  // `repair: in_car`, or `repair: {access: in_car, because: ...}`.
  void ReadRepair(const YamlNode& node, const Fields& event, Word& word) {
    Place place = node.place;
    if (node.IsMap()) {
      Fields fields = event.Entry("fault_repair", node, "the repair");
      fields.Name("access", kNeeded, word.repair, "How far things must be open for it.");
      fields.Text("because", kNeeded, word.repair_because,
                  "Why it is not as for others of its kind of part.");
      place = fields.PlaceOf("access");
      fields.Done();
    } else {
      ReadName(node, "`repair`", diagnostics_, &word.repair);
    }
    if (word.type != WordType::kFault) {
      diagnostics_.Error(node.place, "bad-repair", "only a fault is repaired");
    } else if (!word.repair.empty()) {
      RequireKnown(word.repair, NamesOf(words_.access), "access", place, diagnostics_);
    }
  }

  // What a finding presupposes can be read only when all words are known.
  void LoadNeeds(Word& word, const std::vector<YamlNode>& items) {
    VariableUses variables;
    for (const Slot& slot : word.slots) {
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
                                       variable->name, Hint(variable->name, NamesOf(word.slots))));
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

  void LoadCircumstance(const YamlEntry& entry, Fields& fields) {
    Circumstance circumstance = NamedBy<Circumstance>(entry);
    fields.Text("says", kNeeded, circumstance.says, "How it is spoken of: \"cold\".");
    fields.Text("how", kOptional, circumstance.how, "How to bring it about, a sentence.");
    fields.Name("opposite", kNeeded, circumstance.opposite, "Its opposite, which names this one as its own.");
    fields.Name("shown_by", kOptional, circumstance.shown_by,
                "The finding that tells that a trouble comes so only.");
    fields.Where("shown_by", {}, !circumstance.shown_by.empty(), [&] {
      Chance(fields, "missed", circumstance.p_missed,
             "How often a look under the opposite misses such a trouble.");
      Chance(fields, "missed_unasked", circumstance.p_missed_unasked,
             "The same where nobody has told how the trouble comes.");
    });
    fields.Done();
    if (!circumstance.shown_by.empty()) CheckShownBy(circumstance.shown_by, fields.PlaceOf("shown_by"));
    Keep(words_.circumstances, std::move(circumstance));
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

  // Texts of which each has a word that can be compared.
  std::vector<std::string> SayingTexts(Fields& fields, const char* key, const char* help) {
    std::vector<std::string> texts;
    for (const YamlNode& item : fields.List(key, kOptional, "text", help)) {
      std::string text;
      if (!ReadText(item, fmt::format("a text of `{}`", key), diagnostics_, &text)) continue;
      const bool has_word = std::any_of(text.begin(), text.end(),
                                        [](char c) { return IsLetter(c) || IsDigit(c) || (c & 0x80); });
      if (!has_word) {
        diagnostics_.Error(item.place, "bad-saying", fmt::format("there is no word in `{}`", text));
      } else if (std::find(texts.begin(), texts.end(), text) != texts.end()) {
        diagnostics_.Error(item.place, "bad-saying", fmt::format("`{}` stands here twice", text));
      } else {
        texts.push_back(std::move(text));
      }
    }
    return texts;
  }

  void LoadSaying(Fields& fields) {
    Sayings& sayings = words_.sayings;
    const auto add = [&](const char* key, std::vector<std::string>& to, const char* help) {
      const std::vector<std::string> texts = SayingTexts(fields, key, help);
      to.insert(to.end(), texts.begin(), texts.end());
    };
    auto alike = SayingTexts(fields, "alike", "Words that mean the same.");
    if (alike.size() == 1) {
      diagnostics_.Error(fields.PlaceOf("alike"), "bad-saying",
                         fmt::format("`{}` stands alone: two texts at least mean the same", alike[0]));
    } else if (!alike.empty()) {
      sayings.alike.push_back(std::move(alike));
    }
    add("small", sayings.small, "Words that tell next to nothing.");
    add("denials", sayings.denials, "Words that say that something is not so.");
    add("joins", sayings.joins, "Words between two things that are told.");
    add("counted", sayings.counted, "What is counted: a number before it names nothing.");
    Sayings::Called called;
    called.names = SayingTexts(fields, "called", "What a thing is called besides its name.");
    fields.Where("called", {}, !called.names.empty(), [&] {
      fields.Name("where", kNeeded, called.fact,
                  "The fact that is so of what is called so; it has one slot.");
    });
    called.place = fields.PlaceOf("where");
    const auto has = [&](const char* key) { return fields.Has(key); };
    const auto keys = {"alike", "small", "denials", "joins", "counted", "called"};
    if (fields.IsMap() && std::none_of(keys.begin(), keys.end(), has))
      diagnostics_.Error(fields.place(), "bad-saying", "this saying says nothing");
    fields.Done();
    if (!called.fact.empty() && IsNameFact(called)) sayings.called.push_back(std::move(called));
  }

  bool IsNameFact(const Sayings::Called& called) {
    const Word* word = words_.Find(called.fact);
    if (word == nullptr) {
      std::vector<std::string> names;
      for (const auto& [known, one] : words_.words) {
        if (!one.IsEvent() && !one.IsWalk()) names.push_back(known);
      }
      diagnostics_.Error(
          called.place, "unknown-name",
          fmt::format("there is no fact called `{}`{}", called.fact, Hint(called.fact, names)));
      return false;
    }
    if (!word->IsEvent() && word->slots.size() == 1 && !word->slots[0].dimension) return true;
    diagnostics_
        .Error(called.place, "bad-saying", "things are called by a fact with one slot, which holds a name")
        .notes.push_back({word->place, fmt::format("`{}` is described here", called.fact)});
    return false;
  }

  std::vector<Fields>& files_;
  Diagnostics& diagnostics_;
  Words words_;
  std::map<std::string, Place> scale_places_;
  std::vector<std::pair<std::string, const std::vector<YamlNode>*>> needs_;  // to be read, by word
};

}  // namespace

Words LoadWords(std::vector<Fields>& files, Diagnostics& diagnostics) {
  return Loader(files, diagnostics).Load();
}

}  // namespace gearwhy
