// gearwhy for other programs: open a rulebook, read a case, ask why the transmission failed.
//
//   auto book = gearwhy::api::Book::Open({"/usr/share/gearwhy/rules"});
//   auto c = book->ReadCase(text, "came-back");
//   auto diagnosis = book->Diagnose(*c);
//   for (const auto& suspect : diagnosis->Rank().suspects) ...
//
//   auto talk = *book->Begin({});
//   while (!talk.IsOver()) talk = talk.Answer(WhatTheyTypeAt(talk.page()));
//
// This header is all that is installed, and needs no other library to be included. What it gives are values:
// a case keeps its book alive, a diagnosis its case. Nothing here prints, reads the clock or ends the
// process.
// Errors: what is wrong in a file or a case comes as messages, all at once, and nothing is returned.
// Threads: everything may be used by any number of threads at once. A transmission is made when a case first
// asks for it, by one thread, and then shared.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace gearwhy::api {

struct Message {
  bool is_error = true;  // else a warning
  std::string code;      // short and stable: "unknown-name"
  std::string file;      // empty: nowhere in particular
  int line = 0, column = 0;
  std::string text;   // one sentence
  std::string shown;  // with the place, an excerpt and notes, for people
};
using Messages = std::vector<Message>;

// What is to be worked out. The chances themselves are always there.
struct Wanted {
  int suspects = 20;    // at most; costs nothing
  bool reasons = true;  // what speaks for and against each suspect, its chance before, and in which
                        // places it broke: as much again as all the rest
  int checks =
      3;  // what to look at next, at most; 0 for none: some ten times the chances, whatever their number
};

struct Suspect {
  std::string fault;  // "lip_cracked:E.piston"
  std::string part;   // "E.piston"; empty when the fault is of no part
  std::string says;   // a clause in words
  double chance = 0;
  double before = 0;  // with the history, but nothing observed; 0 without `reasons`
  bool needs_unit_out = false;
  enum class Role { kRoot, kConsequence, kOpen } role = Role::kOpen;
};

struct Place {
  std::string state;  // "cannot_hold:E"
  std::string says;
  double chance = 0;
};

struct Check {
  std::string key;  // "look-at-piston:E"
  std::string says;
  double minutes = 0;  // with the access still to be paid
  bool needs_unit_out = false;
};

// What the case comes to; the three add up to 1.
struct Outcome {
  double nothing_to_blame = 0, repair_with_unit_in = 0, repair_with_unit_out = 0;
};

// One of the variants that it may be, where the case does not say which.
struct Variant {
  std::string name;
  std::string says;
  double chance = 0;
};

struct Ranking {
  bool exact = true;
  double error = 0;                // when not exact: about how far any chance may be off
  bool known = true;               // false: not exact, and nothing can be said; there is then nothing below
  std::vector<Variant> variants;   // in the order of the unit; none where the case says which
  std::vector<Place> where;        // likeliest first
  std::vector<Suspect> suspects;   // likeliest first, ties by id
  std::optional<Outcome> outcome;  // with `checks`
  std::vector<Check> checks;       // best first
};

class Case {
 public:
  const std::string& name() const;
  const std::string& unit() const;     // empty: none
  const std::string& variant() const;  // empty: not known

 private:
  friend class Book;
  friend class Diagnosis;
  struct Inside;
  std::shared_ptr<const Inside> inside_;
};

class Diagnosis {
 public:
  Ranking Rank(const Wanted& wanted = {}) const;
  // The page and the JSON object that `gearwhy rank`, `gearwhy why` and `gearwhy next` write. `event`: a
  // fault or a state by its id; nothing where this transmission has none of the name. `width`: columns.
  std::string RankText(const Wanted& wanted = {}, int width = 80) const;
  std::string RankJson(const Wanted& wanted = {}) const;
  std::optional<std::string> WhyText(const std::string& event, int width = 80) const;
  std::optional<std::string> WhyJson(const std::string& event) const;
  std::string NextText(int checks = 5, int width = 80) const;
  std::string NextJson(int checks = 5) const;

 private:
  friend class Book;
  struct Inside;
  std::shared_ptr<const Inside> inside_;
};

// Which interview: with the file of a case, or of a new one.
struct InterviewOf {
  std::string case_text = "";  // empty: a new case
  std::string unit = "";       // of a new case; empty: it is asked for
  std::string name = "";       // of the case; empty for a new one: it is asked for
  int width = 80;              // columns of the pages
};

// The talk at the car, as `gearwhy ask` has it, line by line. A value: an answer makes a new one, and to take
// it back is to keep the one before. Keeping the case's file is the caller's.
class Interview {
 public:
  // A line as a person types it: numbers of options, a word such as `why` or `back`, or their own words. What
  // cannot be understood puts the same question again. An interview that is over stays as it is. Costs a
  // diagnosis and the weighing of what to ask next.
  Interview Answer(const std::string& line) const;

  // What has happened since the answer before, and what is asked now; its options are numbered from 1.
  const std::string& page() const;
  std::vector<std::string> options() const;  // their ids, in that order
  const Messages& messages() const;          // what has been found wrong since the answer before
  const std::string& case_text() const;      // the case's file as it stands; empty before there is one
  bool IsOver() const;

 private:
  friend class Book;
  struct Inside;
  std::shared_ptr<const Inside> inside_;
};

class Book {
 public:
  // The folders of a rulebook, each with its `units`: the shipped one first, a shop's own behind it.
  // `cache_folder`: a folder of the user's own, made when it is missing, where what was read is kept so that
  // another run opens the same files some ten times as fast; empty: nothing is kept. The book is the same
  // with and without.
  static std::optional<Book> Open(const std::vector<std::string>& folders, Messages* messages = nullptr,
                                  const std::string& cache_folder = "");

  std::vector<std::string> Units() const;
  // `text` is a case file, or one JSON object; `name` what it is called, empty for whatever it says itself.
  // The text is not kept.
  std::optional<Case> ReadCase(const std::string& text, const std::string& name,
                               Messages* messages = nullptr) const;
  // A case that this book has read.
  std::optional<Diagnosis> Diagnose(const Case& c, Messages* messages = nullptr) const;
  // Nothing where the text is no case.
  std::optional<Interview> Begin(const InterviewOf& of, Messages* messages = nullptr) const;

  struct Inside;  // for the door's own files

 private:
  friend class Case;
  friend class Diagnosis;
  std::shared_ptr<const Inside> inside_;
};

}  // namespace gearwhy::api
