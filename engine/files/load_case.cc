#include "engine/files/load_case.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "engine/files/load_unit.h"
#include "engine/files/load_words.h"
#include "engine/files/read_statement.h"
#include "engine/model/needs.h"
#include "engine/text/fields.h"
#include "engine/text/near_names.h"

namespace gearwhy {
namespace {

class Loader {
 public:
  Loader(const Rulebook& book, const FindUnit& find_unit, Diagnostics& diagnostics)
      : book_(book), find_unit_(find_unit), diagnostics_(diagnostics) {}

  std::optional<Case> Load(const YamlNode& root, const std::string& id) {
    const int errors_before = diagnostics_.error_count();
    Fields fields(root, "a case", diagnostics_);
    if (!fields.IsMap()) return std::nullopt;
    if (root.Find("case") == nullptr && root.Find("title") == nullptr) {
      diagnostics_.Error(root.place, "not-a-case",
                         "this is not a case file: a case begins with `case: NAME` and has a `title:`");
      return std::nullopt;
    }
    Case c;
    c.place = root.place;
    c.id = fields.RequiredName("case");
    if (!c.id.empty() && c.id != id) {
      diagnostics_.Error(
          fields.PlaceOf("case"), "id-not-file",
          fmt::format("the case is called `{}`, but its file `{}`; the two must be the same", c.id, id));
    }
    c.title = fields.RequiredText("title");
    c.note = fields.OptionalText("note");
    LoadUnitAndVariant(fields, c);
    LoadFacts(fields, "history", false, c.facts);
    LoadFacts(fields, "measured", true, c.facts);
    LoadObservations(fields, "complaint", true, c);
    LoadObservations(fields, "observed", false, c);
    NameContradictions(book_, c.observations, diagnostics_);
    for (const YamlNode& item : fields.OptionalList("unknown")) {
      const auto finding = ReadStatement(item, true, Context());
      if (finding && RequireType(*finding, item.place, {WordType::kFinding}))
        c.unknown.push_back({*finding, item.place});
    }
    LoadOpenAccess(fields, c);
    for (const YamlNode& item : fields.OptionalList("found")) {
      const auto fault = ReadStatement(item, true, Context());
      if (fault && RequireType(*fault, item.place, {WordType::kFault}))
        c.found.push_back({*fault, item.place});
    }
    for (const YamlNode& item : fields.OptionalList("expect")) LoadExpectation(item, c);
    fields.Done();
    if (diagnostics_.error_count() > errors_before) return std::nullopt;
    return c;
  }

 private:
  StatementContext Context() const { return {book_.words, diagnostics_, members_ ? &*members_ : nullptr}; }

  void LoadUnitAndVariant(Fields& fields, Case& c) {
    c.unit = fields.OptionalName("unit");
    c.unit_place = fields.PlaceOf("unit");
    c.variant = fields.OptionalName("variant");
    c.variant_place = fields.PlaceOf("variant");
    if (c.unit.empty()) {
      if (!c.variant.empty()) {
        diagnostics_.Error(c.variant_place, "variant-of-nothing",
                           "a variant needs the `unit` it is a variant of");
      }
      return;
    }
    const Unit* unit = find_unit_(c.unit, c.unit_place);
    if (unit == nullptr) return;
    members_ = MembersOf(*unit);
    if (c.variant.empty() || unit->FindVariant(c.variant) != nullptr) return;
    std::vector<std::string> names;
    for (const Variant& variant : unit->variants) names.push_back(variant.name);
    diagnostics_.Error(c.variant_place, "unknown-variant",
                       fmt::format("`{}` has no variant `{}`{}", c.unit, c.variant, Hint(c.variant, names)));
  }

  void LoadOpenAccess(Fields& fields, Case& c) {
    c.open = fields.OptionalNames("open");
    std::vector<std::string> names;
    for (const auto& [name, access] : book_.words.access) names.push_back(name);
    for (const std::string& name : c.open) {
      if (book_.words.access.contains(name)) continue;
      diagnostics_.Error(fields.PlaceOf("open"), "unknown-access",
                         fmt::format("there is no access called `{}`{}", name, Hint(name, names)));
    }
  }

  void LoadFacts(Fields& fields, const char* key, bool measured, std::vector<CaseFact>& facts) {
    for (const YamlNode& item : fields.OptionalList(key)) {
      const auto fact = ReadStatement(item, false, Context());
      if (fact && IsFirst(*fact, item.place)) facts.push_back({*fact, item.place, measured});
    }
  }

  // Reports a fact that says again, or otherwise, what another has said of the same things.
  bool IsFirst(const Statement& fact, const Place& place) {
    const Word& word = *book_.words.Find(fact.name);
    Statement of = fact;  // what it says something of
    for (std::size_t i = 0; word.once && i < of.slots.size(); ++i) {
      if (word.slots[i].dimension) of.slots[i] = 0.0;
    }
    const auto [it, is_new] = stated_.emplace(of, CaseFact{fact, place});
    if (is_new) return true;
    const bool same = it->second.statement == fact;
    const std::string said = fmt::format("`{}` has been said already", Shown(of));
    diagnostics_
        .Error(place, same ? "said-twice" : "said-otherwise",
               same ? said : said + " with another number, and only one of them can hold")
        .notes.push_back({it->second.place, same ? "here" : "here; leave the one that holds"});
    return false;
  }

  // "line_pressure:R": the statement with its names only.
  std::string Shown(Statement fact) const {
    std::erase_if(fact.slots, [](const Value& value) { return std::holds_alternative<double>(value); });
    return StatementId(fact);
  }

  void LoadObservations(Fields& fields, const char* key, bool complaint, Case& c) {
    for (const YamlNode& item : fields.OptionalList(key)) {
      Fields entry(item, complaint ? "a complaint" : "an observation", diagnostics_);
      if (!entry.IsMap()) continue;
      Observation observation;
      observation.complaint = complaint;
      observation.place = item.place;
      const YamlNode* present = entry.Optional("present");
      const YamlNode* absent = entry.Optional("absent");
      const std::string trust_name = entry.OptionalName("trust");
      observation.note = entry.OptionalText("note");
      const Place trust_place = entry.PlaceOf("trust");
      observation.under = ReadUnder(entry);
      entry.Done();
      if ((present == nullptr) == (absent == nullptr)) {
        diagnostics_.Error(item.place, "present-or-absent",
                           "say either `present:` or `absent:`, and leave out what nobody looked at");
        continue;
      }
      observation.present = present != nullptr;
      const auto event = ReadStatement(present != nullptr ? *present : *absent, true, Context());
      const Trust* trust = FindTrust(trust_name, trust_place);
      if (!event || trust == nullptr) continue;
      observation.event = *event;
      observation.trust = trust->name;
      const auto [it, is_new] = said_.emplace(
          std::tuple(StatementId(*event), observation.present, trust->name, observation.under), item.place);
      if (!is_new) {
        diagnostics_
            .Error(item.place, "said-twice", fmt::format("`{}` has been said already", StatementId(*event)))
            .notes.push_back({it->second, "here; a second look by other means gets another `trust`"});
        continue;
      }
      c.observations.push_back(std::move(observation));
    }
  }

  std::vector<std::string> ReadUnder(Fields& entry) {
    std::vector<std::string> names = entry.OptionalNames("under");
    std::sort(names.begin(), names.end());
    names.erase(std::unique(names.begin(), names.end()), names.end());
    std::vector<std::string> known;
    for (const auto& [name, circumstance] : book_.words.circumstances) known.push_back(name);
    bool good = true;
    for (const std::string& name : names) {
      const auto it = book_.words.circumstances.find(name);
      if (it == book_.words.circumstances.end()) {
        good = false;
        diagnostics_.Error(entry.PlaceOf("under"), "unknown-circumstance",
                           fmt::format("there is no circumstance called `{}`{}", name, Hint(name, known)));
      } else if (std::find(names.begin(), names.end(), it->second.opposite) >
                     std::find(names.begin(), names.end(), name) &&
                 std::find(names.begin(), names.end(), it->second.opposite) != names.end()) {
        good = false;
        diagnostics_.Error(
            entry.PlaceOf("under"), "both-opposites",
            fmt::format("one look is not made both `{}` and `{}`; write two reports, each with its own", name,
                        it->second.opposite));
      }
    }
    return good ? names : std::vector<std::string>{};
  }

  const Trust* FindTrust(const std::string& name, const Place& place) {
    if (name.empty()) return &book_.words.trusts.front();
    if (const Trust* trust = book_.words.FindTrust(name)) return trust;
    std::vector<std::string> names;
    for (const Trust& trust : book_.words.trusts) names.push_back(trust.name);
    diagnostics_.Error(place, "unknown-trust",
                       fmt::format("there is no trust called `{}`{}", name, Hint(name, names)));
    return nullptr;
  }

  bool RequireType(const Statement& statement, const Place& place, std::set<WordType> types) {
    const WordType type = book_.words.Find(statement.name)->type;
    if (types.contains(type)) return true;
    diagnostics_.Error(place, "wrong-type",
                       fmt::format("`{}` is a {}; a {} is wanted here", statement.name, WordTypeName(type),
                                   WordTypeName(*types.begin())));
    return false;
  }

  void LoadExpectation(const YamlNode& item, Case& c) {
    Fields fields(item, "an expectation", diagnostics_);
    if (!fields.IsMap()) return;
    Expectation expectation;
    expectation.place = item.place;
    const YamlNode* fault = fields.Optional("fault");
    const YamlNode* state = fields.Optional("state");
    expectation.suspected = fields.OptionalBool("suspected", true);
    const double within = fields.OptionalNumber("within", 1);
    if (!(within >= 1 && within <= 100) || within != static_cast<int>(within)) {
      diagnostics_.Error(fields.PlaceOf("within"), "bad-within", "`within` is a whole number, 1 or more");
    } else {
      expectation.within = static_cast<int>(within);
    }
    const auto chance = [&](const char* key, std::optional<double>& out) {
      if (const YamlNode* node = fields.Optional(key))
        out = ReadChance(*node, book_.words.how_often, diagnostics_);
    };
    chance("at_least", expectation.at_least);
    chance("at_most", expectation.at_most);
    expectation.rules = fields.OptionalNames("reasons");
    const Place reasons_place = fields.PlaceOf("reasons");
    fields.Done();
    for (const std::string& id : expectation.rules) RequireEntry(id, reasons_place);
    if ((fault == nullptr) == (state == nullptr)) {
      diagnostics_.Error(item.place, "fault-or-state",
                         "an expectation is of one `fault:` or of one `state:`");
      return;
    }
    const YamlNode& node = fault != nullptr ? *fault : *state;
    const auto event = ReadStatement(node, true, Context());
    if (!event || !RequireType(*event, node.place, {fault != nullptr ? WordType::kFault : WordType::kState}))
      return;
    expectation.event = *event;
    c.expect.push_back(std::move(expectation));
  }

  void RequireEntry(const std::string& id, const Place& place) {
    if (entry_ids_.empty()) {
      for (const Rule& rule : book_.rules) entry_ids_.push_back(rule.id);
      for (const Chart& chart : book_.charts) entry_ids_.push_back(chart.id);
      for (const Chance& chance : book_.chances) entry_ids_.push_back(chance.id);
    }
    for (const std::string& known : entry_ids_) {
      if (known == id) return;
    }
    diagnostics_.Error(
        place, "unknown-entry",
        fmt::format("the rulebook has no rule, chart or chance `{}`{}", id, Hint(id, entry_ids_, 0)));
  }

  const Rulebook& book_;
  const FindUnit& find_unit_;
  Diagnostics& diagnostics_;
  std::optional<KindMembers> members_;
  std::map<Statement, CaseFact> stated_;
  std::map<std::tuple<std::string, bool, std::string, std::vector<std::string>>, Place> said_;
  std::vector<std::string> entry_ids_;
};

}  // namespace

std::optional<Case> LoadCase(const YamlNode& root, const std::string& id, const Rulebook& book,
                             const FindUnit& find_unit, Diagnostics& diagnostics) {
  return Loader(book, find_unit, diagnostics).Load(root, id);
}

}  // namespace gearwhy
