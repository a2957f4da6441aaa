// Layers of a rulebook as text: which folders are in force, what each adds and changes, how rankings move by
// it.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/render/rules_text.h"
#include "engine/text/number.h"

namespace gearwhy {
namespace {

// "chance": as it is spoken of in a sentence.
std::string SayKind(std::string kind) {
  std::replace(kind.begin(), kind.end(), '_', ' ');
  return kind;
}

std::string SayEntry(const LayerChange& change) {
  const bool itself = !change.unit.empty() && change.kind == "unit";
  if (change.unit.empty() || itself) return fmt::format("the {} {}", SayKind(change.kind), change.called);
  return fmt::format("the {} {} of {}", SayKind(change.kind), change.called, change.unit);
}

std::string SayChange(const LayerChange& change) {
  switch (change.verb) {
    case LayerChange::Verb::kTune:
      return fmt::format("{}: {}.", Capitalised(SayEntry(change)), SayChangedKeys(change));
    case LayerChange::Verb::kReplace:
      return fmt::format("{} is another: {}.", Capitalised(SayEntry(change)), SayChangedKeys(change));
    case LayerChange::Verb::kSilence:
      return fmt::format("{} no longer counts.", Capitalised(SayEntry(change)));
    case LayerChange::Verb::kExtend:
      return fmt::format("{} has more: {}.", Capitalised(SayEntry(change)), SayChangedKeys(change));
  }
  return "";
}

// "2 charts (own-a, own-b) and a check": what a folder adds, by kind.
void Added(const std::vector<AddedEntry>& added, Page& page) {
  std::map<std::string, std::vector<std::string>> by_kind;
  for (const AddedEntry& entry : added) by_kind[entry.kind].push_back(entry.called);
  for (const auto& [kind, names] : by_kind) {
    std::string list;
    for (const std::string& name : names) list += (list.empty() ? "" : ", ") + name;
    page.Paragraph("  + ", fmt::format("Adds {}: {}.", Counted(names.size(), SayKind(kind)), list));
  }
}

void Folder(const LayerReport::Folder& folder, bool is_shop, const Speaker& speaker, Page& page) {
  if (!is_shop) return;
  Added(folder.added, page);
  for (const std::string& unit : folder.units)
    page.Paragraph("  + ", fmt::format("Has its own file of the unit {}.", unit));
  for (const LayerReport::Change& told : folder.changes) {
    page.Paragraph("  * ", fmt::format("{} {}", SayChange(told.change), AsSentence(told.change.because)));
    page.Aside("      ",
               speaker.SayPlace(told.change.place) +
                   (told.overridden ? "; overridden by " + speaker.SayPlace(*told.overridden) : ""));
  }
}

std::string SayMove(const SuspectMove& move) {
  const auto place = [](int rank, double chance) {
    return rank == 0 ? std::string("not listed") : fmt::format("{} at {}", rank, ShowChance(chance));
  };
  return fmt::format("{} instead of {}", place(move.rank_is, move.is), place(move.rank_was, move.was));
}

}  // namespace

std::string LayersText(const LayerReport& report, const Speaker& speaker, const TextStyle& style) {
  Page page(style);
  page.Heading("In force, each laid over those above it");
  for (std::size_t i = 0; i < report.folders.size(); ++i) {
    const LayerReport::Folder& folder = report.folders[i];
    page.Paragraph(
        fmt::format("{}  ", i + 1),
        fmt::format("{}: {}, {}", folder.name, Counted(folder.files, "file"),
                    i == 0 ? Counted(folder.units.size(), "unit")
                           : fmt::format("{} of its own, {}", folder.added.size() + folder.units.size(),
                                         Counted(folder.changes.size(), "change"))));
    Folder(folder, i > 0, speaker, page);
  }
  if (report.folders.size() == 1)
    page.Paragraph("", "No shop's own folder: name one with --shop, GEARWHY_SHOP or the config file.");
  return page.text();
}

std::string ChangesText(const LayerReport& report, const Speaker& speaker, const TextStyle& style) {
  Page page(style);
  for (std::size_t i = 1; i < report.folders.size(); ++i) {
    page.Heading(fmt::format("What {} says otherwise", report.folders[i].name));
    Folder(report.folders[i], true, speaker, page);
    page.Blank();
  }
  return page.text();
}

std::string MovesText(const std::string& case_id, const std::vector<SuspectMove>& moves,
                      const Speaker& speaker, const TextStyle& style) {
  Page page(style);
  page.Paragraph("  ", case_id);
  for (const SuspectMove& move : moves)
    page.Pair("    ", AsSentence(speaker.Say(move.statement)), SayMove(move));
  return page.text();
}

}  // namespace gearwhy
