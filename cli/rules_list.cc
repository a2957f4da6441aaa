// gearwhy rules list, rules show: the entries of a rulebook, one of them in sentences, and the folders in
// force.
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "cli/commands.h"
#include "engine/render/rules_text.h"
#include "engine/text/near_names.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

int ListLayers(Session& session) {
  Diagnostics diagnostics;
  const LayerReport report = MakeLayerReport(session.book(), session.shelf(), diagnostics);
  session.Print(diagnostics);
  WriteOut(LayersText(report, Speaker(session.book(), session.sources()), StyleOfStdout()));
  return Finish(diagnostics.HasErrors() ? kInputErrors : kDone);
}

int NothingCalled(const char* what, const std::string& name, const std::vector<std::string>& known) {
  WriteErr(
      fmt::format("error: there is no {} called {}{} [no-entry]\n", what, InTicks(name), Hint(name, known)));
  return kInputErrors;
}

// The cases in which an entry counts, by the names of their files.
void LookInCases(Session& session, const std::vector<std::string>& paths, EntryToShow& show) {
  for (const std::string& path : paths) {
    Diagnostics unheard;  // cases of other rulebooks are left out
    const std::optional<Case> c = session.ReadCase(path, unheard);
    if (!c) continue;
    const auto diagnosis = session.GroundCase(*c, unheard);
    if (!diagnosis) continue;
    ++show.looked_in;
    if (CountsIn(*diagnosis).contains(show.entry->entry))
      show.counts_in.push_back(std::filesystem::path(path).stem().string());
  }
}

}  // namespace

int RunRulesList(const RulesListArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  if (arguments.layers) return ListLayers(*session);
  const std::vector<BookEntry> entries = EntriesOf(session->book());
  if (arguments.kind.empty()) {
    WriteOut(EntryCountsText(entries, StyleOfStdout()));
    return Finish(kDone);
  }
  std::vector<const BookEntry*> of_kind;
  std::vector<std::string> keys;
  for (const BookEntry& entry : entries) {
    if (keys.empty() || keys.back() != entry.key) keys.emplace_back(entry.key);
    if (entry.key == arguments.kind) of_kind.push_back(&entry);
  }
  if (of_kind.empty()) return NothingCalled("kind of entry", arguments.kind, keys);
  WriteOut(
      EntryListText(of_kind, session->book(), Speaker(session->book(), session->sources()), StyleOfStdout()));
  return Finish(kDone);
}

int RunRulesShow(const RulesShowArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  const std::vector<BookEntry> entries = EntriesOf(session->book());
  Diagnostics diagnostics;
  std::vector<std::string> named = arguments.cases;
  if (named.empty()) named.push_back(ShippedFolder("cases"));
  const std::vector<std::string> paths = ExpandCases(named, diagnostics);
  std::vector<std::string> known;
  std::string text;
  for (const BookEntry& entry : entries) {
    known.push_back(entry.id);
    if (entry.id != arguments.id) continue;
    EntryToShow show{&entry, UsesOf(entry.id, entries)};
    static const std::vector<std::string_view> kCounting = {"rules", "charts", "chances", "checks",
                                                            "decisions"};
    if (std::find(kCounting.begin(), kCounting.end(), entry.key) != kCounting.end())
      LookInCases(*session, paths, show);
    text += (text.empty() ? "" : "\n") +
            EntryText(show, session->book(), Speaker(session->book(), session->sources()), StyleOfStdout());
  }
  session->Print(diagnostics);
  std::sort(known.begin(), known.end());
  if (text.empty()) return NothingCalled("entry", arguments.id, known);
  WriteOut(text);
  return Finish(diagnostics.HasErrors() ? kInputErrors : kDone);
}

}  // namespace gearwhy
