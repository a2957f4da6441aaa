// Reply object: what a program answers, one JSON object, as a reply to a prompt.
//
// In: the object, `{"choose": [1, 3]}`; the prompt; the words. Out: the reply. Of four keys just one says it:
// `choose` options by their numbers from 1, with `unsure` and `under` beside it; `say` free text or a
// quantity; `word` one of the words that answer any prompt, with `of` what stands behind it; `line` what a
// person would type. Whatever it is, it is understood as a typed line is (read_reply.h).
// Errors: what is no such object is reported with its place, and nothing is returned. What does not fit the
// prompt is a reply that is not understood.
#pragma once

#include <optional>

#include "engine/advise/interview.h"
#include "engine/text/yaml.h"

namespace gearwhy {

std::optional<Reply> ReadReplyObject(const YamlNode& object, const Prompt& prompt, const Words& words,
                                     Diagnostics& diagnostics);

}  // namespace gearwhy
