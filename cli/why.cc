// gearwhy why: the chain of reasoning behind a suspect, or why a fault is not suspected, or the network
// itself.
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "cli/commands.h"
#include "engine/explain/chain_graph.h"
#include "engine/render/json.h"
#include "engine/render/pictures.h"
#include "engine/render/text.h"
#include "engine/text/ascii.h"
#include "engine/text/near_names.h"
#include "engine/text/number.h"

namespace gearwhy {
namespace {

// "lip_cracked:E.piston" as a statement of the words, or nothing after reporting what is wrong with it.
std::optional<Statement> ParseEvent(const Diagnosis& diagnosis, const std::string& text,
                                    Diagnostics& diagnostics) {
  for (const GroundEvent& event : diagnosis.ground.events) {
    if (StatementId(event.statement) == text) return event.statement;
  }
  std::vector<std::string> parts;
  for (std::size_t start = 0; start <= text.size();) {
    const std::size_t end = std::min(text.find(':', start), text.size());
    parts.push_back(text.substr(start, end - start));
    start = end + 1;
  }
  const Word* word = diagnosis.book->words.Find(parts[0]);
  std::vector<std::string> names;
  for (const auto& [name, known] : diagnosis.book->words.words) {
    if (known.IsEvent()) names.push_back(name);
  }
  if (word == nullptr || !word->IsEvent()) {
    diagnostics.Error(
        {}, "unknown-event",
        fmt::format("there is no fault or state called `{}`{}", parts[0], Hint(parts[0], names, 0)));
    return std::nullopt;
  }
  if (parts.size() != word->slots.size() + 1) {
    std::string shape = word->name;
    for (const Slot& slot : word->slots) shape += ":" + slot.name;
    diagnostics.Error({}, "event-shape", fmt::format("write `{}` as `{}`", text, shape));
    return std::nullopt;
  }
  Statement statement{word->name, {}};
  KindMembers members;
  if (diagnosis.unit != nullptr) members = MembersOf(*diagnosis.unit);
  for (std::size_t i = 1; i < parts.size(); ++i) {
    // Whatever is named must be one of its kind, or the answer would be about nothing.
    const Slot& slot = word->slots[i - 1];
    const auto kind = diagnosis.book->words.kinds.find(slot.kind);
    const auto known =
        kind == diagnosis.book->words.kinds.end() ? std::nullopt : NamesOfKind(kind->second, &members);
    const auto is_named = [&](const SpokenName& one) { return one.first == parts[i]; };
    if (!known || std::none_of(known->begin(), known->end(), is_named)) {
      diagnostics.Error({}, "unknown-value",
                        fmt::format("there is no {} called `{}`{}", slot.kind, parts[i],
                                    known ? SpokenHint(parts[i], *known) : ""));
      return std::nullopt;
    }
    statement.slots.emplace_back(parts[i]);
  }
  return statement;
}

// The event to explain: the one named, or the likeliest fault.
std::optional<int> ChooseEvent(const Diagnosis& diagnosis, const RankReport& rank, const std::string& suspect,
                               Diagnostics& diagnostics) {
  if (suspect.empty()) {
    if (rank.suspects.empty()) {
      diagnostics.Error({}, "no-suspect", "the rulebook knows no fault that this transmission could have");
      return std::nullopt;
    }
    const std::optional<Statement> first = ParseEvent(diagnosis, rank.suspects[0].fault, diagnostics);
    return first ? diagnosis.ground.Find(*first) : std::nullopt;
  }
  if (std::all_of(suspect.begin(), suspect.end(), IsDigit)) {
    std::size_t number = 0;
    const auto [end, error] = std::from_chars(suspect.data(), suspect.data() + suspect.size(), number);
    if (error == std::errc() && number >= 1 && number <= rank.suspects.size())
      return rank.suspects[number - 1].event;
    diagnostics.Error({}, "no-such-number",
                      fmt::format("the ranking of this case has {}, and no number {}",
                                  Counted(rank.suspects.size(), "suspect"), suspect));
    return std::nullopt;
  }
  const std::optional<Statement> statement = ParseEvent(diagnosis, suspect, diagnostics);
  if (!statement) return std::nullopt;
  const std::optional<int> event = diagnosis.ground.Find(*statement);
  if (!event) {
    diagnostics.Error({}, "not-here",
                      fmt::format("`{}` cannot be in this transmission; `gearwhy why CASE --not {}` says why",
                                  suspect, suspect));
  }
  return event;
}

constexpr ChainGraphOptions kWholeChain = {1000, 1000};

}  // namespace

int RunWhy(const WhyArguments& arguments) {
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  Diagnostics diagnostics;
  BeliefLimits limits;
  const std::optional<Case> c = session->ReadCase(arguments.case_path, diagnostics);
  std::optional<Diagnosis> diagnosis;
  if (c) diagnosis = session->DiagnoseCase(*c, limits, diagnostics);
  if (!diagnosis) {
    session->Print(diagnostics);
    return kInputErrors;
  }
  const bool dot = arguments.format == Format::kDot;
  if (dot && (arguments.network || arguments.brief || !arguments.not_fault.empty())) {
    WriteErr("error: `--format dot` draws the chain behind a suspect, and nothing else [command-line]\n");
    return kBadCommand;
  }
  const Speaker speaker(*diagnosis, session->sources());
  const int indent = arguments.format == Format::kJsonl ? -1 : 2;
  const bool text = arguments.format == Format::kText;
  const auto write = text ? WriteOut : WriteData;
  if (arguments.network) {
    WriteData(NetworkJson(*diagnosis, speaker, indent) + "\n");
  } else if (!arguments.not_fault.empty()) {
    if (const auto fault = ParseEvent(*diagnosis, arguments.not_fault, diagnostics)) {
      const WhyNotReport report = MakeWhyNotReport(*diagnosis, *fault, limits);
      write(text ? WhyNotText(report, speaker, StyleOfStdout()) : WhyNotJson(report, speaker, indent) + "\n");
    }
  } else {
    const RankReport rank = MakeRankReport(*diagnosis, session->shelf().FileOf(c->unit), limits);
    if (!rank.exactness.known && dot) {
      diagnostics.Error({}, "no-chances",
                        "nothing can be said of the chances of this case, so there is no chain to draw");
    } else if (!rank.exactness.known) {
      // No chance to give reasons for: the ranking says so, and what to settle first.
      write(text ? RankText(rank, {}, speaker, StyleOfStdout()) : RankJson(rank, {}, speaker, indent) + "\n");
    } else if (const auto event = ChooseEvent(*diagnosis, rank, arguments.suspect, diagnostics)) {
      const LookNext next = text ? FindLookNext(*diagnosis, rank, 1) : LookNext{};
      if (text && arguments.brief) {
        WriteOut(BriefText(rank.title, rank.case_id, rank.exactness, next.verdict, speaker, StyleOfStdout()));
        return Finish(kDone);
      }
      const Diagnosis asked = WithChanceOf(std::move(*diagnosis), *event);
      const WhyReport report = MakeWhyReport(asked, *event, asked.limits);
      if (dot) {
        WriteData(ChainDot(MakeChainGraph(report, kWholeChain),
                           fmt::format("Why {}", speaker.Say(report.suspect.statement)), speaker));
        return Finish(kDone);
      }
      write(text ? WhyText(report, speaker, StyleOfStdout()) +
                       InShortText(next.verdict, speaker, StyleOfStdout())
                 : WhyJson(report, speaker, indent) + "\n");
    }
  }
  session->Print(diagnostics);
  return Finish(diagnostics.HasErrors() ? kInputErrors : kDone);
}

}  // namespace gearwhy
