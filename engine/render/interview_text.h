// The texts of the interview: what has happened, a prompt, a question, why it is asked, what an answer moved,
// where it has come to. Nothing is computed here.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "engine/advise/interview.h"
#include "engine/render/page.h"
#include "engine/render/say.h"

namespace gearwhy {

// A prompt in two parts, so that on a screen the second can stand whole and last whatever comes before it.
struct PromptText {
  std::string before;    // where it has come to, what can hurt on the way; may be long
  std::string question;  // what is asked, with its answers
  std::string Whole() const { return before + question; }
};

// One interview, prompt by prompt. It remembers what it has shown in full.
class InterviewText {
 public:
  // The book and the sources must outlive this.
  InterviewText(const Rulebook& book, const Sources& sources, const TextStyle& style);

  // What has happened since the prompt before. Diagnostics are the caller's.
  std::string Happened(const Prompt& prompt) const;
  // The prompt, its options numbered from 1; nothing while the one before still stands.
  PromptText Put(const Prompt& prompt);
  // From now on laid out for another width.
  void SetStyle(const TextStyle& style) { style_ = style; }

 private:
  const Rulebook& book_;
  const Sources& sources_;
  TextStyle style_;
  std::set<std::string> general_cautions_, cautions_shown_;
};
// Lets the host of an interview speak as these texts do. Its book and sources are set, and outlive it.
void LetSpeak(InterviewHost& host);
// What is asked, where that is no check, and one of its options.
std::string AskedText(const Prompt& prompt, const Words& words, const Speaker& speaker);
std::string OptionText(const Prompt& prompt, const Option& option, const Words& words,
                       const Speaker& speaker);
// What stands before the answer: "> ".
std::string AnswerLabel(const Prompt& prompt);

// `shown` are the cautions, as spoken, that this session has shown in full; new ones are added to it. Those
// shown before come as a reminder of one sentence, the `general` ones not at all.
PromptText QuestionText(const NextQuestion& question, const Speaker& speaker,
                        const std::set<std::string>& general, std::set<std::string>& shown,
                        const TextStyle& style);
// Beside a question there is room for so many lines of the ranking.
inline constexpr int kMostRankingLines = 5;
std::string WhyAskedText(const NextQuestion& question, const Speaker& speaker, const TextStyle& style);
std::string MovedText(const std::vector<MovedSuspect>& moved, const Speaker& speaker, const TextStyle& style);
std::string StandingText(const Standing& standing, const Speaker& speaker, const TextStyle& style);
// "31 → 64 in 100", "2 in 100 → 4 in 1000"; empty where both would read the same.
std::string ShowMove(double before, double after);

}  // namespace gearwhy
