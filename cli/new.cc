// gearwhy new: a commented start of a case, a rule, a unit or a shop's folder, that is right as it stands.
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "cli/commands.h"
#include "engine/files/case_text.h"
#include "engine/text/fields.h"
#include "engine/text/near_names.h"
#include "engine/text/safe_text.h"
#include "engine/text/write_file.h"

namespace gearwhy {
namespace {

namespace fs = std::filesystem;

// %NAME% stands for the name, with `_` for what is no letter or digit in %WORD%.
constexpr const char* kRule =
    R"(# What this shop has learnt: a fault, how common it is, what it brings about, and the look that shows it.
# Change the names, the sentences and the numbers; then: gearwhy rules check --shop THIS-FOLDER
#
# Think in causes: what breaks, what that does inside, what somebody then notices. Each step is one line.

events:
  %WORD%:                       # what has failed; its name is yours
    type: fault
    slots: {element: element}   # of which element; leave it out for what there is once
    says: "%TEXT% of {element} is bad"
    says_absent: "%TEXT% of {element} is good"
    repair: valve_body_out      # gearwhy rules list access
  found_%WORD%:                 # what one sees with the parts in hand
    type: finding
    slots: {element: element}
    says: "%TEXT% of {element} was seen to be bad"
    says_absent: "%TEXT% of {element} was seen to be good"

chances:
  - id: %NAME%-happens
    fault: {%WORD%: $e}
    when: [{element_type: {element: $e, type: brake}}]   # where it can be; $e is the same element in all of this entry
    chance: 0.5%                # of a hundred units that come in, before any symptom
    because: Say here how many you have seen, and of how many.

charts:
  - id: %NAME%-leaks
    symptom: {pressure_leaks: $e}          # what it does: gearwhy rules find "..." names it
    when: [{element_type: {element: $e, type: brake}}]
    causes:
      - cause: {%WORD%: $e}
        how_often: about_half   # of a hundred units with just this fault, how many show it
        because: Say here how the one brings about the other.
  - id: %NAME%-seen
    symptom: {found_%WORD%: $e}
    when: [{element_type: {element: $e, type: brake}}]
    unexplained: 0.1%           # how often it looks so and is good
    causes:
      - cause: {%WORD%: $e}
        how_often: nearly_always
        because: It is seen when one looks.

checks:
  - id: look-at-%NAME%
    says: looking at %TEXT% of {e}
    tells: [{found_%WORD%: $e}]
    when: [{element_type: {element: $e, type: brake}}]
    minutes: 10                 # once the access is there
    access: valve_body_out
    trust: seen                 # gearwhy rules list trust
    how: Say here how one looks, and how a good one looks.
    cautions: [hot_fluid]       # gearwhy rules list cautions
)";

constexpr const char* kShop =
    R"(# What this shop says otherwise than the rulebook. Take the `#` away from a line that you want, and change its numbers.
# Then: gearwhy rules check --shop THIS-FOLDER, and gearwhy rules diff --shop THIS-FOLDER
#
# changes:
#   # Another number, without copying the entry. gearwhy rules show ID says what an entry holds.
#   - tune: moulded-lip-cracks
#     to: {chance: 2%}
#     because: In our units it is twice as common.
#   # A line of a chart, by what it brings about and by what.
#   - tune: {symptom: no_drive, cause: cannot_hold}
#     to: {how_often: always}
#     because: We have never seen one that drove.
#   # More in the lists of an entry.
#   - extend: {event: slips}
#     with: {ask: [it floats]}
#     because: Our customers say so.
#   # An entry that does not hold here.
#   - silence: id-of-an-entry
#     because: We do not do it so.
#
# What is new stands beside `changes`, as in the rulebook: gearwhy new rule NAME writes a start of that.
)";

struct Start {
  std::string path;
  std::string text;
};

std::string Replaced(std::string text, const std::string& what, const std::string& with) {
  for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += with.size())
    text.replace(at, what.size(), with);
  return text;
}

std::string WithUnderscores(std::string name) {
  std::replace_if(
      name.begin(), name.end(), [](char c) { return c == '-' || c == '.'; }, '_');
  return name;
}

int Wrong(const std::string& what, const char* code) {
  WriteErr(fmt::format("error: {} [{}]\n", what, code));
  return kInputErrors;
}

// Puts its lines behind `#`, for what is to be filled in.
std::string AsComments(const std::vector<std::string>& lines) {
  std::string text;
  for (const std::string& line : lines) text += "# " + line + "\n";
  return text;
}

// A case of the unit, with findings of the rulebook as examples.
std::string CaseStart(const std::string& name, const std::string& unit, const Rulebook& book) {
  std::vector<std::string> lines = {
      "Take the `#` away from what holds. gearwhy rules find \"slips in third\" says how a complaint is",
      "written; gearwhy ask " + name + ".yaml asks for all of it.", "",
      "variant: NAME          # leave out when not known: gearwhy unit show " + unit, "complaint:"};
  int shown = 0;
  for (const auto& [word_name, word] : book.words.words) {
    if (word.type != WordType::kFinding || word.ask.empty() || word.slots.size() > 1 || shown == 3) continue;
    ++shown;
    const std::string event = word.slots.empty() ? word_name : fmt::format("{{{}: ...}}", word_name);
    lines.push_back(fmt::format("  - present: {}   # {}", event, SafeLine(word.says)));
  }
  lines.insert(lines.end(), {"observed:               # what was looked at since, each with how it is known",
                             "  - absent: ...", "    trust: " + book.words.trusts.front().name,
                             "history:                # facts about the vehicle", "  - ..."});
  return NewCaseText(name, name, unit, "") + AsComments(lines);
}

// A copy of a unit that is nearest, under its new name.
std::optional<std::string> UnitStart(Session& session, const std::string& name, const std::string& like,
                                     Diagnostics& diagnostics) {
  const Unit* unit = session.shelf().Find(like, {}, diagnostics);
  if (unit == nullptr) return std::nullopt;
  std::string text = session.sources().Text(session.shelf().SourceOf(like));
  const std::size_t at = text.find("\nunit: " + like + "\n");
  if (at == std::string::npos) return std::nullopt;
  text.erase(0, at + 1);  // what is said of that unit at its top is not true of this one
  return fmt::format(
             "# A unit of our own, begun as a copy of {}. Name it after its gears, never after a maker.\n"
             "# Change the teeth, the joins, the elements and their parts, the ranges and the limits; what "
             "the\n"
             "# gears make of it shows: gearwhy unit show {} --shop THIS-FOLDER\n",
             like, name) +
         Replaced(text, "unit: " + like + "\n", "unit: " + name + "\n");
}

// "our-shop/rules/x.yaml" from "our-shop/rules/x".
std::string WithSuffix(const std::string& path) {
  return path.ends_with(".yaml") || path.ends_with(".yml") ? path : path + ".yaml";
}

std::optional<Start> StartOf(const NewArguments& arguments, Session& session, const std::string& name,
                             Diagnostics& diagnostics) {
  if (arguments.kind == "rule") {
    std::string text = Replaced(kRule, "%NAME%", name);
    text = Replaced(text, "%WORD%", WithUnderscores(name));
    std::string said = "the " + name;
    std::replace_if(
        said.begin(), said.end(), [](char c) { return c == '-' || c == '_'; }, ' ');
    return Start{WithSuffix(arguments.path), Replaced(text, "%TEXT%", said)};
  }
  if (arguments.kind == "unit") {
    auto text = UnitStart(session, name, arguments.like, diagnostics);
    return text ? std::optional(Start{WithSuffix(arguments.path), *text}) : std::nullopt;
  }
  if (session.shelf().Find(arguments.like, {}, diagnostics) == nullptr) return std::nullopt;
  return Start{WithSuffix(arguments.path), CaseStart(name, arguments.like, session.book())};
}

}  // namespace

int RunNew(const NewArguments& arguments) {
  std::string why;
  std::error_code error;
  const auto write = [&](const Start& start) {
    if (!WriteFile(start.path, start.text, WriteMode::kNew, &why)) return Wrong(why, "cannot-write");
    WriteOut(fmt::format("{} is written.\n", SafeLine(start.path)));
    return Finish(kDone);
  };
  if (arguments.kind == "shop") {
    fs::create_directories(fs::path(arguments.path) / "units", error);
    if (error)
      return Wrong(fmt::format("{} cannot be made: {}", InTicks(arguments.path), error.message()),
                   "cannot-write");
    return write({(fs::path(arguments.path) / "changes.yaml").string(), kShop});
  }
  const std::string name = fs::path(WithSuffix(arguments.path)).stem().string();
  if (!IsName(name))
    return Wrong(fmt::format("{} is no name: use letters, digits, `_`, `-` and `.`", InTicks(name)),
                 "not-a-name");
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  Diagnostics diagnostics;
  const std::optional<Start> start = StartOf(arguments, *session, name, diagnostics);
  session->Print(diagnostics);
  return start ? write(*start) : kInputErrors;
}

}  // namespace gearwhy
