// The sheet: a case, a unit or a shop's cases as pages for the bench, the wall and the customer.
//
// In: the reports, and the speaker of the same diagnosis or unit. Out: one HTML page each (html.h), in the words and
// numbers of the pages of text. The sheet of a case prints on two pages at most: of what could be longer the
// first few are shown, and how many more there are, with the command that shows them.
#pragma once

#include <string>
#include <vector>

#include "engine/advise/sheet_report.h"
#include "engine/render/say.h"

namespace gearwhy {

std::string SheetHtml(const SheetReport& report, const Speaker& speaker);
// What is to be measured, with room to write: the data of BenchSheetText.
std::string BlankSheetHtml(const BenchReport& report, const std::vector<std::string>& layers,
                           const Speaker& speaker);
// Half a page for whoever brought the vehicle: what is wrong, how sure that is, and what is done next.
std::string CustomerHtml(const SheetReport& report, const Unit* unit, const Speaker& speaker);
std::string UnitHtml(const GearsReport& gears, const Speaker& speaker);

// A case among a shop's.
struct IndexEntry {
  std::string file;  // of its page, as it is named on the disk
  std::string case_id, title, unit;
  CaseStage stage = CaseStage::kOpen;
  std::string cause, place;  // as sentences or names; empty where not known
  std::string chance, next;  // as shown
  std::string error;         // why there is no page; then nothing else is filled in but the id
};
IndexEntry MakeIndexEntry(const SheetReport& report, const std::string& file, const Speaker& speaker);
// `entries` in the order in which they are to stand.
std::string IndexHtml(const std::vector<IndexEntry>& entries, const std::string& folder);

}  // namespace gearwhy
