#include "engine/files/load_rulebook.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "engine/files/load_words.h"
#include "engine/files/read_statement.h"
#include "engine/model/access.h"
#include "engine/model/report_chances.h"
#include "engine/text/fields.h"
#include "engine/text/near_names.h"
#include "engine/text/sha256.h"

namespace gearwhy {
namespace {

class Loader {
 public:
  Loader(Rulebook& book, Diagnostics& diagnostics)
      : book_(book), diagnostics_(diagnostics), context_{book.words, diagnostics} {}

  void LoadFile(const YamlNode& root) {
    Fields fields(root, "a rulebook file", diagnostics_);
    for (const std::string& key : WordKeys()) fields.Optional(key.c_str());
    LoadHead(fields);
    for (const YamlNode& item : fields.OptionalList("rules")) LoadRule(item);
    for (const YamlNode& item : fields.OptionalList("charts")) LoadChart(item);
    for (const YamlNode& item : fields.OptionalList("chances")) LoadChance(item);
    for (const YamlNode& item : fields.OptionalList("checks")) LoadCheck(item);
    for (const YamlNode& item : fields.OptionalList("repairs")) LoadRepair(item);
    for (const YamlNode& item : fields.OptionalList("decisions")) LoadDecision(item);
    for (const YamlNode& item : fields.OptionalList("silence")) LoadSilence(item);
    fields.Done();
  }

  // What only the whole book can tell.
  void CheckWhole() {
    std::set<std::string> with_chance, unexplained_stated;
    for (const Chance& chance : book_.chances) with_chance.insert(chance.fault.name);
    for (const Chart& chart : book_.charts) {
      if (chart.p_unexplained) unexplained_stated.insert(chart.symptom.name);
    }
    for (const auto& [name, word] : book_.words.words) {
      if (word.type == WordType::kFault && !with_chance.contains(name)) {
        diagnostics_.Error(
            word.place, "no-chance",
            fmt::format("nothing says how common the fault `{}` is; add a line to `chances`", name));
      }
    }
    for (const Chart& chart : book_.charts) {
      if (book_.words.Find(chart.symptom.name)->type == WordType::kFault) continue;
      if (!unexplained_stated.contains(chart.symptom.name)) {
        diagnostics_.Error(
            chart.place, "no-unexplained",
            fmt::format("no chart of `{}` says how often it is `unexplained`", chart.symptom.name));
      }
    }
  }

 private:
  void LoadHead(Fields& fields) {
    const std::string title = fields.OptionalText("rulebook");
    const std::string version = fields.OptionalText("version");
    if (!title.empty()) {
      if (!book_.title.empty()) {
        diagnostics_.Error(fields.PlaceOf("rulebook"), "described-twice",
                           fmt::format("the rulebook has its title already: `{}`", book_.title));
      }
      book_.title = title;
    }
    if (!version.empty()) book_.version = version;
  }

  std::string ReadId(Fields& fields, Place* place) {
    const std::string id = fields.RequiredName("id");
    *place = fields.PlaceOf("id");
    if (id.empty()) return id;
    const auto [it, is_new] = ids_.emplace(id, *place);
    if (!is_new) {
      diagnostics_.Error(*place, "id-twice", fmt::format("the id `{}` is taken", id))
          .notes.push_back({it->second, "it stands here"});
    }
    return id;
  }

  // A sentence that may name the entry's variables in braces.
  std::string ReadSentence(Fields& fields, const char* key, const VariableUses& variables) {
    const std::string text = fields.OptionalText(key);
    std::vector<std::string> known;
    for (const auto& [name, kind] : variables.kinds) known.push_back(name);
    CheckBraces(text, known, fields.PlaceOf(key), diagnostics_);
    return text;
  }

  void LoadRule(const YamlNode& node) {
    Fields fields(node, "a rule", diagnostics_);
    Rule rule;
    VariableUses variables;
    rule.id = ReadId(fields, &rule.place);
    rule.when = ReadConditions(fields.RequiredList("when"), variables, context_);
    const Trust& trust = ReadTrust(fields);
    const std::set<std::string> bound = BoundVariables(rule.when);
    bool observes = false;
    for (const YamlNode& item : fields.RequiredList("then")) {
      Conclusion conclusion;
      const YamlNode* statement = &item;
      if (item.IsMap() && item.entries.size() == 1 &&
          (item.entries[0].key == "present" || item.entries[0].key == "absent")) {
        conclusion.sense = item.entries[0].key == "present" ? Sense::kPresent : Sense::kAbsent;
        statement = &item.entries[0].value;
        observes = true;
        conclusion.trust = trust.name;
      }
      const auto pattern =
          ReadPattern(*statement, conclusion.sense != Sense::kFact, false, variables, context_);
      if (!pattern) continue;
      RequireBound(*pattern, bound, "this conclusion", diagnostics_);
      conclusion.pattern = *pattern;
      rule.then.push_back(std::move(conclusion));
    }
    if (fields.Optional("trust") != nullptr && !observes) {
      diagnostics_.Error(fields.PlaceOf("trust"), "needless-trust",
                         "a fact is certain: `trust` goes with `present:` or `absent:`");
    }
    rule.because = ReadSentence(fields, "because", variables);
    rule.gap_because = fields.OptionalText("gap_because");
    rule.variables = variables.kinds;
    fields.Done();
    book_.rules.push_back(std::move(rule));
  }

  const Trust& ReadTrust(Fields& fields) {
    const std::string name = fields.OptionalName("trust");
    if (name.empty()) return book_.words.trusts.front();
    if (const Trust* trust = book_.words.FindTrust(name)) return *trust;
    std::vector<std::string> names;
    for (const Trust& trust : book_.words.trusts) names.push_back(trust.name);
    diagnostics_.Error(fields.PlaceOf("trust"), "unknown-trust",
                       fmt::format("there is no trust called `{}`{}", name, Hint(name, names)));
    return book_.words.trusts.front();
  }

  std::optional<Pattern> ReadEvent(Fields& fields, const char* key, VariableUses& variables) {
    const YamlNode* node = fields.Required(key);
    if (node == nullptr) return std::nullopt;
    return ReadPattern(*node, true, false, variables, context_);
  }

  void LoadChart(const YamlNode& node) {
    Fields fields(node, "a chart", diagnostics_);
    Chart chart;
    VariableUses variables;
    chart.id = ReadId(fields, &chart.place);
    const auto symptom = ReadEvent(fields, "symptom", variables);
    chart.when = ReadConditions(fields.OptionalList("when"), variables, context_);
    const std::set<std::string> bound = BoundVariables(chart.when);
    if (const YamlNode* unexplained = fields.Optional("unexplained")) {
      chart.p_unexplained = ReadChance(*unexplained, book_.words.how_often, diagnostics_);
      if (symptom && book_.words.Find(symptom->name)->type == WordType::kFault) {
        diagnostics_.Error(
            unexplained->place, "needless-unexplained",
            fmt::format("`{}` is a fault: its line in `chances` says how common it is by itself",
                        symptom->name));
      }
    }
    for (const YamlNode& item : fields.RequiredList("causes")) LoadCause(item, variables, bound, chart);
    chart.because = ReadSentence(fields, "because", variables);
    chart.gap_because = fields.OptionalText("gap_because");
    fields.Done();
    if (!symptom) return;
    RequireBound(*symptom, bound, "the symptom", diagnostics_);
    chart.symptom = *symptom;
    chart.variables = variables.kinds;
    book_.charts.push_back(std::move(chart));
  }

  void LoadCause(const YamlNode& node, VariableUses& variables, const std::set<std::string>& chart_bound,
                 Chart& chart) {
    Fields fields(node, "a cause", diagnostics_);
    CauseLine line;
    line.place = node.place;
    const auto cause = ReadEvent(fields, "cause", variables);
    const YamlNode* how_often = fields.Required("how_often");
    const auto chance =
        how_often == nullptr ? std::nullopt : ReadChance(*how_often, book_.words.how_often, diagnostics_);
    line.when = ReadConditions(fields.OptionalList("when"), variables, context_, chart_bound);
    line.because = ReadSentence(fields, "because", variables);
    line.gap_because = fields.OptionalText("gap_because");
    fields.Done();
    if (!cause || !chance) return;
    std::set<std::string> bound = BoundVariables(line.when);
    bound.insert(chart_bound.begin(), chart_bound.end());
    RequireBound(*cause, bound, "this cause", diagnostics_);
    line.cause = *cause;
    line.p_how_often = *chance;
    chart.causes.push_back(std::move(line));
  }

  void LoadChance(const YamlNode& node) {
    Fields fields(node, "a chance", diagnostics_);
    Chance chance;
    VariableUses variables;
    chance.id = ReadId(fields, &chance.place);
    const auto fault = ReadEvent(fields, "fault", variables);
    chance.when = ReadConditions(fields.OptionalList("when"), variables, context_);
    const std::set<std::string> bound = BoundVariables(chance.when);
    if (const YamlNode* p = fields.Required("chance")) {
      chance.p_chance = ReadChance(*p, book_.words.how_often, diagnostics_).value_or(0);
      if (chance.p_chance >= 1) {
        diagnostics_.Error(p->place, "chance-outside",
                           "a fault that every unit has is no fault; write less than 100%");
      }
    }
    for (const YamlNode& item : fields.OptionalList("factors")) LoadFactor(item, variables, bound, chance);
    chance.because = ReadSentence(fields, "because", variables);
    chance.gap_because = fields.OptionalText("gap_because");
    fields.Done();
    if (!fault) return;
    if (const Word* word = book_.words.Find(fault->name); word->type != WordType::kFault) {
      diagnostics_.Error(fault->place, "not-a-fault",
                         fmt::format("`{}` is a {}; only faults have chances of their own", fault->name,
                                     WordTypeName(word->type)));
    }
    RequireBound(*fault, bound, "the fault", diagnostics_);
    chance.fault = *fault;
    chance.variables = variables.kinds;
    book_.chances.push_back(std::move(chance));
  }

  void LoadFactor(const YamlNode& node, VariableUses& variables, const std::set<std::string>& bound,
                  Chance& chance) {
    Fields fields(node, "a factor", diagnostics_);
    OddsFactor factor;
    factor.id = ReadId(fields, &factor.place);
    factor.when = ReadConditions(fields.RequiredList("when"), variables, context_, bound);
    if (const YamlNode* odds = fields.Required("odds")) {
      std::string why, text;
      if (ReadText(*odds, "`odds`", diagnostics_, &text)) {
        const auto number = ParseQuantity(text, Dimension::kNumber, &why);
        if (!number || !(*number > 0)) {
          diagnostics_.Error(odds->place, "bad-odds",
                             "`odds` is a number above 0 by which the odds are multiplied");
        } else {
          factor.odds = *number;
        }
      }
    }
    factor.because = ReadSentence(fields, "because", variables);
    fields.Done();
    chance.factors.push_back(std::move(factor));
  }

  void LoadCheck(const YamlNode& node) {
    Fields fields(node, "a check", diagnostics_);
    Check check;
    VariableUses variables;
    check.id = ReadId(fields, &check.place);
    check.when = ReadConditions(fields.OptionalList("when"), variables, context_);
    const std::set<std::string> bound = BoundVariables(check.when);
    for (const YamlNode& item : fields.RequiredList("tells")) {
      const auto pattern = ReadPattern(item, true, false, variables, context_);
      if (!pattern) continue;
      RequireBound(*pattern, bound, "what this check tells", diagnostics_);
      check.tells.push_back(*pattern);
    }
    check.at_once = ReadAtOnce(fields, bound);
    std::set<std::string> still_bound = bound;  // the others stand for many things at once
    for (const std::string& name : check.at_once) still_bound.erase(name);
    if (const YamlNode* all_good = fields.Optional("all_good")) {
      check.all_good = ReadPattern(*all_good, true, false, variables, context_);
      if (check.all_good) RequireBound(*check.all_good, still_bound, "`all_good`", diagnostics_);
    }
    for (const YamlEntry& entry : fields.OptionalMap("measures"))
      LoadMeasure(entry, still_bound, variables, check);
    if (fields.Required("minutes") != nullptr) check.minutes = fields.OptionalNumber("minutes", 0);
    if (check.minutes < 0) {
      diagnostics_.Error(fields.PlaceOf("minutes"), "negative-minutes", "minutes cannot be negative");
    }
    check.access = fields.RequiredName("access");
    RequireKnown(check.access, book_.words.access, "access", fields.PlaceOf("access"));
    check.running = fields.OptionalBool("running", false);
    if (check.running && KeepsFromRunning(book_.words, check.access)) {
      diagnostics_.Error(fields.PlaceOf("running"), "cannot-run",
                         fmt::format("the vehicle cannot run {}", book_.words.access.at(check.access).says));
    }
    check.lost_with = fields.OptionalName("lost_with");
    RequireKnown(check.lost_with, book_.words.access, "access", fields.PlaceOf("lost_with"));
    if (OpenWith(book_.words, check.access).contains(check.lost_with)) {
      diagnostics_.Error(
          fields.PlaceOf("lost_with"), "never-there",
          fmt::format("what is lost {} can never be looked at {}",
                      book_.words.access.at(check.lost_with).says, book_.words.access.at(check.access).says));
    }
    check.trust = ReadTrust(fields).name;
    check.cautions = fields.OptionalNames("cautions");
    for (const std::string& caution : check.cautions) {
      RequireKnown(caution, book_.words.cautions, "caution", fields.PlaceOf("cautions"));
    }
    VariableUses named = variables;
    for (const std::string& name : check.at_once) named.kinds.erase(name);
    fields.Required("says");
    check.says = ReadSentence(fields, "says", named);
    fields.Required("how");
    check.how = ReadSentence(fields, "how", named);
    check.because = ReadSentence(fields, "because", named);
    check.gap_because = fields.OptionalText("gap_because");
    check.variables = variables.kinds;
    fields.Done();
    book_.checks.push_back(std::move(check));
  }

  // A variable that is named without its `$`.
  void RequireBoundName(const std::string& name, const std::set<std::string>& bound, const Place& place) {
    if (bound.contains(name)) return;
    const std::vector<std::string> known(bound.begin(), bound.end());
    diagnostics_.Error(place, "unknown-variable",
                       fmt::format("no condition binds `${}`{}; variables stand here without their `$`", name,
                                   Hint(name, known)));
  }

  std::vector<std::string> ReadAtOnce(Fields& fields, const std::set<std::string>& bound) {
    const std::vector<std::string> names = fields.OptionalNames("at_once");
    for (const std::string& name : names) RequireBoundName(name, bound, fields.PlaceOf("at_once"));
    return names;
  }

  // A fact whose quantities are left out, as it is they that will be measured.
  void LoadMeasure(const YamlEntry& entry, const std::set<std::string>& bound, VariableUses& variables,
                   Check& check) {
    YamlNode node;
    node.kind = YamlNode::Kind::kMap;
    node.place = entry.key_place;
    node.entries.push_back(entry);
    const auto pattern = ReadPattern(node, false, true, variables, context_);
    if (!pattern) return;
    RequireBound(*pattern, bound, "what this check measures", diagnostics_);
    const Word& word = *book_.words.Find(pattern->name);
    bool has_quantity = false;
    for (std::size_t i = 0; i < word.slots.size(); ++i) {
      const bool left_out = std::holds_alternative<Anything>(pattern->terms[i]);
      has_quantity |= word.slots[i].dimension.has_value();
      if (word.slots[i].dimension && !left_out) {
        diagnostics_.Error(entry.key_place, "quantity-stated",
                           fmt::format("leave `{}` out: it is what this check measures", word.slots[i].name));
      } else if (!word.slots[i].dimension && left_out) {
        diagnostics_.Error(entry.key_place, "missing-slot",
                           fmt::format("`{}` needs its slot `{}`: only quantities are left out here",
                                       word.name, word.slots[i].name));
      }
    }
    if (!has_quantity) {
      diagnostics_
          .Error(entry.key_place, "no-quantity", fmt::format("`{}` has no quantity to measure", word.name))
          .notes.push_back({word.place, fmt::format("`{}` is described here", word.name)});
    }
    check.measures.push_back(*pattern);
  }

  void LoadRepair(const YamlNode& node) {
    Fields fields(node, "a repair", diagnostics_);
    Repair repair;
    repair.place = node.place;
    repair.part_kind = fields.RequiredName("part_kind");
    repair.access = fields.RequiredName("access");
    RequireKnown(repair.access, book_.words.access, "access", fields.PlaceOf("access"));
    VariableUses variables;
    variables.kinds["part"] = "part";
    variables.first_use["part"] = node.place;
    repair.when = ReadConditions(fields.OptionalList("when"), variables, context_, {"part"});
    repair.gap_because = fields.OptionalText("gap_because");
    fields.Done();
    const Word* part = book_.words.Find("part");
    if (part == nullptr || part->SlotIndex("part") < 0 || part->SlotIndex("kind") < 0) {
      diagnostics_.Error(node.place, "no-part-fact",
                         "`repairs` goes by the fact `part: {part, kind}`, which the words do not describe");
    }
    for (const Repair& other : book_.repairs) {
      if (!repair.when.empty() || !other.when.empty() || other.part_kind != repair.part_kind) continue;
      diagnostics_
          .Error(node.place, "repair-twice",
                 fmt::format("with which access a `{}` is renewed is said already", repair.part_kind))
          .notes.push_back({other.place, "it is said here"});
    }
    book_.repairs.push_back(std::move(repair));
  }

  void LoadSilence(const YamlNode& node) {
    Fields fields(node, "a silence", diagnostics_);
    Silence silence;
    VariableUses variables;
    silence.id = ReadId(fields, &silence.place);
    silence.when = ReadConditions(fields.RequiredList("when"), variables, context_);
    silence.over = fields.RequiredName("over");
    const std::set<std::string> bound = BoundVariables(silence.when);
    if (!silence.over.empty()) RequireBoundName(silence.over, bound, fields.PlaceOf("over"));
    silence.trust = ReadTrust(fields).name;
    const auto share = [&](const char* key, double& out) {
      const YamlNode* value = fields.Required(key);
      if (value != nullptr) out = ReadChance(*value, book_.words.how_often, diagnostics_).value_or(out);
    };
    share("unnamed_if_present", silence.p_if_present);
    share("unnamed_if_absent", silence.p_if_absent);
    share("named_at_most", silence.named_at_most);
    fields.Required("says");
    silence.says = fields.OptionalText("says");
    silence.because = ReadSentence(fields, "because", variables);
    silence.variables = variables.kinds;
    fields.Done();
    book_.silences.push_back(std::move(silence));
  }

  template <typename Map>
  void RequireKnown(const std::string& name, const Map& known, const char* what, const Place& place) {
    if (name.empty() || known.contains(name)) return;
    std::vector<std::string> names;
    for (const auto& [key, value] : known) names.push_back(key);
    diagnostics_.Error(place, fmt::format("unknown-{}", what),
                       fmt::format("there is no {} called `{}`{}", what, name, Hint(name, names)));
  }

  void LoadDecision(const YamlNode& node) {
    Fields fields(node, "a decision", diagnostics_);
    Decision decision;
    VariableUses variables;
    decision.id = ReadId(fields, &decision.place);
    decision.when = ReadConditions(fields.RequiredList("when"), variables, context_);
    if (const YamlNode* part = fields.Required("part")) {
      std::string text;
      if (ReadText(*part, "`part`", diagnostics_, &text)) {
        const std::string variable = text.starts_with('$') ? text.substr(1) : "";
        if (variable.empty()) {
          diagnostics_.Error(part->place, "bad-variable",
                             "`part` is a variable that `when` binds, as in `$p`");
        } else {
          decision.part = Variable{variable};
          RequireBound({"", {decision.part}, part->place}, BoundVariables(decision.when), "`part`",
                       diagnostics_);
        }
      }
    }
    const std::string verdict = fields.RequiredName("do");
    if (verdict == "replace") {
      decision.verdict = Verdict::kReplace;
    } else if (verdict == "reuse") {
      decision.verdict = Verdict::kReuse;
    } else if (!verdict.empty() && verdict != "measure") {
      diagnostics_.Error(
          fields.PlaceOf("do"), "bad-verdict",
          fmt::format("a decision is to `replace`, `reuse` or `measure`, not to `{}`", verdict));
    }
    ReadBasis(fields, variables, decision);
    decision.because = ReadSentence(fields, "because", variables);
    decision.gap_because = fields.OptionalText("gap_because");
    decision.variables = variables.kinds;
    fields.Done();
    book_.decisions.push_back(std::move(decision));
  }

  // What it goes by: `found:` lists what was found, `goes_by:` names the others.
  void ReadBasis(Fields& fields, VariableUses& variables, Decision& decision) {
    const std::set<std::string> bound = BoundVariables(decision.when);
    for (const YamlNode& item : fields.OptionalList("found")) {
      const auto pattern = ReadPattern(item, true, false, variables, context_);
      if (!pattern) continue;
      RequireBound(*pattern, bound, "what is found", diagnostics_);
      decision.found.push_back(*pattern);
    }
    const std::string said = fields.OptionalName("goes_by");
    if (!decision.found.empty()) decision.basis = DecisionBasis::kFound;
    if (said.empty()) return;
    if (!decision.found.empty()) {
      diagnostics_.Error(fields.PlaceOf("goes_by"), "bad-basis",
                         "a decision with `found` goes by that; take `goes_by` out");
      return;
    }
    for (const DecisionBasis basis : {DecisionBasis::kMeasured, DecisionBasis::kTold, DecisionBasis::kKind}) {
      decision.basis = basis;
      if (DecisionBasisName(basis) == said) return;
    }
    diagnostics_.Error(
        fields.PlaceOf("goes_by"), "bad-basis",
        fmt::format("a decision goes by what was `measured`, by what was `told`, or by the `kind` "
                    "of part, not by `{}`; what was found is listed under `found`",
                    said));
  }

  Rulebook& book_;
  Diagnostics& diagnostics_;
  StatementContext context_;
  std::map<std::string, Place> ids_;
};

}  // namespace

std::string_view DecisionBasisName(DecisionBasis basis) {
  switch (basis) {
    case DecisionBasis::kFound:
      return "found";
    case DecisionBasis::kMeasured:
      return "measured";
    case DecisionBasis::kTold:
      return "told";
    case DecisionBasis::kKind:
      return "kind";
  }
  return "";
}

std::string_view VerdictName(Verdict verdict) {
  switch (verdict) {
    case Verdict::kReplace:
      return "replace";
    case Verdict::kReuse:
      return "reuse";
    case Verdict::kMeasure:
      return "measure";
  }
  return "";
}

std::optional<Rulebook> LoadRulebook(const std::vector<int>& sources, const Sources& texts,
                                     Diagnostics& diagnostics) {
  const int errors_before = diagnostics.error_count();
  Rulebook book;
  std::vector<YamlNode> roots;
  bool all_parsed = true;
  for (const int source : sources) book.files.push_back({texts.Name(source), Sha256Hex(texts.Text(source))});
  for (std::optional<YamlNode>& root : ParseYamlFiles(texts, sources, diagnostics)) {
    if (!root) {
      all_parsed = false;
    } else if (root->IsMap()) {
      roots.push_back(std::move(*root));
    } else if (!root->IsEmpty()) {
      diagnostics.Error(root->place, "not-a-map",
                        "a rulebook file is a map with keys such as `charts` and `chances`");
    }
  }
  Diagnostics meanings;
  book.words = LoadWords(roots, meanings);
  Loader loader(book, meanings);
  for (const YamlNode& root : roots) loader.LoadFile(root);
  // A file that could not be read may hold the very words that others miss: then only what is wrong in any
  // case is reported.
  if (all_parsed && !meanings.HasErrors()) loader.CheckWhole();
  for (const Diagnostic& found : meanings.Sorted()) {
    if (!all_parsed && found.code.starts_with("unknown-")) continue;
    diagnostics.Error(found.place, found.code, found.message).notes = found.notes;
  }
  if (diagnostics.error_count() > errors_before) return std::nullopt;
  return book;
}

}  // namespace gearwhy
