#include "engine/files/load_rulebook.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "engine/files/load_measurements.h"
#include "engine/files/load_renewing.h"
#include "engine/files/load_words.h"
#include "engine/files/merge_layers.h"
#include "engine/files/read_statement.h"
#include "engine/files/read_value.h"
#include "engine/model/access.h"
#include "engine/text/near_names.h"
#include "engine/text/sha256.h"

namespace gearwhy {
namespace {

using enum Presence;

// The words and instruments of all files are read before.
class Loader {
 public:
  Loader(Rulebook& book, Diagnostics& diagnostics)
      : book_(book), diagnostics_(diagnostics), context_{book.words, diagnostics} {}

  void LoadFile(Fields& fields) {
    LoadHead(fields);
    Each(fields, "rules", "rule", "What follows for certain.", &Loader::LoadRule);
    Each(fields, "charts", "chart", "What brings about what, and how often.", &Loader::LoadChart);
    Each(fields, "chances", "chance", "How common each fault is before any symptom.", &Loader::LoadChance);
    Each(fields, "checks", "check", "What can be asked, looked at or measured.", &Loader::LoadCheck);
    Each(fields, "looks", "look", "Which checks are one act, and are asked together.", &Loader::LoadLook);
    Each(fields, "repairs", "repair", "With which access each kind of part is renewed.", &Loader::LoadRepair);
    Each(fields, "decisions", "decision", "Which parts to replace, reuse or measure.", &Loader::LoadDecision);
    Each(fields, "silence", "silence", "What a customer says by not naming something.", &Loader::LoadSilence);
    Each(fields, "final_tests", "final_test", "What is tried before the unit is given back.",
         &Loader::LoadFinalTest);
    Each(fields, "lint", "lint_off", "What `gearwhy rules check` is not to point out, and why.",
         &Loader::LoadLintOff);
    LoadMeasurements(fields, book_, diagnostics_);
    LoadRenewing(fields, book_, diagnostics_);
    ReadChanges(fields);  // made already; here for what is asked of a file
    fields.Done();
  }

  // What only the whole book can tell.
  void CheckWhole() {
    CheckRenewing(book_, diagnostics_);
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
    std::set<std::string> taken;
    for (JointLook& look : book_.looks) CheckLook(look, taken);
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
  void Each(Fields& file, const char* key, const char* kind, const char* help,
            void (Loader::*load)(Fields&)) {
    for (Fields& fields : file.Entries(key, kOptional, kind, help)) (this->*load)(fields);
  }

  void LoadHead(Fields& fields) {
    std::string title;
    fields.Text("rulebook", kOptional, title, "The title of the rulebook, in one of its files.");
    fields.Text("version", kOptional, book_.version, "The version of the rulebook.");
    if (title.empty()) return;
    if (!book_.title.empty()) {
      diagnostics_.Error(
          fields.PlaceOf("rulebook"), "described-twice",
          fmt::format(
              "the rulebook has its title already: `{}`; one file says it, and those of a shop leave it out",
              book_.title));
    }
    book_.title = title;
  }

  // ---- Keys that several kinds of entry have.

  template <typename Entry>
  void ReadId(Fields& fields, Entry& entry) {
    fields.Name("id", kNeeded, entry.id, "A name of its own, by which reasons and cases refer to it.");
    entry.place = fields.PlaceOf("id");
    if (entry.id.empty()) return;
    const auto [it, is_new] = ids_.emplace(entry.id, entry.place);
    if (is_new) return;
    diagnostics_.Error(entry.place, "id-twice", fmt::format("the id `{}` is taken", entry.id))
        .notes.push_back({it->second, "it stands here"});
  }

  // Returns the variables that are bound then; those in `bound` were bound before.
  std::set<std::string> ReadWhen(Fields& fields, Presence presence, std::vector<Condition>& when,
                                 VariableUses& variables, const char* help,
                                 std::set<std::string> bound = {}) {
    when = ReadConditions(fields.List("when", presence, "condition", help), variables, context_, bound);
    bound.merge(BoundVariables(when));
    return bound;
  }

  std::optional<Pattern> ReadEvent(Fields& fields, const char* key, VariableUses& variables,
                                   const char* help) {
    const YamlNode* node = fields.Value(key, kNeeded, "statement", help);
    return node == nullptr ? std::nullopt : ReadPattern(*node, true, false, variables, context_);
  }

  // Events of which all variables are bound; `what` names their place in messages.
  std::vector<Pattern> ReadEvents(const std::vector<YamlNode>& items, VariableUses& variables,
                                  const std::set<std::string>& bound, const char* what) {
    std::vector<Pattern> events;
    for (const YamlNode& item : items) {
      const auto event = ReadPattern(item, true, false, variables, context_);
      if (!event) continue;
      RequireBound(*event, bound, what, diagnostics_);
      events.push_back(*event);
    }
    return events;
  }

  template <typename To>
  void ReadShare(Fields& fields, const char* key, Presence presence, To& to, const char* help) {
    ReadChance(fields, key, presence, to, help, book_.words.how_often);
  }

  // Without one, the first.
  void ReadTrust(Fields& fields, std::string& trust, const char* help) {
    trust = book_.words.trusts.front().name;
    fields.Name("trust", kOptional, trust, help);
    RequireKnown(trust, NamesOf(book_.words.trusts), "trust", fields.PlaceOf("trust"), diagnostics_);
  }

  void ReadAccess(Fields& fields, const char* key, Presence presence, std::string& access, const char* help) {
    fields.Name(key, presence, access, help);
    if (!access.empty())
      RequireKnown(access, NamesOf(book_.words.access), "access", fields.PlaceOf(key), diagnostics_);
  }

  template <typename Entry>
  void ReadBecause(Fields& fields, Entry& entry, const VariableKinds& variables) {
    ReadSentence(fields, "because", kOptional, entry.because, NamesOf(variables),
                 "Why it is so; variables of the entry may stand in braces.");
  }

  template <typename Entry>
  static void ReadGap(Fields& fields, Entry& entry) {
    fields.Text("gap_because", kOptional, entry.gap_because,
                "Why it may stand here although `gearwhy rules gaps` would list it.");
  }

  // A variable that is named without its `$`.
  void RequireBoundName(const std::string& name, const std::set<std::string>& bound, const Place& place) {
    if (name.empty() || bound.contains(name)) return;
    const std::vector<std::string> known(bound.begin(), bound.end());
    diagnostics_.Error(place, "unknown-variable",
                       fmt::format("no condition binds `${}`{}; variables stand here without their `$`", name,
                                   Hint(name, known)));
  }

  // ---- Rules, charts and chances.

  void LoadRule(Fields& fields) {
    Rule rule;
    VariableUses variables;
    std::string trust;
    bool observes = false;
    ReadId(fields, rule);
    const auto bound =
        ReadWhen(fields, kNeeded, rule.when, variables, "The conditions, which must all hold.");
    ReadTrust(fields, trust, "How far a report in `then` is trusted.");
    for (const YamlNode& item :
         fields.List("then", kNeeded, "report|statement", "What follows: facts, or reports of events.")) {
      Conclusion conclusion;
      const YamlNode* statement = &item;
      if (item.IsMap() && item.entries.size() == 1 &&
          (item.entries[0].key == "present" || item.entries[0].key == "absent")) {
        conclusion.sense = item.entries[0].key == "present" ? Sense::kPresent : Sense::kAbsent;
        conclusion.trust = trust;
        statement = &item.entries[0].value;
        observes = true;
      }
      const auto pattern =
          ReadPattern(*statement, conclusion.sense != Sense::kFact, false, variables, context_);
      if (!pattern) continue;
      RequireBound(*pattern, bound, "this conclusion", diagnostics_);
      conclusion.pattern = *pattern;
      rule.then.push_back(std::move(conclusion));
    }
    ReadBecause(fields, rule, variables.kinds);
    ReadGap(fields, rule);
    fields.Done();
    if (fields.Has("trust") && !observes) {
      diagnostics_.Error(fields.PlaceOf("trust"), "needless-trust",
                         "a fact is certain: `trust` goes with `present:` or `absent:`");
    }
    rule.variables = variables.kinds;
    book_.rules.push_back(std::move(rule));
  }

  void LoadChart(Fields& fields) {
    Chart chart;
    VariableUses variables;
    ReadId(fields, chart);
    const auto symptom =
        ReadEvent(fields, "symptom", variables, "The finding, state or fault that is brought about.");
    const auto bound = ReadWhen(fields, kOptional, chart.when, variables, "Where the chart applies.");
    ReadShare(fields, "unexplained", kOptional, chart.p_unexplained,
              "How often the symptom is seen with none of its causes; one chart of a symptom says it.");
    for (Fields& line :
         fields.Entries("causes", kNeeded, "cause", "What brings the symptom about, a line each."))
      LoadCause(line, variables, bound, chart);
    ReadBecause(fields, chart, variables.kinds);
    ReadGap(fields, chart);
    fields.Done();
    if (!symptom) return;
    if (fields.Has("unexplained") && book_.words.Find(symptom->name)->type == WordType::kFault) {
      diagnostics_.Error(fields.PlaceOf("unexplained"), "needless-unexplained",
                         fmt::format("`{}` is a fault: its line in `chances` says how common it is by itself",
                                     symptom->name));
    }
    RequireBound(*symptom, bound, "the symptom", diagnostics_);
    chart.symptom = *symptom;
    chart.variables = variables.kinds;
    book_.charts.push_back(std::move(chart));
  }

  void LoadCause(Fields& fields, VariableUses& variables, const std::set<std::string>& chart_bound,
                 Chart& chart) {
    CauseLine line;
    line.place = fields.place();
    const auto cause =
        ReadEvent(fields, "cause", variables, "The fault, state or finding that brings it about.");
    ReadShare(fields, "how_often", kNeeded, line.p_how_often,
              "How often this cause, alone, brings the symptom about.");
    const auto bound = ReadWhen(fields, kOptional, line.when, variables,
                                "Where the line applies, beyond the conditions of the chart.", chart_bound);
    ReadBecause(fields, line, variables.kinds);
    ReadGap(fields, line);
    fields.Done();
    if (!cause) return;
    RequireBound(*cause, bound, "this cause", diagnostics_);
    line.cause = *cause;
    chart.causes.push_back(std::move(line));
  }

  void LoadChance(Fields& fields) {
    Chance chance;
    VariableUses variables;
    ReadId(fields, chance);
    const auto fault = ReadEvent(fields, "fault", variables, "The fault that is this common.");
    const auto bound = ReadWhen(fields, kOptional, chance.when, variables, "Where the line applies.");
    ReadShare(fields, "chance", kNeeded, chance.p_chance,
              "How common it is in a unit that comes in, before any symptom.");
    for (Fields& factor :
         fields.Entries("factors", kOptional, "factor", "Background facts that multiply the odds."))
      LoadFactor(factor, variables, bound, chance);
    ReadBecause(fields, chance, variables.kinds);
    ReadGap(fields, chance);
    fields.Done();
    if (chance.p_chance >= 1) {
      diagnostics_.Error(fields.PlaceOf("chance"), "chance-outside",
                         "a fault that every unit has is no fault; write less than 100%");
    }
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

  void LoadFactor(Fields& fields, VariableUses& variables, const std::set<std::string>& bound,
                  Chance& chance) {
    OddsFactor factor;
    ReadId(fields, factor);
    ReadWhen(fields, kNeeded, factor.when, variables, "The background facts, which must all hold.", bound);
    std::string odds, why;
    fields.Text("odds", kNeeded, odds, "The number above 0 by which the odds are multiplied.");
    factor.odds = ParseQuantity(odds, Dimension::kNumber, &why).value_or(0);
    if (!odds.empty() && !(factor.odds > 0)) {
      diagnostics_.Error(fields.PlaceOf("odds"), "bad-odds",
                         "`odds` is a number above 0 by which the odds are multiplied");
    }
    ReadBecause(fields, factor, variables.kinds);
    fields.Done();
    chance.factors.push_back(std::move(factor));
  }

  // ---- Checks and repairs.

  void LoadCheck(Fields& fields) {
    Check check;
    VariableUses variables;
    ReadId(fields, check);
    auto bound = ReadWhen(fields, kOptional, check.when, variables, "Where the check can be made.");
    check.tells = ReadEvents(fields.List("tells", kNeeded, "statement", "The findings it answers."),
                             variables, bound, "what this check tells");
    fields.Names("at_once", check.at_once,
                 "Variables, without their `$`, over which one and the same act goes.");
    for (const std::string& name : check.at_once) {
      RequireBoundName(name, bound, fields.PlaceOf("at_once"));
    }
    for (const std::string& name : check.at_once) bound.erase(name);  // they stand for many things at once
    if (const YamlNode* all_good = fields.Value("all_good", kOptional, "statement",
                                                "The finding that is so when any of what it tells is.")) {
      for (const Pattern& event : ReadEvents({*all_good}, variables, bound, "`all_good`"))
        check.all_good = event;
    }
    for (const YamlEntry& entry :
         fields.Map("measures", kOptional, "slots", "Facts it gives numbers for, without their quantities."))
      LoadMeasure(entry, bound, variables, check);
    fields.Truth("running", check.running, "Whether the vehicle runs or drives for it.");
    ReadAccess(fields, "lost_with", kOptional, check.lost_with,
               "The access with which what it looks at is disturbed: then it is not asked for.");
    VariableKinds named = variables.kinds;
    for (const std::string& name : check.at_once) named.erase(name);
    ReadAct(fields, check, named);
    ReadGap(fields, check);
    fields.Done();
    CheckAccess(check, fields);
    check.variables = variables.kinds;
    book_.checks.push_back(std::move(check));
  }

  // What a check and a look say of what is done.
  void ReadAct(Fields& fields, Check& check, const VariableKinds& named) {
    ReadMinutes(fields, kNeeded, check.minutes, "How long it takes once the access is there.");
    ReadAccess(fields, "access", kNeeded, check.access, "How far things must be open for it.");
    ReadTrust(fields, check.trust, "How far its answer is trusted; the first trust when left out.");
    fields.Names("cautions", check.cautions, "What can hurt somebody here, by name.");
    ReadSentence(fields, "says", kNeeded, check.says, NamesOf(named),
                 "What is done, in a few words: \"a stall test in {r}\".");
    ReadSentence(fields, "how", kNeeded, check.how, NamesOf(named), "How it is done.");
    ReadBecause(fields, check, named);
  }

  void LoadLook(Fields& fields) {
    JointLook look;
    ReadId(fields, look.as);
    fields.Names("of", look.of, "The checks, by id: all of one access and one trust.");
    std::vector<std::string> over;
    fields.Names("over", over,
                 "The variables of those checks, without their `$`, for each of which it is made.");
    VariableKinds named;
    for (const std::string& name : over) named[name] = "";
    ReadAct(fields, look.as, named);
    fields.Done();
    if (look.of.size() < 2) {
      diagnostics_.Error(fields.place(), "look-of-one", "`of` names at least two checks that are one act");
      return;
    }
    look.as.variables = named;
    CheckAccess(look.as, fields);
    book_.looks.push_back(std::move(look));
  }

  // The checks of a look are there, and are one act. `taken`: those of the looks before.
  void CheckLook(JointLook& look, std::set<std::string>& taken) {
    std::vector<std::string> ids;
    for (const Check& check : book_.checks) ids.push_back(check.id);
    for (const std::string& id : look.of) {
      if (!RequireKnown(id, ids, "check", look.as.place, diagnostics_)) continue;
      const Check& check = *std::find_if(book_.checks.begin(), book_.checks.end(),
                                         [&](const Check& one) { return one.id == id; });
      const auto refuse = [&](const char* code, const std::string& why) {
        diagnostics_.Error(look.as.place, code, fmt::format("the check `{}` {}", id, why))
            .notes.push_back({check.place, "it stands here"});
      };
      if (!taken.insert(id).second) refuse("look-twice", "belongs to another look already");
      if (check.access != look.as.access)
        refuse("look-elsewhere", "is made with another access than the look");
      if (check.trust != look.as.trust)
        refuse("look-trusted-otherwise", "is trusted otherwise than the look");
      if (!check.measures.empty()) refuse("look-measures", "measures a number, and is asked by itself");
      if (check.all_good) refuse("look-all-good", "has `all_good`, and is asked by itself");
      look.as.running = look.as.running || check.running;
      if (look.as.lost_with.empty()) look.as.lost_with = check.lost_with;
      std::set<std::string> bound = BoundVariables(check.when);
      for (const std::string& name : check.at_once) bound.erase(name);
      for (auto& [name, kind] : look.as.variables) {
        const auto known = check.variables.find(name);
        if (known != check.variables.end()) kind = known->second;
      }
      const std::vector<std::string> over = NamesOf(look.as.variables);
      if (bound != std::set<std::string>(over.begin(), over.end()))
        refuse("look-over", "is made for other variables than `over` names");
    }
  }

  void CheckAccess(const Check& check, const Fields& fields) {
    if (check.running && KeepsFromRunning(book_.words, check.access)) {
      diagnostics_.Error(fields.PlaceOf("running"), "cannot-run",
                         fmt::format("the vehicle cannot run {}", book_.words.access.at(check.access).says));
    }
    if (OpenWith(book_.words, check.access).contains(check.lost_with)) {
      diagnostics_.Error(
          fields.PlaceOf("lost_with"), "never-there",
          fmt::format("what is lost {} can never be looked at {}",
                      book_.words.access.at(check.lost_with).says, book_.words.access.at(check.access).says));
    }
    for (const std::string& caution : check.cautions)
      RequireKnown(caution, NamesOf(book_.words.cautions), "caution", fields.PlaceOf("cautions"),
                   diagnostics_);
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

  void LoadRepair(Fields& fields) {
    Repair repair;
    repair.place = fields.place();
    VariableUses variables;
    variables.kinds["part"] = "part";
    variables.first_use["part"] = repair.place;
    fields.Name("part_kind", kNeeded, repair.part_kind, "The kind of part that is renewed or put right.");
    ReadAccess(fields, "access", kNeeded, repair.access, "How far things must be open for it.");
    ReadWhen(fields, kOptional, repair.when, variables,
             "Where it is so, with `$part` for the part; such a line goes before one without conditions.",
             {"part"});
    ReadGap(fields, repair);
    fields.Done();
    const Word* part = book_.words.Find("part");
    if (part == nullptr || part->SlotIndex("part") < 0 || part->SlotIndex("kind") < 0) {
      diagnostics_.Error(repair.place, "no-part-fact",
                         "`repairs` goes by the fact `part: {part, kind}`, which the words do not describe");
    }
    for (const Repair& other : book_.repairs) {
      if (!repair.when.empty() || !other.when.empty() || other.part_kind != repair.part_kind) continue;
      diagnostics_
          .Error(repair.place, "repair-twice",
                 fmt::format("with which access a `{}` is renewed is said already", repair.part_kind))
          .notes.push_back({other.place, "it is said here"});
    }
    book_.repairs.push_back(std::move(repair));
  }

  // ---- Decisions and silences.

  void LoadDecision(Fields& fields) {
    Decision decision;
    VariableUses variables;
    std::string part;
    ReadId(fields, decision);
    const auto bound =
        ReadWhen(fields, kNeeded, decision.when, variables, "The conditions, which must all hold.");
    fields.Text("part", kNeeded, part, "The variable of the part, as in `$p`.");
    fields.OneOf("do", kNeeded, {Verdict::kReplace, Verdict::kReuse, Verdict::kMeasure}, VerdictName,
                 decision.verdict, "What is done with the part.");
    decision.found =
        ReadEvents(fields.List("found", kOptional, "statement",
                               "Harm of which some must have been observed; the decision goes by it."),
                   variables, bound, "what is found");
    if (!decision.found.empty()) decision.basis = DecisionBasis::kFound;
    fields.OneOf("goes_by", kOptional, {DecisionBasis::kMeasured, DecisionBasis::kTold, DecisionBasis::kKind},
                 DecisionBasisName, decision.basis,
                 "What it goes by where it has no `found`; `kind` when left out.",
                 "; what was found is listed under `found`");
    ReadBecause(fields, decision, variables.kinds);
    ReadGap(fields, decision);
    fields.Done();
    if (part.size() > 1 && part.starts_with('$')) {
      decision.part = Variable{part.substr(1)};
      RequireBound({"", {decision.part}, fields.PlaceOf("part")}, bound, "`part`", diagnostics_);
    } else if (!part.empty()) {
      diagnostics_.Error(fields.PlaceOf("part"), "bad-variable",
                         "`part` is a variable that `when` binds, as in `$p`");
    }
    if (fields.Has("goes_by") && !decision.found.empty()) {
      diagnostics_.Error(fields.PlaceOf("goes_by"), "bad-basis",
                         "a decision with `found` goes by that; take `goes_by` out");
    }
    decision.variables = variables.kinds;
    book_.decisions.push_back(std::move(decision));
  }

  void LoadSilence(Fields& fields) {
    Silence silence;
    VariableUses variables;
    ReadId(fields, silence);
    const auto bound = ReadWhen(fields, kNeeded, silence.when, variables, "What might have been named.");
    fields.Name("over", kNeeded, silence.over,
                "The variable, without its `$`, whose values might have been named.");
    RequireBoundName(silence.over, bound, fields.PlaceOf("over"));
    ReadTrust(fields, silence.trust, "Of which complaints; the first trust when left out.");
    ReadShare(fields, "unnamed_if_present", kNeeded, silence.p_if_present,
              "Of a hundred that are bad, how many are left unnamed.");
    ReadShare(fields, "unnamed_if_absent", kNeeded, silence.p_if_absent,
              "Of a hundred that are good, how many are left unnamed.");
    ReadShare(fields, "named_at_most", kNeeded, silence.named_at_most,
              "Where more than this share of them is named, silence says nothing.");
    fields.Text("says", kNeeded, silence.says, "How it is spoken of.");
    ReadBecause(fields, silence, variables.kinds);
    fields.Done();
    silence.variables = variables.kinds;
    book_.silences.push_back(std::move(silence));
  }

  void LoadLintOff(Fields& fields) {
    LintSwitch off;
    fields.Name("ignore", kNeeded, off.lint,
                "The name of the lint, as it stands in brackets behind its message.");
    off.place = fields.PlaceOf("ignore");
    fields.Names("at", off.at, "The entries, by id or name; everywhere when left out.");
    fields.Text("because", kNeeded, off.because, "Why it may stay so, a sentence.");
    fields.Done();
    book_.lint_off.push_back(std::move(off));
  }

  // ---- Final tests.

  void LoadFinalTest(Fields& fields) {
    FinalTest test;
    VariableUses variables;
    ReadId(fields, test);
    const auto bound = ReadWhen(fields, kOptional, test.when, variables, "Where it is to be made.");
    if (const YamlNode* done = fields.Value("done", kNeeded, "statement",
                                            "The fact of the case's `work` by which it is done.")) {
      if (const auto pattern = ReadPattern(*done, false, false, variables, context_)) {
        RequireBound(*pattern, bound, "`done`", diagnostics_);
        test.done = *pattern;
      }
    }
    ReadAccess(fields, "access", kNeeded, test.access, "How far things must be open for it, or still are.");
    fields.Truth("needed", test.needed, "Whether the work is not ready to close without it.");
    fields.Names("cautions", test.cautions, "What can hurt somebody here, by name.");
    for (const std::string& caution : test.cautions)
      RequireKnown(caution, NamesOf(book_.words.cautions), "caution", fields.PlaceOf("cautions"),
                   diagnostics_);
    ReadSentence(fields, "says", kNeeded, test.says, NamesOf(variables.kinds),
                 "What is done, in a few words: \"an air test of {e}\".");
    ReadSentence(fields, "how", kNeeded, test.how, NamesOf(variables.kinds), "How it is done.");
    ReadBecause(fields, test, variables.kinds);
    fields.Done();
    test.variables = variables.kinds;
    book_.final_tests.push_back(std::move(test));
  }

  Rulebook& book_;
  Diagnostics& diagnostics_;
  StatementContext context_;
  std::map<std::string, Place> ids_;
};

void Load(std::vector<Fields>& files, Rulebook& book, Diagnostics& diagnostics) {
  const int errors_before = diagnostics.error_count();
  book.words = LoadWords(files, diagnostics);
  for (Fields& file : files) LoadInstruments(file, book, diagnostics);
  Loader loader(book, diagnostics);
  for (Fields& file : files) loader.LoadFile(file);
  if (diagnostics.error_count() == errors_before) loader.CheckWhole();
}

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

FileShape RulebookShape() {
  return DescribeFields("rulebook", [](const Fields& fields, Diagnostics& diagnostics) {
    std::vector<Fields> files = {fields};
    Rulebook book;
    Load(files, book, diagnostics);
  });
}

std::optional<Rulebook> LoadRulebook(const std::vector<BookLayer>& layers, const Sources& texts,
                                     Diagnostics& diagnostics, const std::optional<Place>& without) {
  const int errors_before = diagnostics.error_count();
  const auto is_good = [&] { return diagnostics.error_count() == errors_before; };
  Rulebook book;
  std::vector<int> sources;
  std::vector<std::string> units;
  for (const BookLayer& layer : layers) {
    const int number = static_cast<int>(book.layers.names.size());
    book.layers.names.push_back(layer.name);
    for (const int source : layer.sources) {
      book.files.push_back({texts.Name(source), Sha256Hex(texts.Text(source))});
      book.layers.of_source[source] = number;
      sources.push_back(source);
    }
    units.insert(units.end(), layer.units.begin(), layer.units.end());
  }
  std::vector<std::optional<YamlNode>> roots = ParseYamlFiles(texts, sources, diagnostics);
  // A file that could not be read may hold the very words that the others name: they are not looked at, so
  // that what is wrong stands alone.
  if (!is_good()) return std::nullopt;
  std::vector<LaidTree> trees;
  for (std::size_t i = 0; i < roots.size(); ++i)
    trees.push_back({&*roots[i], book.layers.of_source.at(sources[i])});
  std::sort(units.begin(), units.end());
  MergeLayers(trees, units, without, book.layers, diagnostics);
  if (!is_good()) return std::nullopt;
  std::vector<Fields> files;
  for (const LaidTree& tree : trees) {
    if (!tree.root->IsEmpty()) files.emplace_back(*tree.root, "a rulebook file", diagnostics);
  }
  Load(files, book, diagnostics);
  if (!is_good()) return std::nullopt;
  return book;
}

}  // namespace gearwhy
