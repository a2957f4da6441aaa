// Pieces: what the pages of text and the sheets both say of a report, so that they say it in the same words.
//
// Each is a sentence, a line, or a few lines put on a page, which may be text or HTML (page.h). They are
// defined beside the page of text that they come from.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/render/text.h"

namespace gearwhy {

// "Where", "Brake E (first and reverse brake) cannot hold.", "96 in 100"; the value may be empty.
struct VerdictLine {
  std::string label, text, value;
};
// Empty where the chances are not known.
std::vector<VerdictLine> VerdictLines(const CaseVerdict& verdict, const Speaker& speaker);

// What is told of a suspect under its chance: its repair, those alike, what may follow from it.
std::vector<std::string> SuspectNotes(const Suspect& suspect, const Speaker& speaker, bool details);
// The strongest reasons; the last place is kept for what speaks against the suspect, if anything does.
std::vector<EvidenceItem> StrongestEvidence(const std::vector<EvidenceItem>& evidence, int most);
// "There is no drive in reverse (the customer says so): odds × 1.2."
std::string EvidenceLine(const EvidenceItem& item, const Speaker& speaker);
// How a report moves the suspect: "odds × 1.2"; where it hardly does, that others explain it as well.
std::string MovesText(const EvidenceItem& item);
// Where a fault belongs: "brake E", "the pump"; of one of no part what it says.
std::string SayPlaceName(const FaultPlace& place, const Statement& fault, const Speaker& speaker);
// In which places it broke, under a heading; nothing where there are no accounts.
void SayInPlaces(const RankReport& report, const Speaker& speaker, Page& page);
// What no known cause explains, and what contradicts itself, under a heading; nothing where there is none.
void SayNotExplained(const RankReport& report, const Speaker& speaker, Page& page);
// What the chances of the page are where they are none of this case; nothing where they are.
std::string ReservationText(const RankReport& report);

// "5 things measured: 1 beyond its limit ..."
std::string BenchSummary(const BenchReport& report);
// A reading with what it says by its limits, in whole sentences.
std::string ReadingLine(const BenchReading& reading, const Speaker& speaker);
// "at least 1 mm and at most 1.7 mm"; empty where nothing is known.
std::string LimitsText(const KnownLimits& limits, Dimension dimension);
// The limits of what is to be measured, by variant where they differ: "At least 1 mm and at most 1.7 mm".
std::string DueLimitsText(const DueMeasurement& due, const Speaker& speaker);
// With which access it is too late for it, a sentence; empty where there is none.
std::string TooLateText(const DueMeasurement& due, const Speaker& speaker);
// Which ring each pack that was measured takes, under a heading; with `all` every pack.
void SayPacks(const BenchReport& report, bool all, const Speaker& speaker, Page& page);
std::string JoinNames(const std::vector<std::string>& names, std::string_view last);

std::string ShowMargin(double margin);  // "1.40 times"
// "reverse needs 300 N m and has 420 N m at 15 bar: 1.40 times".
std::string CapacityText(const CapacityInRange& in, const Speaker& speaker);

std::string_view UseMark(ElementUse use);  // "on", "holds", "coast"; "·" where it is open
// What the failure of one element does in which ranges: "no drive in R; drives like first in D2".
std::string FailureText(const std::vector<FailureRow>& rows, const std::string& element);
// How the marks of the apply chart are meant.
extern const char* const kChartLegend;

}  // namespace gearwhy
