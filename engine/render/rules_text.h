// Rules text: a rulebook itself as text, for people who write rules. text.h has what is said of cases.
#pragma once

#include <string>
#include <vector>

#include "engine/render/page.h"
#include "engine/render/say.h"
#include "engine/study/book_entries.h"
#include "engine/study/found_words.h"
#include "engine/study/layer_report.h"
#include "engine/study/steadiness.h"

namespace gearwhy {

// Which folders are in force, with all that they add and change.
std::string LayersText(const LayerReport& report, const Speaker& speaker, const TextStyle& style);
// What each folder above the rulebook adds and changes, in sentences.
std::string ChangesText(const LayerReport& report, const Speaker& speaker, const TextStyle& style);
// How the ranking of one case moves.
std::string MovesText(const std::string& case_id, const std::vector<SuspectMove>& moves,
                      const Speaker& speaker, const TextStyle& style);

// How many entries there are of each kind.
std::string EntryCountsText(const std::vector<BookEntry>& entries, const TextStyle& style);
// A line each: the id, and what it is about.
std::string EntryListText(const std::vector<const BookEntry*>& entries, const Rulebook& book,
                          const Speaker& speaker, const TextStyle& style);

struct EntryToShow {
  const BookEntry* entry = nullptr;
  std::vector<const BookEntry*> uses = {};
  std::vector<std::string> counts_in = {};  // cases
  std::size_t looked_in = 0;                // of so many; 0: it is of no kind that counts in cases
};
// One entry in sentences, with what uses it and the cases it counts in.
std::string EntryText(const EntryToShow& show, const Rulebook& book, const Speaker& speaker,
                      const TextStyle& style);

// What somebody said, as it is written; `unit` may be null.
std::string FoundText(const std::vector<FoundWord>& all, const Unit* unit, const Rulebook& book,
                      const Speaker& speaker, const TextStyle& style);

// The entries that no case brings into play, by kind. `counts`: those of all cases (CountsIn).
std::string CoverageText(const Rulebook& book, const std::set<const void*>& counts, const TextStyle& style);

// How much the first suspect hangs on single numbers; the speaker is of the diagnosis.
std::string SteadyText(const Steadiness& steady, const Diagnosis& diagnosis, const Speaker& speaker,
                       const TextStyle& style);

}  // namespace gearwhy
