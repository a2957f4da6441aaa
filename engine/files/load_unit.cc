#include "engine/files/load_unit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/files/expand_versions.h"
#include "engine/files/load_choices.h"
#include "engine/files/load_dimensions.h"
#include "engine/files/load_stack.h"
#include "engine/files/read_value.h"
#include "engine/text/near_names.h"
#include "engine/text/number.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

using enum Presence;

using Names = std::vector<std::string>;

constexpr int kMaxGearsets = 12, kMaxElements = 32, kMaxOneWayClutches = 8, kMaxRanges = 32;
constexpr int kMaxTeeth = 1000, kMaxCount = 1000;

bool Contains(const Names& names, std::string_view name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

std::string Spaced(std::string text) {
  std::replace(text.begin(), text.end(), '_', ' ');
  return text;
}

std::string_view GearsetTypeName(Gearset::Type type) {
  switch (type) {
    case Gearset::Type::kSimple:
      return "simple";
    case Gearset::Type::kDualPinion:
      return "dual_pinion";
    case Gearset::Type::kRavigneaux:
      return "ravigneaux";
  }
  return "";
}

class UnitLoader {
 public:
  UnitLoader(Fields fields, const Words& words, Diagnostics& diagnostics)
      : words_(words), diagnostics_(diagnostics), fields_(std::move(fields)) {}

  // Variants come first: counts of parts speak of them. Facts come last: they speak of everything.
  Unit Load() {
    fields_.Name("unit", kNeeded, unit_.name, "Its name, that of the file: the arrangement, never a maker.");
    unit_.place = fields_.PlaceOf("unit");
    fields_.Text("says", kNeeded, unit_.says, "How it is spoken of.");
    Each("variants", kOptional, "variant", "The variants that there are, by name.", &UnitLoader::LoadVariant);
    CheckChances("variants", unit_.variants);
    Each("versions", kOptional, "variant",
         "The versions that there are beside the variants, by name: early and late.",
         &UnitLoader::LoadVersion);
    CheckChances("versions", unit_.versions);
    Each("gearsets", kNeeded, "gearset", "The planetary gearsets, by name.", &UnitLoader::LoadGearset);
    for (const YamlNode& node : fields_.List("joins", kOptional, "members",
                                             "Members that turn as one, as in `[front.ring, rear.ring]`."))
      LoadJoin(node);
    Each("elements", kNeeded, "element", "The clutches, brakes, bands and one-way clutches, by name.",
         &UnitLoader::LoadElement);
    Each("parts", kOptional, "part", "The parts that belong to no element, by name.",
         &UnitLoader::LoadUnitPart);
    for (auto& [entry, fields] :
         fields_.Named("stacks", kOptional, "stack",
                       "How the packs lie in their drums, and the rings for them, by element."))
      LoadStack(entry, fields, unit_, diagnostics_);
    LoadDimensions(fields_, unit_, diagnostics_);
    LoadChoices(fields_, unit_, words_, diagnostics_);
    Each("ranges", kNeeded, "range", "The ranges, by name.", &UnitLoader::LoadRange);
    for (const YamlNode& node : fields_.List("shifts", kOptional, "text",
                                             "The shifts it makes, as in `D1 to D2`; left out: up and down "
                                             "through the ranges that begin with `D`."))
      LoadShift(node);
    if (!fields_.Has("shifts")) SetUsualShifts();
    LoadFacts(fields_.List("facts", kOptional, "statement", "What is true of every variant."), unit_.facts,
              unit_.fact_places);
    for (std::size_t i = 0; i < unit_.variants.size(); ++i)
      LoadFacts(*variant_facts_[i], unit_.variants[i].facts, unit_.variants[i].fact_places);
    for (std::size_t i = 0; i < unit_.versions.size(); ++i)
      LoadFacts(*version_facts_[i], unit_.versions[i].facts, unit_.versions[i].fact_places);
    fields_.Done();
    CheckSizes();
    ExpandVersions(unit_, only_in_versions_);
    return std::move(unit_);
  }

 private:
  void Each(const char* key, Presence presence, const char* kind, const char* help,
            void (UnitLoader::*load)(const YamlEntry&, Fields&)) {
    for (auto& [entry, fields] : fields_.Named(key, presence, kind, help)) (this->*load)(entry, fields);
  }

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
  std::optional<std::string> ReadKnown(const YamlNode& node, const char* what, const Names& known) {
    std::string name;
    if (!ReadName(node, fmt::format("the name of the {}", what), diagnostics_, &name) ||
        !RequireKnown(name, known, what, node.place, diagnostics_))
      return std::nullopt;
    return name;
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

  void LoadVariant(const YamlEntry& entry, Fields& fields) {
    LoadOneOf(entry, fields, "a variant", unit_.variants, variant_facts_);
  }
  void LoadVersion(const YamlEntry& entry, Fields& fields) {
    LoadOneOf(entry, fields, "a version", unit_.versions, version_facts_);
  }

  void LoadOneOf(const YamlEntry& entry, Fields& fields, const char* what, std::vector<Variant>& to,
                 std::vector<const std::vector<YamlNode>*>& to_facts) {
    const bool good = TakeName(entry, what, entry.key);
    Variant variant = NamedBy<Variant>(entry);
    variant.says = Spaced(entry.key);
    fields.Text("says", kOptional, variant.says, "How it is spoken of; its name when left out.");
    ReadChance(fields, "chance", kOptional, variant.p_chance,
               "How many of the units that come in are this variant; an equal part of what the others leave "
               "when left out.",
               words_.how_often);
    const std::vector<YamlNode>& facts =
        fields.List("facts", kOptional, "statement", "What is true of this variant only.");
    fields.Done();
    if (!good) return;
    to.push_back(std::move(variant));
    to_facts.push_back(&facts);
  }

  // What is stated leaves something for the others, or makes 100 in 100 where all are stated.
  void CheckChances(const char* key, const std::vector<Variant>& variants) {
    constexpr double kRounding = 0.005;
    double stated = 0;
    bool all = !variants.empty();
    for (const Variant& variant : variants) {
      stated += variant.p_chance.value_or(0);
      all &= variant.p_chance.has_value();
    }
    if (all ? std::abs(stated - 1) <= kRounding : stated < 1 || variants.empty()) return;
    diagnostics_.Error(
        fields_.PlaceOf(key), "variant-chances",
        all ? fmt::format("the chances of the {} make {:.4g} in 100 together, not 100", key, stated * 100)
            : fmt::format("the chances stated for {} make {:.4g} in 100, and leave nothing for the others",
                          key, stated * 100));
  }

  void LoadGearset(const YamlEntry& entry, Fields& fields) {
    Gearset set = NamedBy<Gearset>(entry);
    if (!IsName(set.name) || set.name.find('.') != std::string::npos || Contains(members_, set.name)) {
      diagnostics_.Error(
          entry.key_place, "not-a-name",
          fmt::format(
              "{} is no name for a gearset: use letters, digits, `_` and `-`, and not `input`, `output` or "
              "`case`",
              InTicks(set.name)));
      return;
    }
    using Type = Gearset::Type;
    const bool has_type = fields.OneOf("type", kNeeded, {Type::kSimple, Type::kDualPinion, Type::kRavigneaux},
                                       GearsetTypeName, set.type, "How its planets mesh.");
    if (!has_type) {  // which keys are wanted depends on it; every member that could be meant is let pass
      for (const char* member : {"sun", "small_sun", "large_sun", "ring", "carrier"})
        members_.push_back(set.name + "." + member);
      return;
    }
    const auto teeth = [&](const char* key, int& to, const char* help) {
      if (const YamlNode* node = fields.Value(key, kNeeded, "count", help))
        to = ReadWhole(*node, fmt::format("the teeth of {}", InTicks(key)), kMaxTeeth);
    };
    const bool two_suns = set.type == Type::kRavigneaux;
    fields.Where("type", {"simple", "dual_pinion"}, !two_suns,
                 [&] { teeth("sun", set.sun_teeth, "The teeth of the sun."); });
    fields.Where("type", {"ravigneaux"}, two_suns, [&] {
      teeth("small_sun", set.sun_teeth, "The teeth of the sun that meshes with the short pinions.");
      teeth("large_sun", set.large_sun_teeth, "The teeth of the sun that meshes with the long pinions.");
    });
    teeth("ring", set.ring_teeth, "The teeth of the ring.");
    fields.Truth("profile_shift", set.profile_shift,
                 "Whether the planets are known not to be of the plain size between sun and ring.");
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
      if (auto member = ReadKnown(item, "member", members_)) join.push_back(*member);
    if (join.size() == node.items.size()) unit_.joins.push_back(std::move(join));
  }

  std::string ReadMember(const YamlNode& node) { return ReadKnown(node, "member", members_).value_or(""); }

  void ReadHolds(const YamlNode& node, Element& element) {
    element.first = ReadMember(node);
    element.second = "case";
    if (element.first == "case") diagnostics_.Error(node.place, "bad-element", "the case is held already");
  }

  void ReadBetween(const YamlNode& node, Element& element) {
    if (!node.IsList() || node.items.size() != 2) {
      diagnostics_.Error(node.place, "bad-element",
                         "`between` lists two members, as in `[input, front.sun]`");
      return;
    }
    element.first = ReadMember(node.items[0]);
    element.second = ReadMember(node.items[1]);
    if (!element.first.empty() && element.first == element.second)
      diagnostics_.Error(node.place, "bad-element", fmt::format("both ends are {}", InTicks(element.first)));
    else if (element.type == ElementType::kClutch && (element.first == "case" || element.second == "case"))
      diagnostics_.Error(
          node.place, "bad-element",
          "a clutch joins two members that turn; to hold one still, write `type: brake` and `holds:`");
  }

  void LoadElement(const YamlEntry& entry, Fields& fields) {
    const bool good = TakeName(entry, "an element", entry.key);
    Element element = NamedBy<Element>(entry);
    const bool has_type = fields.OneOf(
        "type", kNeeded,
        {ElementType::kClutch, ElementType::kBrake, ElementType::kBand, ElementType::kOneWayClutch},
        ElementTypeName, element.type, "What it is.");
    if (has_type) LoadElementOfType(fields, element);
    // Without a type, ranges may name it all the same.
    if (good) unit_.elements.push_back(std::move(element));
  }

  void LoadElementOfType(Fields& fields, Element& element) {
    element.says = Spaced(std::string(ElementTypeName(element.type))) + " " + element.name;
    fields.Text("says", kOptional, element.says, "How it is spoken of: \"clutch B\".");
    const bool held = element.type == ElementType::kBrake || element.type == ElementType::kBand;
    fields.Where("type", {"brake", "band"}, held, [&] {
      if (const YamlNode* holds = fields.Value("holds", kNeeded, "name", "The member that it holds still."))
        ReadHolds(*holds, element);
    });
    fields.Where("type", {"clutch", "one_way_clutch"}, !held, [&] {
      if (const YamlNode* between = fields.Value("between", kNeeded, "two_members",
                                                 "The two members that it joins; a one-way clutch lets the "
                                                 "first turn forward against the second."))
        ReadBetween(*between, element);
    });
    for (auto& [entry, part] :
         fields.Named("parts", kOptional, "part", "Its parts, by name.", element.name + "."))
      LoadPart(entry, part, element.name, element.says);
    fields.Done();
  }

  void LoadUnitPart(const YamlEntry& entry, Fields& fields) { LoadPart(entry, fields, "", ""); }

  void LoadPart(const YamlEntry& entry, Fields& fields, const std::string& element,
                const std::string& element_says) {
    Part part;
    part.id = element.empty() ? entry.key : element + "." + entry.key;
    part.element = element;
    part.place = entry.key_place;
    const bool good = TakeName(entry, "a part", part.id);
    fields.Name("kind", kNeeded, part.kind, "Its kind, by which charts and chances speak of it.");
    part.says = "the " + Spaced(part.kind) + (element.empty() ? "" : " of " + element_says);
    fields.Text("says", kOptional, part.says, "How it is spoken of.");
    if (const YamlNode* variants = fields.Value("variants", kOptional, "some_names",
                                                "The variants that have it; all when left out."))
      part.variants = ReadSome(*variants, "variant", NamesOf(unit_.variants));
    if (const YamlNode* versions = fields.Value("versions", kOptional, "some_names",
                                                "The versions that have it; all when left out."))
      only_in_versions_[part.id] = ReadSome(*versions, "version", NamesOf(unit_.versions));
    if (const YamlNode* count = fields.Value("count", kOptional, "count|counts",
                                             "How many there are, or how many in each variant."))
      LoadCount(*count, part);
    fields.Done();
    if (good) unit_.parts.push_back(std::move(part));
  }

  // Those of the variants or versions that have a part.
  Names ReadSome(const YamlNode& list, const char* what, const Names& known) {
    if (!list.IsList() || list.items.empty())
      diagnostics_.Error(list.place, "not-a-list",
                         fmt::format("`{0}s` lists the {0}s that have this part", what));
    Names some;
    for (const YamlNode& node : list.items)
      if (auto name = ReadKnown(node, what, known)) some.push_back(*name);
    return some;
  }

  void LoadCount(const YamlNode& node, Part& part) {
    const std::string what = fmt::format("the count of {}", InTicks(part.id));
    if (!node.IsMap()) {
      part.count[""] = ReadWhole(node, what, kMaxCount);
      return;
    }
    const Names variants = NamesOf(unit_.variants);
    for (const YamlEntry& entry : node.entries) {
      if (RequireKnown(entry.key, variants, "variant", entry.key_place, diagnostics_))
        part.count[entry.key] = ReadWhole(entry.value, what, kMaxCount);
    }
    for (const std::string& variant : part.variants.empty() ? variants : part.variants)
      if (!node.Find(variant))
        diagnostics_.Error(node.place, "missing-count",
                           fmt::format("{} is not said for the variant {}", what, InTicks(variant)));
  }

  void LoadRange(const YamlEntry& entry, Fields& fields) {
    const bool good = TakeName(entry, "a range", entry.key);
    Range range = NamedBy<Range>(entry);
    range.says = entry.key;
    fields.Text("says", kOptional, range.says, "How it is spoken of; its name when left out.");
    for (const YamlNode& node :
         fields.List("applied", kNeeded, "name", "The elements applied in it, without one-way clutches.")) {
      const auto name = ReadKnown(node, "element", NamesOf(unit_.elements));
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
    double ratio = std::nan("");
    fields.Number("ratio", kOptional, ratio,
                  "Its ratio, negative in reverse, compared with that of the teeth.");
    fields.Truth("neutral", range.neutral, "Whether it is neutral by design.");
    fields.Done();
    if (ratio == 0)
      diagnostics_.Error(fields.PlaceOf("ratio"), "bad-ratio",
                         "no range has a ratio of 0; write `neutral: true` for a neutral one");
    if (!std::isnan(ratio)) range.stated_ratio = ratio;
    if (range.neutral && fields.Has("ratio"))
      diagnostics_.Error(fields.PlaceOf("neutral"), "bad-ratio",
                         "a range that is neutral by design has no `ratio`");
    if (good) unit_.ranges.push_back(std::move(range));
  }

  // Up and down through the ranges that drive forward by themselves.
  void SetUsualShifts() {
    const Range* before = nullptr;
    for (const Range& range : unit_.ranges) {
      if (!range.name.starts_with("D")) continue;
      if (before != nullptr) {
        unit_.shifts.push_back({before->name, range.name, range.place});
        unit_.shifts.push_back({range.name, before->name, range.place});
      }
      before = &range;
    }
  }

  void LoadShift(const YamlNode& node) {
    const Names ranges = NamesOf(unit_.ranges);
    std::string text;
    if (!ReadText(node, "a shift", diagnostics_, &text)) return;
    const std::size_t to = text.find(" to ");
    if (to == std::string::npos || to == 0 || to + 4 == text.size()) {
      diagnostics_.Error(node.place, "bad-shift",
                         fmt::format("{} is no shift; write it as in `D1 to D2`", InTicks(text)));
      return;
    }
    const Shift shift{text.substr(0, to), text.substr(to + 4), node.place};
    const bool known_from = RequireKnown(shift.from, ranges, "range", node.place, diagnostics_);
    const bool good = RequireKnown(shift.to, ranges, "range", node.place, diagnostics_) && known_from;
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
  std::vector<const std::vector<YamlNode>*> version_facts_;  // beside unit_.versions
  std::map<std::string, Names> only_in_versions_;            // by part, where not all have it
};

}  // namespace

FileShape UnitShape() {
  return DescribeFields("unit", [](const Fields& fields, Diagnostics& diagnostics) {
    UnitLoader(fields, Words(), diagnostics).Load();
  });
}

std::optional<Unit> LoadUnit(const YamlNode& root, const Words& words, Diagnostics& diagnostics) {
  const int errors = diagnostics.error_count();
  Unit unit = UnitLoader(Fields(root, "a unit", diagnostics), words, diagnostics).Load();
  if (diagnostics.error_count() > errors) return std::nullopt;
  return unit;
}

}  // namespace gearwhy
