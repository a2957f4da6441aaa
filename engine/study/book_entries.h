// Book entries: all that a rulebook says as one list: what each entry is, where it stands, what it speaks of.
//
// In: a rulebook, which must outlive the list. Out: its entries in the order of the kinds below, each as the book has
// them. From that follows what uses what (UsesOf), and which entries a case brings into play (CountsIn).
// Cost: a walk over the book; of a case, a join for each rule, check and decision.
#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "engine/ground/diagnose.h"

namespace gearwhy {

struct BookEntry {
  std::string_view key;   // of the file it stands under: "charts"
  std::string_view kind;  // "chart"
  std::string id;
  Place place;
  const void* entry = nullptr;     // in the rulebook, as its kind says
  std::vector<std::string> about;  // the words that it says something of: symptom, fault, conclusions
  std::vector<std::string> names;  // all names that it uses, these too, of other entries; sorted
};

// Facts, events, rules, charts, chances, checks, looks, repairs, decisions, silence, final_tests,
// measurements, instruments, again, access, trust, circumstances, cautions. Lines of charts and factors
// belong to their entry.
std::vector<BookEntry> EntriesOf(const Rulebook& book);

// The entries that use this name; none uses itself.
std::vector<const BookEntry*> UsesOf(const std::string& name, const std::vector<BookEntry>& entries);

// The rules, charts, their lines, chances, factors, checks and decisions that a case brings into play, by
// address: a rule or decision whose conditions hold; a chance or link among the causes of what was reported;
// a check that tells it.
std::set<const void*> CountsIn(const Diagnosis& diagnosis);

}  // namespace gearwhy
