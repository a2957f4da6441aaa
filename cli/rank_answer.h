// Rank answer: from the text of one case to what `gearwhy rank` writes of it.
//
// In: a case file, or a line of JSON. Out: the answer as it leaves, and what is to be said on stderr.
// Cost: with --only chances that of the chances alone (belief/chances.h); what speaks for and against each,
// the accounts and the next checks take several times as much.
// Errors: what is wrong in a case is its answer. Threads: any number may ask at once.
#pragma once

#include <optional>
#include <string>

#include "cli/answered_before.h"
#include "cli/commands.h"

namespace gearwhy {

struct Answered {
  bool good = false;          // false: the case had errors
  bool exact = true;          // the chances are
  bool was_there = false;     // an earlier run has answered it; nothing is written
  std::string answer = "";    // as it leaves; empty when there is none in this format
  std::string messages = "";  // for stderr
};

class Answerer {
 public:
  // `before` may be null. All of them must outlive it.
  Answerer(Session& session, const RankArguments& arguments, AnsweredBefore* before);

  Answered File(const std::string& path) const;
  // One JSON object. JSON is YAML, so a line is read like a case file. What it is called stands in its
  // `case`, by which its answer names it, so that the same case has the same answer in whatever stream it
  // stands; a message says the number of the line as well.
  Answered Line(int number, std::string line) const;

 private:
  struct Read;
  Answered Answer(Read& read) const;
  std::string Failed(const Read& read) const;
  std::string Written(const Read& read, const Diagnosis& diagnosis, const RankReport& report) const;
  std::string Text(const Diagnosis& diagnosis, const RankReport& report, const Speaker& speaker) const;
  std::string MadeFrom(const Read& read) const;
  int indent() const { return arguments_.format == Format::kJson ? 2 : -1; }

  Session& session_;
  const RankArguments& arguments_;
  AnsweredBefore* before_;
  std::string asked_;  // what all answers of this run are made from; empty where they do not say so
};

}  // namespace gearwhy
