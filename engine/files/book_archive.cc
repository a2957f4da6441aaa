#include "engine/files/book_archive.h"

#include <cereal/archives/binary.hpp>
#include <cereal/types/map.hpp>
#include <cereal/types/optional.hpp>
#include <cereal/types/string.hpp>
#include <cereal/types/variant.hpp>
#include <cereal/types/vector.hpp>
#include <sstream>
#include <utility>

namespace gearwhy {

// One function for each struct, by which cereal writes and reads it. The fields are bound in the order in
// which the struct declares them: one that is added there and not here does not compile.

// ---- Of engine/text.

void serialize(auto& archive, Place& place) {
  auto& [source, line, column, length] = place;
  archive(source, line, column, length);
}

void serialize(auto& archive, YamlNode& yaml_node) {
  auto& [kind, place, text, quoted, items, entries] = yaml_node;
  archive(kind, place, text, quoted, items, entries);
}

void serialize(auto& archive, YamlEntry& yaml_entry) {
  auto& [key, key_place, value] = yaml_entry;
  archive(key, key_place, value);
}

// ---- Of engine/model.

void serialize(auto& archive, Statement& statement) {
  auto& [name, slots] = statement;
  archive(name, slots);
}

void serialize(auto& archive, Variable& variable) {
  auto& [name] = variable;
  archive(name);
}

void serialize(auto& archive, Pattern& pattern) {
  auto& [name, terms, place] = pattern;
  archive(name, terms, place);
}

void serialize(auto& archive, Condition& condition) {
  auto& [kind, sense, pattern, comparison, left, right, share_of_right, place] = condition;
  archive(kind, sense, pattern, comparison, left, right, share_of_right, place);
}

void serialize(auto& archive, Conclusion& conclusion) {
  auto& [sense, pattern, trust] = conclusion;
  archive(sense, pattern, trust);
}

void serialize(auto& archive, Rule& rule) {
  auto& [id, when, then, because, variables, place, gap_because] = rule;
  archive(id, when, then, because, variables, place, gap_because);
}

void serialize(auto& archive, QuantityRange& quantity_range) {
  auto& [least, most, whole] = quantity_range;
  archive(least, most, whole);
}

void serialize(auto& archive, Kind& kind) {
  auto& [name, open, values, says, place] = kind;
  archive(name, open, values, says, place);
}

void serialize(auto& archive, Slot& slot) {
  auto& [name, kind, dimension, otherwise, range] = slot;
  archive(name, kind, dimension, otherwise, range);
}

void serialize(auto& archive, Need& need) {
  auto& [present, pattern, place] = need;
  archive(present, pattern, place);
}

void serialize(auto& archive, Word& word) {
  auto& [name, type, slots, says, says_absent, says_short, where, repair, repair_because, gap_because, needs,
         ask, ask_absent, history, once, every_part, renews, place] = word;
  archive(name, type, slots, says, says_absent, says_short, where, repair, repair_because, gap_because, needs,
          ask, ask_absent, history, once, every_part, renews, place);
}

void serialize(auto& archive, Trust& trust) {
  auto& [name, p_noticed, p_mistaken, direct, says, place, of_complaints, of_teardown] = trust;
  archive(name, p_noticed, p_mistaken, direct, says, place, of_complaints, of_teardown);
}

void serialize(auto& archive, Circumstance& circumstance) {
  auto& [name, says, how, opposite, shown_by, p_missed, p_missed_unasked, place] = circumstance;
  archive(name, says, how, opposite, shown_by, p_missed, p_missed_unasked, place);
}

void serialize(auto& archive, Access& access) {
  auto& [name, says, from, minutes, unit_out, not_running, cautions, opens, place] = access;
  archive(name, says, from, minutes, unit_out, not_running, cautions, opens, place);
}

void serialize(auto& archive, Caution& caution) {
  auto& [name, says, place] = caution;
  archive(name, says, place);
}

void serialize(auto& archive, Sayings::Called& called) {
  auto& [fact, names, place] = called;
  archive(fact, names, place);
}

void serialize(auto& archive, Sayings& sayings) {
  auto& [alike, small, denials, joins, counted, called] = sayings;
  archive(alike, small, denials, joins, counted, called);
}

void serialize(auto& archive, Words& all) {
  auto& [kinds, words, how_often, trusts, circumstances, access, cautions, sayings] = all;
  archive(kinds, words, how_often, trusts, circumstances, access, cautions, sayings);
}

void serialize(auto& archive, Instrument& instrument) {
  auto& [name, says, reads, step, repeats, bias, place] = instrument;
  archive(name, says, reads, step, repeats, bias, place);
}

void serialize(auto& archive, Measurement& measurement) {
  auto& [fact, with, limits, p_least_of_new, p_per_degree, spread, too_small, too_large, within, as_new,
         trust, because, place] = measurement;
  archive(fact, with, limits, p_least_of_new, p_per_degree, spread, too_small, too_large, within, as_new,
          trust, because, place);
}

void serialize(auto& archive, Again& again) {
  auto& [part_kind, p_sound, p_long_used, p_renewed, minutes, because, place] = again;
  archive(part_kind, p_sound, p_long_used, p_renewed, minutes, because, place);
}

void serialize(auto& archive, ComeBack& come_back) {
  auto& [minutes, place] = come_back;
  archive(minutes, place);
}

void serialize(auto& archive, Price& price) {
  auto& [each, place] = price;
  archive(each, place);
}

void serialize(auto& archive, Prices& prices) {
  auto& [hour, come_back, parts, place] = prices;
  archive(hour, come_back, parts, place);
}

void serialize(auto& archive, Renewing& renewing) {
  auto& [again, come_back, prices] = renewing;
  archive(again, come_back, prices);
}

void serialize(auto& archive, LayerChange::Key& of_change) {
  auto& [key, was, is] = of_change;
  archive(key, was, is);
}

void serialize(auto& archive, LayerChange& layer_change) {
  auto& [verb, layer, place, item, unit, kind, called, what, keys, because, overridden_by] = layer_change;
  archive(verb, layer, place, item, unit, kind, called, what, keys, because, overridden_by);
}

void serialize(auto& archive, AddedEntry& added_entry) {
  auto& [layer, kind, called, place, item] = added_entry;
  archive(layer, kind, called, place, item);
}

void serialize(auto& archive, UnitChange& unit_change) {
  auto& [unit, layer, change] = unit_change;
  archive(unit, layer, change);
}

void serialize(auto& archive, Layers& layers) {
  auto& [names, of_source, changes, added, of_units] = layers;
  archive(names, of_source, changes, added, of_units);
}

void serialize(auto& archive, CauseLine& cause_line) {
  auto& [cause, p_how_often, when, because, gap_because, place] = cause_line;
  archive(cause, p_how_often, when, because, gap_because, place);
}

void serialize(auto& archive, Chart& chart) {
  auto& [id, symptom, when, p_unexplained, causes, because, gap_because, variables, place] = chart;
  archive(id, symptom, when, p_unexplained, causes, because, gap_because, variables, place);
}

void serialize(auto& archive, OddsFactor& odds_factor) {
  auto& [id, when, odds, because, place] = odds_factor;
  archive(id, when, odds, because, place);
}

void serialize(auto& archive, Chance& chance) {
  auto& [id, fault, when, p_chance, factors, because, gap_because, variables, place] = chance;
  archive(id, fault, when, p_chance, factors, because, gap_because, variables, place);
}

void serialize(auto& archive, Check& check) {
  auto& [id, says, tells, all_good, measures, when, minutes, access, running, lost_with, trust, how, cautions,
         at_once, because, gap_because, variables, place] = check;
  archive(id, says, tells, all_good, measures, when, minutes, access, running, lost_with, trust, how,
          cautions, at_once, because, gap_because, variables, place);
}

void serialize(auto& archive, JointLook& joint_look) {
  auto& [of, as] = joint_look;
  archive(of, as);
}

void serialize(auto& archive, Repair& repair) {
  auto& [part_kind, access, when, gap_because, place] = repair;
  archive(part_kind, access, when, gap_because, place);
}

void serialize(auto& archive, Silence& silence) {
  auto& [id, trust, over, when, p_if_present, p_if_absent, named_at_most, says, because, variables, place] =
      silence;
  archive(id, trust, over, when, p_if_present, p_if_absent, named_at_most, says, because, variables, place);
}

void serialize(auto& archive, Decision& decision) {
  auto& [id, part, when, found, basis, verdict, because, gap_because, variables, place] = decision;
  archive(id, part, when, found, basis, verdict, because, gap_because, variables, place);
}

void serialize(auto& archive, FinalTest& final_test) {
  auto& [id, says, when, done, access, needed, how, cautions, because, variables, place] = final_test;
  archive(id, says, when, done, access, needed, how, cautions, because, variables, place);
}

void serialize(auto& archive, LintSwitch& lint_switch) {
  auto& [lint, at, because, place] = lint_switch;
  archive(lint, at, because, place);
}

void serialize(auto& archive, BookFile& book_file) {
  auto& [name, sha256] = book_file;
  archive(name, sha256);
}

void serialize(auto& archive, Rulebook& rulebook) {
  auto& [title, version, words, rules, charts, chances, checks, looks, repairs, silences, decisions,
         final_tests, instruments, measurements, renewing, lint_off, files, layers] = rulebook;
  archive(title, version, words, rules, charts, chances, checks, looks, repairs, silences, decisions,
          final_tests, instruments, measurements, renewing, lint_off, files, layers);
}

void serialize(auto& archive, Gearset& gearset) {
  auto& [name, type, sun_teeth, large_sun_teeth, ring_teeth, place, profile_shift] = gearset;
  archive(name, type, sun_teeth, large_sun_teeth, ring_teeth, place, profile_shift);
}

void serialize(auto& archive, Part& part) {
  auto& [id, kind, says, element, count, variants, place] = part;
  archive(id, kind, says, element, count, variants, place);
}

void serialize(auto& archive, Element& element) {
  auto& [name, says, type, first, second, place] = element;
  archive(name, says, type, first, second, place);
}

void serialize(auto& archive, Range& range) {
  auto& [name, says, applied, stated_ratio, neutral, place] = range;
  archive(name, says, applied, stated_ratio, neutral, place);
}

void serialize(auto& archive, Shift& shift) {
  auto& [from, to, place] = shift;
  archive(from, to, place);
}

void serialize(auto& archive, Stack::Plates& plates) {
  auto& [part, each, tolerance] = plates;
  archive(part, each, tolerance);
}

void serialize(auto& archive, Stack& stack) {
  auto& [element, depth, tolerance, plates, ring, sizes, ring_tolerance, place] = stack;
  archive(element, depth, tolerance, plates, ring, sizes, ring_tolerance, place);
}

void serialize(auto& archive, Dimensions& dimensions) {
  auto& [element, lined, outer_radius, inner_radius, radius, wrap, lever, energised_by_overdrive, friction,
         piston_outer, piston_inner, spring, rating, drum, fluid_from, place] = dimensions;
  archive(element, lined, outer_radius, inner_radius, radius, wrap, lever, energised_by_overdrive, friction,
          piston_outer, piston_inner, spring, rating, drum, fluid_from, place);
}

void serialize(auto& archive, Choice& choice) {
  auto& [part, sets, sizes, tolerance, looser, per_turn, place] = choice;
  archive(part, sets, sizes, tolerance, looser, per_turn, place);
}

void serialize(auto& archive, Variant& one) {
  auto& [name, says, facts, fact_places, place, p_chance, variant, version, variant_says] = one;
  archive(name, says, facts, fact_places, place, p_chance, variant, version, variant_says);
}

void serialize(auto& archive, Unit& unit) {
  auto& [name, says, gearsets, joins, elements, ranges, shifts, parts, stacks, dimensions, choices,
         engine_torque, converter_ratio, torque_at_rpm, variants, plain_variants, versions, facts,
         fact_places, place, changes] = unit;
  archive(name, says, gearsets, joins, elements, ranges, shifts, parts, stacks, dimensions, choices,
          engine_torque, converter_ratio, torque_at_rpm, variants, plain_variants, versions, facts,
          fact_places, place, changes);
}

template <typename What>
void KeepIn(const DiskCache& cache, const std::string& key, const What& what) {
  if (!cache.IsOn()) return;
  std::ostringstream bytes;
  cereal::BinaryOutputArchive archive(bytes);
  archive(what);
  cache.Keep(key, bytes.view());
}

template <typename What>
std::optional<What> FindIn(const DiskCache& cache, const std::string& key) {
  std::optional<std::string> bytes = cache.Find(key);
  if (!bytes) return std::nullopt;
  std::istringstream stream(std::move(*bytes));
  cereal::BinaryInputArchive archive(stream);
  What what;
  archive(what);
  return what;
}

template void KeepIn(const DiskCache&, const std::string&, const Rulebook&);
template void KeepIn(const DiskCache&, const std::string&, const Unit&);
template std::optional<Rulebook> FindIn(const DiskCache&, const std::string&);
template std::optional<Unit> FindIn(const DiskCache&, const std::string&);

}  // namespace gearwhy
