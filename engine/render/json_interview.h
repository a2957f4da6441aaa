// The interview as JSON: each prompt one object, for programs that put the questions on screens of their own.
//
//   case        its name, or null before there is one
//   since       what has happened since the prompt before, in order: each `kind` and `says`, the page that a person
//               would be shown. Kinds are `told`, `complaint`, `taken_back`, `refused`, `not_understood`, `why`, `reason`,
//               `help`; `reading` with what was measured and its verdict; `moved` and `ranking` with the `suspects` beside it; `wrong` with the `messages`
//   prompt      what it is: `unit`, `variant`, `complaint`, `findings`, `unit_out`, `end` and others
//   takes       `one` option, `some` options, `finding` or `findings` (options, some of them `unsure`, and circumstances),
//               `text`, `quantity`, `nothing`; `may_pass`: an answer of nothing will do
//   says        what is asked, as a person is asked; empty where `question` says it
//   options     each with `number`, `id`, `says`, and where it is a finding `finding` and `report`
//   question    the check, as in `gearwhy next --format json`; with it `under`, the circumstances to try it under
//   due         on the bench: what is measured, as in `gearwhy bench --format json`
//   standing    where it has come to: `kind` (`settled`, `unit_out`, `enough`), `lead`, `where`, `one_of_two`
//               (two places, empty where it is not one of two), `outcome`; `says`, the page
//   again       the prompt before still stands, and is put again
// Names of kinds do not change; sentences may.
#pragma once

#include <string>

#include "engine/render/interview_text.h"

namespace gearwhy {

// One line without its end. `c`: null before there is a case.
std::string PromptJson(const Prompt& prompt, const Case* c, const Rulebook& book, const Sources& sources);

// The last line: `since`, then `over` and `saved_in`, the file, or null where the case is in none; `go_on`,
// the command with which to go on with it.
std::string EndJson(const std::vector<Happening>& since, const std::string& saved_in,
                    const std::string& go_on, const Rulebook& book, const Sources& sources);

}  // namespace gearwhy
