#include "engine/model/report_chances.h"

#include <algorithm>

namespace gearwhy {
namespace {

// What nothing in the rulebook brings about may still be reported, and is not impossible for that.
constexpr double kRarest = 1e-6;

// Whether the event is known to come under the circumstance, or not to; nothing when nobody has said.
std::optional<bool> ComesSo(const Words& words, const Circumstance& circumstance, const Statement& event,
                            const Reported& reported) {
  const Word* told_by = words.Find(circumstance.shown_by);
  const Word* word = words.Find(event.name);
  if (told_by == nullptr || word == nullptr) return std::nullopt;
  if (told_by->slots.empty()) return reported({told_by->name, {}});
  std::optional<bool> comes_so;
  for (std::size_t i = 0; i < word->slots.size(); ++i) {
    if (word->slots[i].kind != told_by->slots.front().kind) continue;
    const std::optional<bool> one = reported({told_by->name, {event.slots[i]}});
    if (one) comes_so = comes_so.value_or(false) || *one;
  }
  return comes_so;
}

// Whether a slot of this kind holds the value.
bool SpeaksOf(const Word& word, const Statement& event, const std::string& kind, const Value& value) {
  for (std::size_t i = 0; i < word.slots.size(); ++i) {
    if (word.slots[i].kind == kind && event.slots[i] == value) return true;
  }
  return false;
}

}  // namespace

bool TellsCircumstances(const Words& words, const Statement& event) {
  for (const auto& [name, circumstance] : words.circumstances) {
    if (circumstance.shown_by == event.name) return true;
  }
  return false;
}

ReportChances ChancesOfReport(const Trust& trust, double p_common, bool present, double p_missed) {
  const double p = std::clamp(p_common, kRarest, 0.5);
  const double p_false_alarm = trust.p_mistaken / (1 - trust.p_mistaken) * trust.p_noticed * p / (1 - p);
  const double p_noticed = trust.p_noticed * (1 - p_missed);
  if (present) return {p_noticed, p_false_alarm};
  return {1 - p_noticed, 1 - p_false_alarm};
}

double MissedUnder(const Words& words, const Statement& event, const std::vector<std::string>& under,
                   const Reported& reported) {
  if (TellsCircumstances(words, event)) return 0;
  double p_shows = 1;
  for (const std::string& name : under) {
    const Circumstance& this_one = words.circumstances.find(name)->second;
    const Circumstance& other = words.circumstances.find(this_one.opposite)->second;
    if (other.shown_by.empty()) continue;
    const std::optional<bool> comes_so = ComesSo(words, other, event, reported);
    // What is known to come hot, and not known to come cold, is not hidden by heat.
    if (!comes_so && ComesSo(words, this_one, event, reported).value_or(false)) continue;
    p_shows *= 1 - (!comes_so ? other.p_missed_unasked : *comes_so ? other.p_missed : 0);
  }
  return 1 - p_shows;
}

bool TellsOfNothing(const Words& words, const Statement& event, const std::vector<Statement>& present,
                    const std::function<bool(const Statement&)>& reported_absent) {
  if (!TellsCircumstances(words, event)) return false;
  bool any = false;
  for (const Statement& trouble : present) {
    if (TellsCircumstances(words, trouble)) continue;
    if (!event.slots.empty() && !SpeaksOf(*words.Find(trouble.name), trouble,
                                          words.Find(event.name)->slots.front().kind, event.slots.front()))
      continue;
    if (!reported_absent(trouble)) return false;
    any = true;
  }
  return any;
}

std::vector<std::string> ComesUnder(const Words& words, const Statement& event, const Reported& reported) {
  std::vector<std::string> names;
  if (TellsCircumstances(words, event)) return names;
  for (const auto& [name, circumstance] : words.circumstances) {
    if (ComesSo(words, circumstance, event, reported).value_or(false)) names.push_back(name);
  }
  return names;
}

}  // namespace gearwhy
