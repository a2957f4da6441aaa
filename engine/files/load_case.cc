#include "engine/files/load_case.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <tuple>

#include "engine/files/read_reading.h"
#include "engine/files/read_statement.h"
#include "engine/files/read_value.h"
#include "engine/model/needs.h"
#include "engine/text/near_names.h"

namespace gearwhy {
namespace {

using enum Presence;

class Loader {
 public:
  Loader(const Rulebook& book, const FindUnit& find_unit, const FindCase& find_case, Diagnostics& diagnostics)
      : book_(book), find_unit_(find_unit), find_case_(find_case), diagnostics_(diagnostics) {}

  std::optional<Case> Load(Fields& fields, const std::string& id) {
    const int errors_before = diagnostics_.error_count();
    Case c;
    c.place = fields.place();
    fields.Name("case", kNeeded, c.id, "Its name, that of the file.");
    fields.Text("title", kNeeded, c.title, "The complaint in a few words.");
    fields.Text("note", kOptional, c.note, "Anything else, in free words.");
    fields.Name("unit", kOptional, c.unit, "The unit it is about.");
    fields.Name("variant", kOptional, c.variant, "The variant of the unit; left out when not known.");
    fields.Name("version", kOptional, c.version,
                "The version, where the unit has some; left out when not known.");
    fields.Name("after", kOptional, c.after,
                "The case it has come back from, a file beside it; its work is history here.");
    c.unit_place = fields.PlaceOf("unit");
    c.variant_place = fields.PlaceOf("variant");
    c.version_place = fields.PlaceOf("version");
    TakeUpEarlier(c, fields.PlaceOf("after"));
    FindUnitAndVariant(c);
    LoadFacts(fields.List("history", kOptional, "statement", "Facts about the vehicle."), false, c);
    LoadFacts(fields.List("measured", kOptional, "measured", "Facts with numbers that were measured."), true,
              c);
    for (Fields& complaint :
         fields.Entries("complaint", kOptional, "observation",
                        "What the customer came with; it must be explained in the end.", "a complaint"))
      LoadObservation(complaint, true, said_, c.observations);
    for (Fields& observed : fields.Entries("observed", kOptional, "observation", "What was looked at since."))
      LoadObservation(observed, false, said_, c.observations);
    for (const YamlNode& item :
         fields.List("unknown", kOptional, "statement",
                     "Findings that were asked about and nobody could tell; they are not asked again.")) {
      if (const auto finding = ReadEvent(item, WordType::kFinding))
        c.unknown.push_back({*finding, item.place});
    }
    fields.Names("open", c.open, "Access that is there already.");
    LoadTeardown(fields, c);
    for (Fields& expectation :
         fields.Entries("expect", kOptional, "expectation", "What `gearwhy rules test` expects of the case."))
      LoadExpectation(expectation, c);
    fields.Done();
    if (!c.id.empty() && c.id != id) {
      diagnostics_.Error(
          fields.PlaceOf("case"), "id-not-file",
          fmt::format("the case is called `{}`, but its file `{}`; the two must be the same", c.id, id));
    }
    NameContradictions(book_, c.observations, diagnostics_);
    NameContradictions(book_, c.tried, diagnostics_);
    for (const std::string& name : c.open)
      RequireKnown(name, NamesOf(book_.words.access), "access", fields.PlaceOf("open"), diagnostics_);
    if (!fields.IsMap() || diagnostics_.error_count() > errors_before) return std::nullopt;
    return c;
  }

 private:
  // What was found, what was done about it, and what came of that.
  void LoadTeardown(Fields& fields, Case& c) {
    for (const YamlNode& item :
         fields.List("found", kOptional, "statement", "Closed cases: the faults that the teardown showed.")) {
      if (const auto fault = ReadEvent(item, WordType::kFault)) c.found.push_back({*fault, item.place});
    }
    for (const YamlNode& item :
         fields.List("work", kOptional, "statement", "What was done: facts, as `renewed: D.band`.")) {
      if (const auto fact = ReadStatement(item, false, Context())) c.work.push_back({*fact, item.place});
    }
    for (const YamlNode& item :
         fields.List("mended", kOptional, "statement", "Faults that were put right without a new part.")) {
      if (const auto fault = ReadEvent(item, WordType::kFault)) c.mended.push_back({*fault, item.place});
    }
    for (Fields& tried :
         fields.Entries("tried", kOptional, "observation", "What was looked at once the work was done."))
      LoadObservation(tried, false, said_after_, c.tried);
  }

  StatementContext Context() const { return {book_.words, diagnostics_, members_ ? &*members_ : nullptr}; }

  // Unit and variant are those of the earlier case, and its work is history.
  void TakeUpEarlier(Case& c, const Place& place) {
    if (c.after.empty()) return;
    const std::optional<Case> earlier = find_case_(c.after, place);
    if (!earlier) return;
    if (!c.unit.empty() && c.unit != earlier->unit) {
      diagnostics_.Error(c.unit_place, "another-unit", fmt::format("`{}` was about another unit", c.after))
          .notes.push_back({earlier->unit_place, "which it names here"});
      return;
    }
    if (c.unit.empty()) c.unit_place = earlier->unit_place;
    if (c.variant.empty() && !earlier->variant.empty()) c.variant_place = earlier->variant_place;
    c.unit = earlier->unit;
    if (c.variant.empty()) c.variant = earlier->variant;
    if (c.version.empty() && !earlier->version.empty()) c.version_place = earlier->version_place;
    if (c.version.empty()) c.version = earlier->version;
    for (const CaseFact& fact : earlier->work) {
      if (IsFirst(fact)) c.facts.push_back(fact);
    }
  }

  void FindUnitAndVariant(const Case& c) {
    if (c.unit.empty()) {
      if (!c.variant.empty()) {
        diagnostics_.Error(c.variant_place, "variant-of-nothing",
                           "a variant needs the `unit` it is a variant of");
      }
      if (!c.version.empty()) {
        diagnostics_.Error(c.version_place, "version-of-nothing",
                           "a version needs the `unit` it is a version of");
      }
      return;
    }
    const Unit* unit = find_unit_(c.unit, c.unit_place);
    if (unit == nullptr) return;
    members_ = MembersOf(*unit);
    const auto may_be = [&](const std::string& variant, const std::string& version) {
      return (variant.empty() && version.empty()) ||
             std::any_of(unit->variants.begin(), unit->variants.end(),
                         [&](const Variant& one) { return one.Is(variant, version); });
    };
    const bool known_variant = may_be(c.variant, ""), known_version = may_be("", c.version);
    if (!known_variant) {
      diagnostics_.Error(
          c.variant_place, "unknown-variant",
          fmt::format(
              "`{}` has no variant `{}`{}", c.unit, c.variant,
              Hint(c.variant, NamesOf(unit->versions.empty() ? unit->variants : unit->plain_variants))));
    }
    if (!known_version) {
      diagnostics_.Error(c.version_place, "unknown-version",
                         fmt::format("`{}` has no version `{}`{}", c.unit, c.version,
                                     Hint(c.version, NamesOf(unit->versions))));
    }
    if (known_variant && known_version && !may_be(c.variant, c.version)) {
      diagnostics_.Error(c.version_place, "unknown-version",
                         fmt::format("the variant `{}` is none of the version `{}`", c.variant, c.version));
    }
  }

  void LoadFacts(const std::vector<YamlNode>& items, bool measured, Case& c) {
    for (const YamlNode& item : items) {
      if (measured) {
        const auto fact = ReadMeasuredFact(item, book_, Context());
        if (fact && IsFirst(*fact)) c.facts.push_back(*fact);
        continue;
      }
      const auto fact = ReadStatement(item, false, Context());
      if (fact && IsFirst({*fact, item.place})) c.facts.push_back({*fact, item.place});
    }
  }

  // Reports a fact that says again, or otherwise, what another has said of the same things; of readings, of
  // the same things at the same time with the same instrument.
  bool IsFirst(const CaseFact& said) {
    const Statement& fact = said.statement;
    const Word& word = *book_.words.Find(fact.name);
    Statement of = fact;  // what it says something of
    for (std::size_t i = 0; word.once && i < of.slots.size(); ++i) {
      if (word.slots[i].dimension) of.slots[i] = 0.0;
    }
    const auto [it, is_new] =
        stated_.emplace(std::pair(of, said.reading ? std::pair(said.reading->with, said.reading->as_built)
                                                   : std::pair(std::string(), false)),
                        said);
    if (is_new) return true;
    const bool same = it->second.statement == fact;
    const std::string already = fmt::format("`{}` has been said already", Shown(of));
    diagnostics_
        .Error(said.place, same ? "said-twice" : "said-otherwise",
               same ? already : already + " with another number, and only one of them can hold")
        .notes.push_back(
            {it->second.place, same ? "here"
                               : book_.measurements.contains(fact.name)
                                   ? "here; repeated readings stand in one list, `is: [..., ...]`"
                                   : "here; leave the one that holds"});
    return false;
  }

  // "line_pressure:R": the statement with its names only.
  std::string Shown(Statement fact) const {
    std::erase_if(fact.slots, [](const Value& value) { return std::holds_alternative<double>(value); });
    return StatementId(fact);
  }

  // By event, presence, trust and circumstances: where it was said.
  using Said = std::map<std::tuple<std::string, bool, std::string, std::vector<std::string>>, Place>;

  void LoadObservation(Fields& fields, bool complaint, Said& said, std::vector<Observation>& to) {
    Observation observation;
    observation.complaint = complaint;
    observation.place = fields.place();
    const bool one = fields.ExactlyOne({"present", "absent"});
    const YamlNode* present =
        fields.Value("present", kOptional, "statement", "What was so; either this or `absent`.");
    const YamlNode* absent =
        fields.Value("absent", kOptional, "statement", "What was looked for and was not so.");
    observation.trust = book_.words.trusts.front().name;
    fields.Name("trust", kOptional, observation.trust,
                "How far it is trusted; the first trust when left out.");
    fields.Text("note", kOptional, observation.note, "Anything else, in free words.");
    fields.Names("under", observation.under,
                 "The circumstances of the look; left out: as for the complaint.");
    fields.Done();
    if (!fields.IsMap()) return;
    SortUnder(observation.under, fields.PlaceOf("under"));
    if (!one) {
      diagnostics_.Error(observation.place, "present-or-absent",
                         "say either `present:` or `absent:`, and leave out what nobody looked at");
      return;
    }
    observation.present = present != nullptr;
    const auto event = ReadStatement(present != nullptr ? *present : *absent, true, Context());
    const bool trusted = RequireKnown(observation.trust, NamesOf(book_.words.trusts), "trust",
                                      fields.PlaceOf("trust"), diagnostics_);
    if (!event || !trusted) return;
    observation.event = *event;
    const auto [it, is_new] = said.emplace(
        std::tuple(StatementId(*event), observation.present, observation.trust, observation.under),
        observation.place);
    if (!is_new) {
      diagnostics_
          .Error(observation.place, "said-twice",
                 fmt::format("`{}` has been said already", StatementId(*event)))
          .notes.push_back({it->second, "here; a second look by other means gets another `trust`"});
      return;
    }
    to.push_back(std::move(observation));
  }

  // Circumstances are known and no opposites. Sorts them, each once.
  void SortUnder(std::vector<std::string>& names, const Place& place) {
    std::sort(names.begin(), names.end());
    names.erase(std::unique(names.begin(), names.end()), names.end());
    for (const std::string& name : names) {
      if (!RequireKnown(name, NamesOf(book_.words.circumstances), "circumstance", place, diagnostics_))
        continue;
      const std::string& opposite = book_.words.circumstances.at(name).opposite;
      if (opposite <= name || !std::binary_search(names.begin(), names.end(), opposite)) continue;
      diagnostics_.Error(
          place, "both-opposites",
          fmt::format("one look is not made both `{}` and `{}`; write two reports, each with its own", name,
                      opposite));
    }
  }

  std::optional<Statement> ReadEvent(const YamlNode& node, WordType wanted) {
    const auto event = ReadStatement(node, true, Context());
    const WordType type = event ? book_.words.Find(event->name)->type : wanted;
    if (type == wanted) return event;
    diagnostics_.Error(node.place, "wrong-type",
                       fmt::format("`{}` is a {}; a {} is wanted here", event->name, WordTypeName(type),
                                   WordTypeName(wanted)));
    return std::nullopt;
  }

  void LoadExpectation(Fields& fields, Case& c) {
    Expectation expectation;
    expectation.place = fields.place();
    double within = 1;
    const bool one = fields.ExactlyOne({"fault", "state"});
    const YamlNode* fault =
        fields.Value("fault", kOptional, "statement", "The fault that is meant; either this or `state`.");
    const YamlNode* state = fields.Value("state", kOptional, "statement", "The state that is meant.");
    fields.Truth("suspected", expectation.suspected, "False: it must not be suspected.");
    fields.Number("within", kOptional, within, "Among the first so many; 1 when left out.", "count");
    ReadChance(fields, "at_least", kOptional, expectation.at_least, "Its chance is at least this.",
               book_.words.how_often);
    ReadChance(fields, "at_most", kOptional, expectation.at_most, "Its chance is at most this.",
               book_.words.how_often);
    fields.Names("reasons", expectation.rules,
                 "Ids of rules, charts and chances that its reasons must name.");
    fields.Done();
    if (!fields.IsMap()) return;
    if (!(within >= 1 && within <= 100) || within != static_cast<int>(within)) {
      diagnostics_.Error(fields.PlaceOf("within"), "bad-within", "`within` is a whole number, 1 or more");
    } else {
      expectation.within = static_cast<int>(within);
    }
    for (const std::string& id : expectation.rules) RequireEntry(id, fields.PlaceOf("reasons"));
    if (!one) {
      diagnostics_.Error(expectation.place, "fault-or-state",
                         "an expectation is of one `fault:` or of one `state:`");
      return;
    }
    const auto event =
        fault != nullptr ? ReadEvent(*fault, WordType::kFault) : ReadEvent(*state, WordType::kState);
    if (!event) return;
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
  const FindCase& find_case_;
  Diagnostics& diagnostics_;
  std::optional<KindMembers> members_;
  std::map<std::pair<Statement, std::pair<std::string, bool>>, CaseFact> stated_;
  Said said_, said_after_;
  std::vector<std::string> entry_ids_;
};

}  // namespace

FileShape CaseShape() {
  return DescribeFields("case", [](Fields fields, Diagnostics& diagnostics) {
    Rulebook book;
    book.words.trusts.emplace_back();
    const FindUnit no_unit = [](const std::string&, const Place&) { return nullptr; };
    const FindCase no_case = [](const std::string&, const Place&) { return std::nullopt; };
    Loader(book, no_unit, no_case, diagnostics).Load(fields, "");
  });
}

std::optional<Case> LoadCase(const YamlNode& root, const std::string& id, const Rulebook& book,
                             const FindUnit& find_unit, const FindCase& find_case, Diagnostics& diagnostics) {
  if (root.IsMap() && root.Find("case") == nullptr && root.Find("title") == nullptr) {
    diagnostics.Error(root.place, "not-a-case",
                      "this is not a case file: a case begins with `case: NAME` and has a `title:`");
    return std::nullopt;
  }
  Fields fields(root, "a case", diagnostics);
  return Loader(book, find_unit, find_case, diagnostics).Load(fields, id);
}

}  // namespace gearwhy
