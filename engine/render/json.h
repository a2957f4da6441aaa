// JSON: reports as one JSON object each, keys in a fixed order. With json_schema.cc the one
// user of nlohmann-json.
//
// Sentences are for people and may be put in other words; programs go by what stands beside them: names in
// the words, ids of entries of the rulebook, and statements as ids ("no_drive:R").
//   evidence  `event`, `report` (`present` or `absent`); `trust_id` and, where told, `under` (circumstances),
//             or else `rule`, the rule that concluded it
//   facts     `fact`; `origin`: `case`, `unit`, `calculated` (from the gearsets) or `rule`, then with `rule`
//   chances   `fault`, `part`, `state`, `chance_id` (the line of `chances`), `factor`, `chart`, `decision`
//   accounts  `places` (none where nothing has broken that the reports speak for), each with `kind` (`element`, `part` or
//             `fault`), `place`, the likeliest `fault` there and how many are `alike`; `chance_where`, of the first state of
//             `where` by this account; `accounts_rest` is left to everything else
//   checks    `check`, `key` (with what its variables stand for), `access_id`, `trust_id`, `caution_ids`; where
//             `check` is a sentence, `check_id` (in `predicts`) or `key` (in `could_change`)
//   answers   `finding`, `report`; in `could_change` null where several were looked for and nothing was found
//   why not   `better_faults`
//   made_by   of every object: `program`, its `version`, and the `format`, a number that grows when a key goes or
//             changes its meaning; new keys may come at any time
#pragma once

#include <string>

#include "engine/advise/next_report.h"
#include "engine/drivetrain/unit_table.h"
#include "engine/explain/bench_report.h"
#include "engine/explain/rank_report.h"
#include "engine/explain/why_report.h"
#include "engine/render/say.h"
#include "engine/study/gaps.h"
#include "engine/study/steadiness.h"
#include "engine/text/entry_shape.h"

namespace gearwhy {

inline constexpr int kJsonFormat = 2;  // `format` in `made_by`

// `indent` is the number of spaces, or -1 for one line. No trailing newline. An infinite odds factor is
// written as null. The speaker is of the diagnosis that the report was made of.
// `steady`: with it also how much the first suspect hangs on single numbers. `made_from`: see json_answers.h;
// left out where it is empty.
std::string RankJson(const RankReport& report, const LookNext& next, const Speaker& speaker, int indent,
                     const Steadiness* steady = nullptr, const std::string& made_from = "");
// Of a report without reasons: where it is and the suspects, each with its chance. What stands in it is the
// same as in RankJson's; `only` says that it is not all. The rulebook has no list of `files`.
std::string ChancesJson(const RankReport& report, const Speaker& speaker, int indent,
                        const std::string& made_from = "");
std::string WhyJson(const WhyReport& report, const Speaker& speaker, int indent);
std::string WhyNotJson(const WhyNotReport& report, const Speaker& speaker, int indent);
std::string NextJson(const NextReport& report, const Speaker& speaker, int indent);
// `readings`, each with its `verdicts` by variant; `packs`, the ring for each (lengths in mm); `parts`;
// `due`, what has no reading yet.
std::string BenchJson(const BenchReport& report, const Speaker& speaker, int indent);
std::string UnitJson(const UnitTable& table, int indent);
std::string GapsJson(const GapReport& report, int indent);

// The ground network: `events` (`id`, `type`, `says`, `unexplained` or for faults `chance`, `causes` of `id`
// and `how_often`) and `observed` (`id`, `report`, `p_if_present`, `p_if_absent`), for review and for
// checking the chances elsewhere. Numbers are written so that they read back as the same double.
std::string NetworkJson(const Diagnosis& diagnosis, const Speaker& speaker, int indent);

// One object for a case that could not be read: `case` and `errors`, the messages without excerpts; of a line
// of a stream with its number as `input_line`, 0 for none.
std::string FailedCaseJson(const std::string& case_id, const Diagnostics& diagnostics, const Sources& sources,
                           int indent, int input_line = 0, const std::string& made_from = "");

// What was found wrong: how many `errors` and `warnings`, and `messages`, each with its `severity`, `code`,
// `message`, `file`, `line` and `column`.
std::string MessagesJson(const Diagnostics& diagnostics, const Sources& sources, int indent);

// The JSON Schema (draft-07) of a kind of file: which keys its entries have, which are needed, and what their
// values look like, with a sentence on each, and the names in force. In a case these are all that may stand;
// a rulebook or unit may bring names of its own, so that an editor offers those in force and takes others. It
// says nothing of what only the loaders can tell: whether a quantity fits, a variable is bound, an element or
// range is of the unit. A key with nothing behind it, which the loaders pass over where it is not needed, is
// an error by it.
std::string SchemaJson(const FileShape& file, const Rulebook& book, const std::vector<std::string>& units,
                       int indent);

}  // namespace gearwhy
