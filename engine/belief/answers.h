// Answers: what each possible answer of a check would make of the chances.
//
// In: a network with its reports, the chances now, and questions: each a list of answers that exclude one
// another, each answer the reports that would be written down with it.
// Out: for each answer its chance, and what every event's chance would be after it: exactly what
// ComputeChances says of the network with these reports added, the reweighed ones changed, and those taken
// back gone. What is left to 1 is an answer that is not in the list (several of many findings at once); of it
// the chances are known as a whole, not one by one.
// Method. One tree a question, in which every event that is asked about is a variable of its own; an answer
// is one pass with the weights of its reports. What is left is the chances now less the joint chances of all
// answers listed. Of a network with worlds each has its trees, and the joint chances are summed (worlds.h).
// Cost: a tree and one pass an answer (two where it reweighs), for each question and world. Several threads each take questions. The work is
// bounded by `answer_work` for each world: questions are taken in their order, and one that is too wide for
// any tree, or beyond what is left of the work, is not worked out: its answers change nothing, and it is not
// `exact`. A later, cheaper one may still be.
// Errors: none. When the reports cannot all be, every answer changes nothing; a factor that is not finite leaves
// the question not worked out.
// Source: Lauritzen & Spiegelhalter 1988 for the passes - from memory.
#pragma once

#include <initializer_list>
#include <utility>
#include <vector>

#include "engine/belief/chances.h"

namespace gearwhy {

// One possible answer.
struct Posed {
  std::vector<Report> reports;  // written down with it, of events that have no report yet
  // Earlier reports that weigh otherwise after it: by how much each of their two chances is multiplied. They
  // have no part in how likely the answer is.
  std::vector<Report> reweighed;
  // Events whose earlier reports are not there any more after it. They have their part in how likely it is.
  std::vector<int> taken_back;

  Posed() = default;
  Posed(std::vector<Report> written) : reports(std::move(written)) {}
  Posed(std::initializer_list<Report> written) : reports(written) {}
};
using Question = std::vector<Posed>;  // by answer

// By event, given the reports and perhaps an answer: see Chances.
struct EventChances {
  std::vector<double> p_event;
  std::vector<double> p_by_itself;
  // Of a network with worlds: as in Chances.
  std::vector<double> p_world = {};
  std::vector<EventChances> in_world = {};
};
EventChances EventChancesOf(const Chances& chances);

struct Answer {
  double p = 0;
  // As now where the answer changes nothing. Of what is caused by others and neither bears on a report nor on
  // what is asked, NaN: it moves with its causes, and is not worked out. Without its worlds.
  EventChances then;
};

struct Answers {
  std::vector<Answer> answers;  // as in the question
  Answer rest;                  // any other
  bool exact = true;
};

// `now`: from ComputeChances for this network.
std::vector<Answers> ComputeAnswers(const Network& network, const EventChances& now,
                                    const std::vector<Question>& questions, const BeliefLimits& limits = {});

// The events that any answer reports or reweighs, ascending, each once.
std::vector<int> AskedOf(const Question& question);

Network WithoutReportsOf(const Network& network, const std::vector<int>& events);

// Bits that the answer is expected to tell about each of `events`, taken by itself, summed: mutual
// information; that of the rest as a whole, which is never too much. Events whose chance was not computed do
// not count.
// Source: Shannon 1948 - from memory; checked against Quinlan 1986.
double BitsAbout(const std::vector<int>& events, const EventChances& now, const Answers& answers);

// Entropy of a yes-or-no answer in bits.
double BinaryEntropy(double p);

}  // namespace gearwhy
