// The texts of the interview: a question, why it is asked, what an answer moved, where it has come to.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "engine/advise/interview.h"
#include "engine/render/page.h"
#include "engine/render/say.h"

namespace gearwhy {

// `shown` are the cautions, as spoken, that this session has shown in full; new ones are added to it. Those
// shown before come as a reminder of one sentence, the `general` ones not at all.
std::string QuestionText(const NextQuestion& question, const Speaker& speaker,
                         const std::set<std::string>& general, std::set<std::string>& shown,
                         const TextStyle& style);
std::string WhyAskedText(const NextQuestion& question, const Speaker& speaker, const TextStyle& style);
std::string MovedText(const std::vector<MovedSuspect>& moved, const Speaker& speaker, const TextStyle& style);
std::string StandingText(const Standing& standing, const Speaker& speaker, const TextStyle& style);
// "31 → 64 in 100", "2 in 100 → 4 in 1000".
std::string ShowMove(double before, double after);

}  // namespace gearwhy
