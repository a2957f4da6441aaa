#include "engine/study/book_entries.h"

#include <algorithm>

#include "engine/chain/chain.h"
#include "engine/explain/part_decisions.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

class Lister {
 public:
  explicit Lister(const Rulebook& book) : book_(book) {}

  std::vector<BookEntry> List() {
    Words();
    for (const Rule& rule : book_.rules) {
      BookEntry& entry = Add("rules", "rule", rule.id, rule.place, &rule);
      When(rule.when, entry);
      for (const Conclusion& then : rule.then) About(then.pattern, entry);
      for (const Conclusion& then : rule.then) entry.names.push_back(then.trust);
    }
    for (const Chart& chart : book_.charts) AddChart(chart);
    for (const Chance& chance : book_.chances) {
      BookEntry& entry = Add("chances", "chance", chance.id, chance.place, &chance);
      When(chance.when, entry);
      About(chance.fault, entry);
      for (const OddsFactor& factor : chance.factors) When(factor.when, entry);
    }
    for (const Check& check : book_.checks) AddCheck("checks", "check", check);
    for (const JointLook& look : book_.looks) {
      BookEntry& entry = AddCheck("looks", "look", look.as);
      entry.names.insert(entry.names.end(), look.of.begin(), look.of.end());
    }
    for (const Repair& repair : book_.repairs) {
      BookEntry& entry = Add("repairs", "repair", repair.part_kind, repair.place, &repair);
      When(repair.when, entry);
      entry.names.push_back(repair.access);
    }
    AddDecisions();
    AddMeasurements();
    AddLast();
    for (BookEntry& entry : entries_) Tidy(entry);
    return std::move(entries_);
  }

 private:
  BookEntry& Add(std::string_view key, std::string_view kind, const std::string& id, const Place& place,
                 const void* what) {
    return entries_.emplace_back(BookEntry{key, kind, id, place, what, {}, {}});
  }
  static void When(const std::vector<Condition>& when, BookEntry& entry) {
    for (const Condition& condition : when) entry.names.push_back(condition.pattern.name);
  }
  static void About(const Pattern& pattern, BookEntry& entry) {
    entry.about.push_back(pattern.name);
    entry.names.push_back(pattern.name);
  }

  void Words() {
    for (const bool events : {false, true}) {
      for (const auto& [name, word] : book_.words.words) {
        if (word.IsEvent() != events || word.IsWalk()) continue;
        BookEntry& entry = Add(events ? "events" : "facts", WordTypeName(word.type), name, word.place, &word);
        for (const Need& need : word.needs) entry.names.push_back(need.pattern.name);
        entry.names.push_back(word.repair);
      }
    }
  }

  void AddChart(const Chart& chart) {
    BookEntry& entry = Add("charts", "chart", chart.id, chart.place, &chart);
    When(chart.when, entry);
    About(chart.symptom, entry);
    for (const CauseLine& line : chart.causes) {
      When(line.when, entry);
      entry.names.push_back(line.cause.name);
    }
  }

  BookEntry& AddCheck(std::string_view key, std::string_view kind, const Check& check) {
    BookEntry& entry = Add(key, kind, check.id, check.place, &check);
    When(check.when, entry);
    for (const Pattern& tells : check.tells) About(tells, entry);
    for (const Pattern& measures : check.measures) About(measures, entry);
    if (check.all_good) entry.names.push_back(check.all_good->name);
    entry.names.insert(entry.names.end(), {check.access, check.trust, check.lost_with});
    entry.names.insert(entry.names.end(), check.cautions.begin(), check.cautions.end());
    return entry;
  }

  void AddDecisions() {
    for (const Decision& decision : book_.decisions) {
      BookEntry& entry = Add("decisions", "decision", decision.id, decision.place, &decision);
      When(decision.when, entry);
      for (const Pattern& found : decision.found) entry.names.push_back(found.name);
    }
    for (const Silence& silence : book_.silences) {
      BookEntry& entry = Add("silence", "silence", silence.id, silence.place, &silence);
      When(silence.when, entry);
      entry.names.push_back(silence.trust);
    }
    for (const FinalTest& test : book_.final_tests) {
      BookEntry& entry = Add("final_tests", "final test", test.id, test.place, &test);
      When(test.when, entry);
      entry.names.insert(entry.names.end(), {test.done.name, test.access});
      entry.names.insert(entry.names.end(), test.cautions.begin(), test.cautions.end());
    }
  }

  void AddMeasurements() {
    for (const auto& [fact, measurement] : book_.measurements) {
      BookEntry& entry = Add("measurements", "measurement", fact, measurement.place, &measurement);
      entry.names.push_back(fact);
      entry.names.push_back(measurement.trust);
      entry.names.insert(entry.names.end(), measurement.with.begin(), measurement.with.end());
      entry.names.insert(entry.names.end(), measurement.limits.begin(), measurement.limits.end());
      for (const auto* told :
           {&measurement.too_small, &measurement.too_large, &measurement.within, &measurement.as_new}) {
        if (*told) About(**told, entry);
      }
    }
    for (const auto& [name, instrument] : book_.instruments)
      Add("instruments", "instrument", name, instrument.place, &instrument);
    for (const auto& [kind, again] : book_.renewing.again) Add("again", "renewal", kind, again.place, &again);
  }

  void AddLast() {
    const gearwhy::Words& words = book_.words;
    for (const auto& [name, access] : words.access) {
      BookEntry& entry = Add("access", "access", name, access.place, &access);
      entry.names = access.cautions;
      entry.names.insert(entry.names.end(), access.opens.begin(), access.opens.end());
      entry.names.push_back(access.from);
    }
    for (const Trust& trust : words.trusts) Add("trust", "trust", trust.name, trust.place, &trust);
    for (const auto& [name, circumstance] : words.circumstances) {
      BookEntry& entry = Add("circumstances", "circumstance", name, circumstance.place, &circumstance);
      entry.names = {circumstance.opposite, circumstance.shown_by};
    }
    for (const auto& [name, caution] : words.cautions)
      Add("cautions", "caution", name, caution.place, &caution);
  }

  static void Tidy(BookEntry& entry) {
    for (std::vector<std::string>* names : {&entry.about, &entry.names}) {
      std::sort(names->begin(), names->end());
      names->erase(std::unique(names->begin(), names->end()), names->end());
      std::erase(*names, "");
    }
  }

  const Rulebook& book_;
  std::vector<BookEntry> entries_;
};

// What the network of a case rests on.
void AddNetwork(const Diagnosis& diagnosis, std::set<const void*>& counts) {
  const GroundNetwork& ground = diagnosis.ground;
  const std::vector<char> bears = BearsOnReports(ground.network);
  for (std::size_t i = 0; i < ground.network.events.size(); ++i) {
    if (bears[i] == 0) continue;
    const GroundEvent& event = ground.events[i];
    if (event.chance != nullptr) counts.insert(event.chance);
    for (const AppliedFactor& factor : ground.FactorsOf(static_cast<int>(i))) counts.insert(factor.factor);
    for (const GroundLink& link : event.links) {
      counts.insert(link.chart);
      counts.insert(link.line);
    }
  }
}

}  // namespace

std::vector<BookEntry> EntriesOf(const Rulebook& book) { return Lister(book).List(); }

std::vector<const BookEntry*> UsesOf(const std::string& name, const std::vector<BookEntry>& entries) {
  std::vector<const BookEntry*> uses;
  for (const BookEntry& entry : entries) {
    if (entry.id != name && std::binary_search(entry.names.begin(), entry.names.end(), name))
      uses.push_back(&entry);
  }
  return uses;
}

std::set<const void*> CountsIn(const Diagnosis& diagnosis) {
  std::set<const void*> counts;
  AddNetwork(diagnosis, counts);
  std::set<Statement> reported;
  for (const Report& report : diagnosis.ground.network.reports)
    reported.insert(diagnosis.ground.events[At(report.event)].statement);
  const Rulebook& book = *diagnosis.book;
  for (const CaseFacts& world : diagnosis.worlds) {
    for (const Rule& rule : book.rules) {
      if (!counts.contains(&rule) && !FindMatches(rule.when, world.store).empty()) counts.insert(&rule);
    }
    for (const Decision& decision : book.decisions) {
      if (!counts.contains(&decision) && !MatchesOf(decision, world.store).empty()) counts.insert(&decision);
    }
    for (const Check& check : book.checks) {
      if (counts.contains(&check)) continue;
      for (const Match& match : FindMatches(check.when, world.store)) {
        const bool told = std::any_of(check.tells.begin(), check.tells.end(), [&](const Pattern& tells) {
          return reported.contains(Fill(tells, match.bindings));
        });
        if (told) counts.insert(&check);
      }
    }
  }
  return counts;
}

}  // namespace gearwhy
