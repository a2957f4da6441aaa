#include "engine/files/load_unit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/text/fields.h"
#include "engine/text/near_names.h"
#include "engine/text/number.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

using Names = std::vector<std::string>;

constexpr int kMaxGearsets = 12, kMaxElements = 32, kMaxOneWayClutches = 8, kMaxRanges = 32;
constexpr int kMaxTeeth = 1000, kMaxCount = 1000;

bool Contains(const Names& names, std::string_view name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

template <typename Named>
Names NamesOf(const std::vector<Named>& all) {
  Names names;
  for (const Named& one : all) names.push_back(one.name);
  return names;
}

std::string Spaced(std::string text) {
  std::replace(text.begin(), text.end(), '_', ' ');
  return text;
}

class UnitLoader {
 public:
  UnitLoader(const YamlNode& root, const Words& words, Diagnostics& diagnostics)
      : words_(words), diagnostics_(diagnostics), fields_(root, "a unit", diagnostics) {
    unit_.place = root.place;
  }

  Unit Load() {
    unit_.name = fields_.RequiredName("unit");
    if (fields_.IsMap()) unit_.place = fields_.PlaceOf("unit");
    unit_.says = fields_.RequiredText("says");
    // Variants come first: counts of parts speak of them. Facts come last: they speak of everything.
    for (const YamlEntry& entry : fields_.OptionalMap("variants")) LoadVariant(entry);
    for (const YamlEntry& entry : fields_.RequiredMap("gearsets")) LoadGearset(entry);
    for (const YamlNode& node : fields_.OptionalList("joins")) LoadJoin(node);
    for (const YamlEntry& entry : fields_.RequiredMap("elements")) LoadElement(entry);
    for (const YamlEntry& entry : fields_.OptionalMap("parts")) LoadPart(entry, "", "");
    for (const YamlEntry& entry : fields_.RequiredMap("ranges")) LoadRange(entry);
    LoadShifts();
    LoadFacts(fields_.OptionalList("facts"), unit_.facts, unit_.fact_places);
    for (std::size_t i = 0; i < unit_.variants.size(); ++i)
      LoadFacts(*variant_facts_[i], unit_.variants[i].facts, unit_.variants[i].fact_places);
    CheckSizes();
    fields_.Done();
    return std::move(unit_);
  }

 private:
  // A name that may be used here: well formed, without a dot, and not taken by another element, range, part
  // or variant.
  bool TakeName(const YamlEntry& entry, const std::string& what, const std::string& full_name) {
    if (!IsName(entry.key) || entry.key.find('.') != std::string::npos) {
      diagnostics_.Error(
          entry.key_place, "not-a-name",
          fmt::format("{} is no name for {}: use letters, digits, `_` and `-`", InTicks(entry.key), what));
      return false;
    }
    const auto [at, is_new] = taken_.emplace(full_name, entry.key_place);
    if (!is_new) {
      diagnostics_
          .Error(entry.key_place, "name-taken",
                 fmt::format("{} is the name of something else already", InTicks(full_name)))
          .notes.push_back({at->second, "here"});
    }
    return is_new;
  }

  // The node's text if it is one of `known`.
  std::optional<std::string> ReadKnown(const YamlNode& node, const char* what, const char* code,
                                       const Names& known) {
    std::string name;
    if (!ReadName(node, fmt::format("the name of the {}", what), diagnostics_, &name)) return std::nullopt;
    if (Contains(known, name)) return name;
    diagnostics_.Error(node.place, code,
                       fmt::format("there is no {} called {}{}", what, InTicks(name), Hint(name, known)));
    return std::nullopt;
  }

  // A whole number from 1 to `most`; 0 and a report when it is none.
  int ReadWhole(const YamlNode& node, const std::string& what, int most) {
    std::string text, why;
    if (!ReadText(node, what, diagnostics_, &text)) return 0;
    const std::optional<double> number = ParseNumber(text, &why);
    if (number && *number >= 1 && *number <= most && *number == std::floor(*number))
      return static_cast<int>(*number);
    diagnostics_.Error(
        node.place, "bad-count",
        number ? fmt::format("{} should be a whole number from 1 to {}, not {}", what, most, InTicks(text))
               : fmt::format("{} should be a whole number: {}", what, why));
    return 0;
  }

  void LoadVariant(const YamlEntry& entry) {
    const bool good = TakeName(entry, "a variant", entry.key);
    Fields fields(entry.value, fmt::format("the variant {}", InTicks(entry.key)), diagnostics_);
    Variant variant;
    variant.name = entry.key;
    variant.says = fields.OptionalText("says", Spaced(entry.key));
    variant.place = entry.key_place;
    const std::vector<YamlNode>& facts = fields.OptionalList("facts");
    fields.Done();
    if (!good) return;
    unit_.variants.push_back(std::move(variant));
    variant_facts_.push_back(&facts);
  }

  void LoadGearset(const YamlEntry& entry) {
    Fields fields(entry.value, fmt::format("the gearset {}", InTicks(entry.key)), diagnostics_);
    Gearset set;
    set.name = entry.key;
    set.place = entry.key_place;
    if (!IsName(set.name) || set.name.find('.') != std::string::npos || Contains(members_, set.name)) {
      diagnostics_.Error(
          entry.key_place, "not-a-name",
          fmt::format(
              "{} is no name for a gearset: use letters, digits, `_` and `-`, and not `input`, `output` or "
              "`case`",
              InTicks(set.name)));
      return;
    }
    const YamlNode* type_node = fields.Required("type");
    if (type_node == nullptr) return;
    const std::optional<std::string> type = ReadKnown(*type_node, "type of gearset", "unknown-gearset-type",
                                                      {"simple", "dual_pinion", "ravigneaux"});
    if (!type) {  // which keys are wanted depends on it; every member that could be meant is let pass
      for (const char* member : {"sun", "small_sun", "large_sun", "ring", "carrier"})
        members_.push_back(set.name + "." + member);
      return;
    }
    if (*type == "dual_pinion") set.type = Gearset::Type::kDualPinion;
    if (*type == "ravigneaux") set.type = Gearset::Type::kRavigneaux;
    const auto teeth = [&](const char* key) {
      const YamlNode* node = fields.Required(key);
      return node == nullptr ? 0 : ReadWhole(*node, fmt::format("the teeth of {}", InTicks(key)), kMaxTeeth);
    };
    const bool two_suns = set.type == Gearset::Type::kRavigneaux;
    set.sun_teeth = teeth(two_suns ? "small_sun" : "sun");
    if (two_suns) set.large_sun_teeth = teeth("large_sun");
    set.ring_teeth = teeth("ring");
    set.profile_shift = fields.OptionalBool("profile_shift", false);
    fields.Done();
    if (set.ring_teeth > 0 && set.ring_teeth <= std::max(set.sun_teeth, set.large_sun_teeth)) {
      diagnostics_.Error(
          fields.PlaceOf("ring"), "ring-too-small",
          fmt::format("the ring of {} has no more teeth than its sun; the sun and the planets must fit in it",
                      InTicks(set.name)));
    }
    for (const std::string& member : MemberNames(set.type)) members_.push_back(set.name + "." + member);
    unit_.gearsets.push_back(std::move(set));
  }

  void LoadJoin(const YamlNode& node) {
    if (!node.IsList() || node.items.size() < 2) {
      diagnostics_.Error(
          node.place, "bad-join",
          "a join lists two or more members that turn as one, as in `[front.ring, rear.ring]`");
      return;
    }
    std::vector<MemberName> join;
    for (const YamlNode& item : node.items)
      if (auto member = ReadKnown(item, "member", "unknown-member", members_)) join.push_back(*member);
    if (join.size() == node.items.size()) unit_.joins.push_back(std::move(join));
  }

  // Sets the two members that the element stands between.
  void LoadPlaceOfElement(Fields& fields, Element& element) {
    if (element.type == ElementType::kBrake || element.type == ElementType::kBand) {
      const YamlNode* holds = fields.Required("holds");
      if (holds == nullptr) return;
      element.first = ReadKnown(*holds, "member", "unknown-member", members_).value_or("");
      element.second = "case";
      if (element.first == "case")
        diagnostics_.Error(holds->place, "bad-element", "the case is held already");
      return;
    }
    const YamlNode* between = fields.Required("between");
    if (between == nullptr) return;
    if (!between->IsList() || between->items.size() != 2) {
      diagnostics_.Error(between->place, "bad-element",
                         "`between` lists two members, as in `[input, front.sun]`");
      return;
    }
    element.first = ReadKnown(between->items[0], "member", "unknown-member", members_).value_or("");
    element.second = ReadKnown(between->items[1], "member", "unknown-member", members_).value_or("");
    if (!element.first.empty() && element.first == element.second)
      diagnostics_.Error(between->place, "bad-element",
                         fmt::format("both ends are {}", InTicks(element.first)));
    else if (element.type == ElementType::kClutch && (element.first == "case" || element.second == "case"))
      diagnostics_.Error(
          between->place, "bad-element",
          "a clutch joins two members that turn; to hold one still, write `type: brake` and `holds:`");
  }

  void LoadElement(const YamlEntry& entry) {
    const bool good = TakeName(entry, "an element", entry.key);
    Fields fields(entry.value, fmt::format("the element {}", InTicks(entry.key)), diagnostics_);
    Element element;
    element.name = entry.key;
    element.place = entry.key_place;
    const YamlNode* type_node = fields.Required("type");
    std::optional<std::string> type;
    if (type_node != nullptr)
      type = ReadKnown(*type_node, "type of element", "unknown-element-type",
                       {"clutch", "brake", "band", "one_way_clutch"});
    if (!type) {  // which keys are wanted depends on it; ranges may still name the element
      if (good) unit_.elements.push_back(std::move(element));
      return;
    }
    for (ElementType known :
         {ElementType::kClutch, ElementType::kBrake, ElementType::kBand, ElementType::kOneWayClutch})
      if (*type == ElementTypeName(known)) element.type = known;
    element.says = fields.OptionalText("says", Spaced(*type) + " " + element.name);
    LoadPlaceOfElement(fields, element);
    for (const YamlEntry& part : fields.OptionalMap("parts")) LoadPart(part, element.name, element.says);
    fields.Done();
    if (good) unit_.elements.push_back(std::move(element));
  }

  void LoadPart(const YamlEntry& entry, const std::string& element, const std::string& element_says) {
    Part part;
    part.id = element.empty() ? entry.key : element + "." + entry.key;
    part.element = element;
    part.place = entry.key_place;
    const bool good = TakeName(entry, "a part", part.id);
    Fields fields(entry.value, fmt::format("the part {}", InTicks(part.id)), diagnostics_);
    part.kind = fields.RequiredName("kind");
    part.says = fields.OptionalText(
        "says", "the " + Spaced(part.kind) + (element.empty() ? "" : " of " + element_says));
    if (const YamlNode* variants = fields.Optional("variants")) {
      if (!variants->IsList() || variants->items.empty())
        diagnostics_.Error(variants->place, "not-a-list",
                           "`variants` lists the variants that have this part");
      for (const YamlNode& node : variants->items)
        if (auto variant = ReadKnown(node, "variant", "unknown-variant", NamesOf(unit_.variants)))
          part.variants.push_back(*variant);
    }
    if (const YamlNode* count = fields.Optional("count")) LoadCount(*count, part);
    fields.Done();
    if (good) unit_.parts.push_back(std::move(part));
  }

  void LoadCount(const YamlNode& node, Part& part) {
    const std::string what = fmt::format("the count of {}", InTicks(part.id));
    if (!node.IsMap()) {
      part.count[""] = ReadWhole(node, what, kMaxCount);
      return;
    }
    const Names variants = NamesOf(unit_.variants);
    for (const YamlEntry& entry : node.entries) {
      if (!Contains(variants, entry.key)) {
        diagnostics_.Error(
            entry.key_place, "unknown-variant",
            fmt::format("there is no variant called {}{}", InTicks(entry.key), Hint(entry.key, variants)));
      } else {
        part.count[entry.key] = ReadWhole(entry.value, what, kMaxCount);
      }
    }
    for (const std::string& variant : part.variants.empty() ? variants : part.variants)
      if (!node.Find(variant))
        diagnostics_.Error(node.place, "missing-count",
                           fmt::format("{} is not said for the variant {}", what, InTicks(variant)));
  }

  void LoadRange(const YamlEntry& entry) {
    const bool good = TakeName(entry, "a range", entry.key);
    Fields fields(entry.value, fmt::format("the range {}", InTicks(entry.key)), diagnostics_);
    Range range;
    range.name = entry.key;
    range.place = entry.key_place;
    range.says = fields.OptionalText("says", range.name);
    for (const YamlNode& node : fields.RequiredList("applied")) {
      const auto name = ReadKnown(node, "element", "unknown-element", NamesOf(unit_.elements));
      if (!name) continue;
      if (Contains(range.applied, *name)) {
        diagnostics_.Error(node.place, "applied-twice", fmt::format("{} is listed already", InTicks(*name)));
      } else if (unit_.FindElement(*name)->type == ElementType::kOneWayClutch) {
        diagnostics_.Error(
            node.place, "one-way-applied",
            fmt::format("{} is a one-way clutch; it holds by itself and is not listed", InTicks(*name)));
      } else {
        range.applied.push_back(*name);
      }
    }
    if (fields.Optional("ratio")) {
      const int errors = diagnostics_.error_count();
      const double ratio = fields.OptionalNumber("ratio", 0);
      if (ratio == 0 && errors == diagnostics_.error_count())
        diagnostics_.Error(fields.PlaceOf("ratio"), "bad-ratio",
                           "no range has a ratio of 0; write `neutral: true` for a neutral one");
      range.stated_ratio = ratio;
    }
    range.neutral = fields.OptionalBool("neutral", false);
    if (range.neutral && range.stated_ratio)
      diagnostics_.Error(fields.PlaceOf("neutral"), "bad-ratio",
                         "a range that is neutral by design has no `ratio`");
    fields.Done();
    if (good) unit_.ranges.push_back(std::move(range));
  }

  void LoadShifts() {
    if (fields_.Optional("shifts") == nullptr) {
      const Range* before = nullptr;
      for (const Range& range : unit_.ranges) {
        if (!range.name.starts_with("D")) continue;
        if (before != nullptr) {
          unit_.shifts.push_back({before->name, range.name, range.place});
          unit_.shifts.push_back({range.name, before->name, range.place});
        }
        before = &range;
      }
      return;
    }
    const Names ranges = NamesOf(unit_.ranges);
    for (const YamlNode& node : fields_.OptionalList("shifts")) {
      std::string text;
      if (!ReadText(node, "a shift", diagnostics_, &text)) continue;
      const std::size_t to = text.find(" to ");
      if (to == std::string::npos) {
        diagnostics_.Error(node.place, "bad-shift",
                           fmt::format("{} is no shift; write it as in `D1 to D2`", InTicks(text)));
        continue;
      }
      const Shift shift{text.substr(0, to), text.substr(to + 4), node.place};
      bool good = true;
      for (const std::string& range : {shift.from, shift.to}) {
        if (Contains(ranges, range)) continue;
        diagnostics_.Error(node.place, "unknown-range",
                           fmt::format("there is no range called {}{}", InTicks(range), Hint(range, ranges)));
        good = false;
      }
      const bool twice = std::any_of(unit_.shifts.begin(), unit_.shifts.end(), [&](const Shift& other) {
        return other.from == shift.from && other.to == shift.to;
      });
      if (good && (twice || shift.from == shift.to)) {
        diagnostics_.Error(node.place, "bad-shift",
                           twice ? "this shift is listed already" : "a shift goes to another range");
      } else if (good) {
        unit_.shifts.push_back(shift);
      }
    }
  }

  void LoadFacts(const std::vector<YamlNode>& nodes, std::vector<Statement>& facts,
                 std::vector<Place>& places) {
    const KindMembers members = MembersOf(unit_);
    for (const YamlNode& node : nodes) {
      if (auto fact = ReadStatement(node, false, {words_, diagnostics_, &members})) {
        facts.push_back(std::move(*fact));
        places.push_back(node.place);
      }
    }
  }

  void CheckSizes() {
    const auto check = [&](const char* key, std::size_t size, int most, const char* what) {
      if (size > static_cast<std::size_t>(most))
        diagnostics_.Error(fields_.PlaceOf(key), "too-many",
                           fmt::format("there are {} {}; at most {} can be worked out", size, what, most));
    };
    check("gearsets", unit_.gearsets.size(), kMaxGearsets, "gearsets");
    check("elements", unit_.elements.size(), kMaxElements, "elements");
    check("ranges", unit_.ranges.size(), kMaxRanges, "ranges");
    const auto one_way =
        std::count_if(unit_.elements.begin(), unit_.elements.end(),
                      [](const Element& element) { return element.type == ElementType::kOneWayClutch; });
    check("elements", static_cast<std::size_t>(one_way), kMaxOneWayClutches, "one-way clutches");
  }

  const Words& words_;
  Diagnostics& diagnostics_;
  Fields fields_;
  Unit unit_;
  Names members_ = {"input", "output", "case"};
  std::map<std::string, Place> taken_;
  std::vector<const std::vector<YamlNode>*> variant_facts_;  // beside unit_.variants
};

}  // namespace

std::optional<Unit> LoadUnit(const YamlNode& root, const Words& words, Diagnostics& diagnostics) {
  const int errors = diagnostics.error_count();
  Unit unit = UnitLoader(root, words, diagnostics).Load();
  if (diagnostics.error_count() > errors) return std::nullopt;
  return unit;
}

}  // namespace gearwhy
