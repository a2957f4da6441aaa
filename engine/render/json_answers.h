// JSON answers: one line of `gearwhy rank --format jsonl`, read again.
//
// In: a line. Out: what its answer was made from, and whether it is one. `made_from`, which RankJson, ChancesJson and
// FailedCaseJson write where they are given it, is the SHA-256 of all that an answer hangs on: the program's
// version, every file of the rulebook and the shops, what was asked for, the name of the case, its text, and
// that of the cases it has come back from. Where it is the same, so is the answer.
// Cost: one pass over the line; what is deep in it is not kept. Errors: none; what is no such line is nothing.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace gearwhy {

struct WrittenAnswer {
  std::string made_from;
  bool good = true;  // false: the case had errors
};
std::optional<WrittenAnswer> ReadAnswer(std::string_view line);

}  // namespace gearwhy
