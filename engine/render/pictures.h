// Pictures: what the sheets show of a case and a unit as drawings and tables, each a piece of HTML.
//
// In: data of the reports, and the speaker of the same diagnosis or unit. Out: figures whose picture is SVG with a title
// and a description, and whose legend says in words how to read it. They lay out and compute nothing else.
// `id`: ours, used once in a page.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/advise/sheet_report.h"
#include "engine/render/say.h"

namespace gearwhy {

// From what was seen, through what happens inside, to the suspect. Empty where nothing bears on it.
std::string ChainPicture(const ChainGraph& graph, const Speaker& speaker);
// The same as a directed graph in the DOT language of Graphviz.
std::string ChainDot(const ChainGraph& graph, std::string_view title, const Speaker& speaker);

// A bar for the chance now over one for that before looking.
std::string ChanceBars(double now, double before, std::string_view id);

// The levers of a unit side by side, with a line a range; what the failure of its marked element makes of
// them in dashes.
std::string LeverPicture(const GearsReport& gears, const Speaker& speaker);
// Ranges and elements as a table, suspected and cleared elements marked.
std::string ApplyChart(const GearsReport& gears, const Speaker& speaker);
// What the failure of the marked element does, in words; empty where none is marked.
std::string FailureOfMarked(const GearsReport& gears, const Speaker& speaker);

// What each element carries of what falls on it, where that is least. Empty where there are none.
std::string MarginsPicture(const std::vector<ElementCapacity>& capacities, const Speaker& speaker);

// A reading with its doubt beside its limits. Empty where it has no limit.
std::string ReadingPicture(const BenchReading& reading, std::string_view id, const Speaker& speaker);

}  // namespace gearwhy
