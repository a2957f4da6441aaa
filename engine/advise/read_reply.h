// Read reply: what a person types, as a reply to a prompt.
//
// In: one line, the prompt, the words. Out: the reply. A line is one of the plain words or a beginning that
// only it has, alone or followed by what it takes (`reason 2`, `also it hums`); or numbers of options from 1,
// each with a `?` behind it where the person is not sure; `0`, `n` or nothing at all for none; `y` and `n`
// where it is a question of that; a unit or a variant by words that only it is described with; or free text,
// where that is asked for. Circumstances may stand behind the numbers: `2 cold`.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "engine/advise/interview.h"

namespace gearwhy {

Reply ReadReply(std::string_view line, const Prompt& prompt, const Words& words);

// "230 V" as a number in its base unit. Where there is none: `why` it is not, a clause; or, for a number that
// only lacks its unit, `lacks_unit`.
struct ReadNumber {
  std::optional<double> number;
  bool lacks_unit = false;
  std::string why;
};
ReadNumber ReadQuantity(const std::string& text, const WantedQuantity& wanted);

}  // namespace gearwhy
