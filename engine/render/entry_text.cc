// Entries of a rulebook as text: lists of them, and one in sentences with all that uses it.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "engine/render/rules_text.h"
#include "engine/text/number.h"

namespace gearwhy {
namespace {

Condition AsCondition(const Pattern& pattern) {
  Condition condition;
  condition.sense = Sense::kPresent;
  condition.pattern = pattern;
  return condition;
}

std::string SayPattern(const Pattern& pattern, const Speaker& speaker) {
  return speaker.SayCondition(AsCondition(pattern), {});
}

// "some element is applied in some range, and ..."
std::string SayAll(const std::vector<Condition>& conditions, const Speaker& speaker) {
  std::string text;
  for (const Condition& condition : conditions)
    text += (text.empty() ? "" : ", and ") + speaker.SayCondition(condition, {});
  return text;
}

std::string Where(const std::vector<Condition>& conditions, const Speaker& speaker) {
  return conditions.empty() ? "" : ", where " + SayAll(conditions, speaker);
}

// A text with variables in braces, each as "some element".
std::string Loosely(const std::string& text, const VariableKinds& variables) {
  std::string out = text;
  for (const auto& [name, kind] : variables) {
    const std::string brace = "{" + name + "}";
    for (std::size_t at; (at = out.find(brace)) != std::string::npos;)
      out.replace(at, brace.size(), kind.empty() ? "..." : "some " + kind);
  }
  return out;
}

void Because(const std::string& because, const VariableKinds& variables, Page& page) {
  if (!because.empty()) page.Paragraph("  ", AsSentence(Loosely(because, variables)));
}

// What an entry says, kind by kind.
class EntryWriter {
 public:
  EntryWriter(const Rulebook& book, const Speaker& speaker, Page& page)
      : book_(book), speaker_(speaker), page_(page) {}

  void Write(const BookEntry& entry) {
    if (entry.key == "facts" || entry.key == "events") return Of(*static_cast<const Word*>(entry.entry));
    if (entry.key == "rules") return Of(*static_cast<const Rule*>(entry.entry));
    if (entry.key == "charts") return Of(*static_cast<const Chart*>(entry.entry));
    if (entry.key == "chances") return Of(*static_cast<const Chance*>(entry.entry));
    if (entry.key == "checks" || entry.key == "looks") return Of(*static_cast<const Check*>(entry.entry));
    if (entry.key == "decisions") return Of(*static_cast<const Decision*>(entry.entry));
    if (entry.key == "access") return Of(*static_cast<const Access*>(entry.entry));
    if (entry.key == "trust") return Of(*static_cast<const Trust*>(entry.entry));
    if (entry.key == "cautions") return page_.Paragraph("  ", static_cast<const Caution*>(entry.entry)->says);
    if (entry.key == "repairs") return Of(*static_cast<const Repair*>(entry.entry));
    if (entry.key == "measurements") Of(*static_cast<const Measurement*>(entry.entry));
  }

 private:
  void Say(const std::string& clause) { page_.Paragraph("  ", AsSentence(clause)); }
  void Item(const std::string& clause) { page_.Paragraph("  - ", AsSentence(clause)); }

  void Of(const Word& word) {
    Say(speaker_.SayOpen(word));
    if (!word.says_absent.empty()) {
      Word absent = word;
      absent.says = word.says_absent;
      Say("when it is not so: " + speaker_.SayOpen(absent));
    }
    std::string written = word.name;
    for (const Slot& slot : word.slots)
      written += fmt::format("{}{}: ...", written == word.name ? ": {" : ", ", slot.name);
    Say(fmt::format("it is written `{}`", written + (word.slots.empty() ? "" : "}")));
    if (!word.ask.empty()) {
      std::string said;
      for (const std::string& phrase : word.ask) said += (said.empty() ? "" : ", ") + ("\"" + phrase + "\"");
      Say("somebody would say: " + said);
    }
    if (!word.repair.empty()) Say("mending it takes this access: " + speaker_.SayAccess(word.repair));
  }

  void Of(const Rule& rule) {
    Say("where " + SayAll(rule.when, speaker_) + ":");
    for (const Conclusion& then : rule.then) {
      Condition said = AsCondition(then.pattern);
      said.sense = then.sense;
      Item(speaker_.SayCondition(said, {}));
    }
    Because(rule.because, rule.variables, page_);
  }

  void Of(const Chart& chart) {
    Say("what brings it about that " + SayPattern(chart.symptom, speaker_) + Where(chart.when, speaker_));
    for (const CauseLine& line : chart.causes) {
      Item(fmt::format("{} times: {}{}", ShowChance(line.p_how_often), SayPattern(line.cause, speaker_),
                       Where(line.when, speaker_)));
      if (!line.because.empty()) page_.Paragraph("    ", AsSentence(Loosely(line.because, chart.variables)));
      Changed(line.place);
    }
    if (chart.p_unexplained)
      Item(ShowChance(*chart.p_unexplained) + " times: with none of the causes of any chart");
    Because(chart.because, chart.variables, page_);
  }

  void Of(const Chance& chance) {
    Say(fmt::format("in {} units that come in, {}{}", ShowChance(chance.p_chance),
                    SayPattern(chance.fault, speaker_), Where(chance.when, speaker_)));
    for (const OddsFactor& factor : chance.factors) {
      Item(fmt::format("{} ({}) where {}", ShowOddsFactor(factor.odds), factor.id,
                       SayAll(factor.when, speaker_)));
      if (!factor.because.empty())
        page_.Paragraph("    ", AsSentence(Loosely(factor.because, chance.variables)));
      Changed(factor.place);
    }
    Because(chance.because, chance.variables, page_);
  }

  void Of(const Check& check) {
    Say(Loosely(check.says, check.variables) + Where(check.when, speaker_));
    Say(fmt::format("{}, {}; {}", ShowMinutes(check.minutes), speaker_.SayAccess(check.access),
                    TrustSays(check.trust)));
    for (const Pattern& tells : check.tells) Item("tells whether " + SayPattern(tells, speaker_));
    Say(Loosely(check.how, check.variables));
    for (const std::string& caution : check.cautions) page_.Paragraph("  ! ", speaker_.SayCaution(caution));
    Because(check.because, check.variables, page_);
  }

  void Of(const Decision& decision) {
    Say(fmt::format("{} the part where {}", VerdictName(decision.verdict), SayAll(decision.when, speaker_)));
    for (const Pattern& found : decision.found) Item("once it was found that " + SayPattern(found, speaker_));
    Because(decision.because, decision.variables, page_);
  }

  void Of(const Access& access) {
    Say(access.says);
    Say(fmt::format("it takes {}{}", ShowMinutes(access.minutes),
                    access.from.empty() ? "" : " from here: " + speaker_.SayAccess(access.from)));
    for (const std::string& caution : access.cautions) page_.Paragraph("  ! ", speaker_.SayCaution(caution));
  }

  void Of(const Trust& trust) {
    Say(trust.says);
    Say(fmt::format("of such troubles {} are noticed, of such reports {} are mistaken",
                    ShowChance(trust.p_noticed), ShowChance(trust.p_mistaken)));
  }

  void Of(const Repair& repair) {
    Say(fmt::format("a {} is renewed or put right {}{}", speaker_.SayName(repair.part_kind, "part_kind"),
                    speaker_.SayAccess(repair.access), Where(repair.when, speaker_)));
  }

  void Of(const Measurement& measurement) {
    if (const Word* word = book_.words.Find(measurement.fact)) Say(speaker_.SayOpen(*word));
    if (measurement.too_small) Item("below the least: " + SayPattern(*measurement.too_small, speaker_));
    if (measurement.too_large) Item("above the most: " + SayPattern(*measurement.too_large, speaker_));
    Say(measurement.because);
  }

  std::string TrustSays(const std::string& name) const {
    const Trust* trust = book_.words.FindTrust(name);
    return trust == nullptr ? name : trust->says;
  }

  // What layers changed of a part of the entry.
  void Changed(const Place& place) {
    for (const LayerChange* change : speaker_.LayeredAt(place).changes)
      page_.Aside("    ", fmt::format("{} by {}: {}", SayChangedKeys(*change),
                                      speaker_.SayPlace(change->place), change->because));
  }

  const Rulebook& book_;
  const Speaker& speaker_;
  Page& page_;
};

std::string ByKind(const std::vector<const BookEntry*>& entries) {
  std::string text;
  for (const BookEntry* entry : entries)
    text += fmt::format("{}{} {}", text.empty() ? "" : ", ", entry->kind, entry->id);
  return text;
}

// What an entry is about in one clause, for a list.
std::string InShort(const BookEntry& entry, const Rulebook& book, const Speaker& speaker) {
  if (entry.key == "checks" || entry.key == "looks") {
    const Check& check = *static_cast<const Check*>(entry.entry);
    return Loosely(check.says, check.variables);
  }
  if (entry.key == "access") return static_cast<const Access*>(entry.entry)->says;
  if (entry.key == "trust") return static_cast<const Trust*>(entry.entry)->says;
  const bool is_word = entry.key == "facts" || entry.key == "events";
  const Word* word = is_word               ? static_cast<const Word*>(entry.entry)
                     : entry.about.empty() ? book.words.Find(entry.id)
                                           : book.words.Find(entry.about[0]);
  return word == nullptr ? "" : speaker.SayOpen(*word);
}

}  // namespace

std::string EntryCountsText(const std::vector<BookEntry>& entries, const TextStyle& style) {
  std::vector<std::pair<std::string_view, std::size_t>> counts;
  for (const BookEntry& entry : entries) {
    if (counts.empty() || counts.back().first != entry.key) counts.emplace_back(entry.key, 0);
    ++counts.back().second;
  }
  Page page(style);
  for (const auto& [key, count] : counts)
    page.Line("", fmt::format("{:>5}  {:<14} gearwhy rules list {}", count, key, key));
  return page.text();
}

std::string EntryListText(const std::vector<const BookEntry*>& entries, const Rulebook& book,
                          const Speaker& speaker, const TextStyle& style) {
  Page page(style);
  for (const BookEntry* entry : entries) {
    const std::string says = InShort(*entry, book, speaker);
    page.Paragraph("", says.empty() ? entry->id : entry->id + ": " + says);
  }
  return page.text();
}

std::string EntryText(const EntryToShow& show, const Rulebook& book, const Speaker& speaker,
                      const TextStyle& style) {
  const BookEntry& entry = *show.entry;
  Page page(style);
  page.Heading(fmt::format("{} {}", Capitalised(std::string(entry.kind)), entry.id));
  Origin origin;
  origin.place = entry.place;
  page.Aside("  ", speaker.SayOrigin(origin));
  EntryWriter(book, speaker, page).Write(entry);
  std::map<std::string, std::vector<const BookEntry*>> by_how;
  for (const BookEntry* use : show.uses) {
    const bool is_about = std::find(use->about.begin(), use->about.end(), entry.id) != use->about.end();
    const bool tells = use->key == "checks" || use->key == "looks";
    by_how[!is_about ? "Used by" : tells ? "Told by" : "Said more of by"].push_back(use);
  }
  for (const auto& [how, uses] : by_how) page.Paragraph("  ", fmt::format("{}: {}.", how, ByKind(uses)));
  if (show.uses.empty()) page.Paragraph("  ", "Nothing else names it.");
  std::string cases;
  for (const std::string& name : show.counts_in) cases += (cases.empty() ? "" : ", ") + name;
  if (show.looked_in > 0)
    page.Paragraph("  ", fmt::format("Counts in {} of {}{}{}.", show.counts_in.size(),
                                     Counted(show.looked_in, "case"), cases.empty() ? "" : ": ", cases));
  return page.text();
}

std::string CoverageText(const Rulebook& book, const std::set<const void*>& counts, const TextStyle& style) {
  Page page(style);
  page.Heading("Brought into play by no case");
  std::map<std::string_view, std::pair<std::size_t, std::vector<std::string>>>
      by_key;  // how many there are, and which
  const auto add = [&](std::string_view key, const void* entry, const std::string& id) {
    auto& [all, missing] = by_key[key];
    ++all;
    if (!counts.contains(entry)) missing.push_back(id);
  };
  for (const Rule& rule : book.rules) add("rules", &rule, rule.id);
  for (const Check& check : book.checks) add("checks", &check, check.id);
  for (const Decision& decision : book.decisions) add("decisions", &decision, decision.id);
  for (const Chart& chart : book.charts) {
    add("charts", &chart, chart.id);
    for (const CauseLine& line : chart.causes) {
      if (counts.contains(&chart))
        add("lines of charts", &line, fmt::format("{}:{}", chart.id, line.cause.name));
    }
  }
  for (const Chance& chance : book.chances) {
    add("chances", &chance, chance.id);
    for (const OddsFactor& factor : chance.factors) add("factors", &factor, factor.id);
  }
  for (const auto& [key, told] : by_key) {
    std::string list;
    for (const std::string& id : told.second) list += (list.empty() ? "" : ", ") + id;
    page.Paragraph("  ", fmt::format("{} of {} {}{}{}", told.second.size(), told.first, key,
                                     list.empty() ? "" : ": ", list));
  }
  return page.text();
}

}  // namespace gearwhy
