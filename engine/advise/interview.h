// Interview: the talk at the car as a value. Any front end can drive it: Begin, then Answer as long as it
// goes on. Nothing here reads or writes files, prints, or waits.
//
// In: what an interview needs of the program around it (InterviewHost), where it begins, and one reply after
// another. Out: a new interview with each, with the prompt it puts now, what has happened since the last one,
// and the case as it stands. Undo is the value before: interviews do not change, and share what they have in
// common, so that keeping one costs little. `back` is that undo, from inside: each keeps the one before, so
// that every step can be taken back to the first prompt, not only answers about the car.
// Method: a prompt is data, its kind, what is asked, the options in order and what reply it takes; words such
// as `why` or `back` are replies to any of them. A reply becomes changes of the case, made to its text and to
// the case alike; the text is read again and taken only when it says just that. Then the case is diagnosed,
// and the next step found (next_step.h). A reply that does not fit puts the same prompt again and changes
// nothing.
// Keeping the text is the caller's. Where another hand has changed the file, the caller joins both and hands
// the text over as a reply of its own kind.
// Cost: an answer costs a diagnosis and the weighing of checks. Copies share what they have in common; those of
// one interview are for one thread.
// Errors: what the case's loader or its unit reports comes with what has happened.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "engine/advise/match_words.h"
#include "engine/advise/next_step.h"
#include "engine/explain/bench_report.h"
#include "engine/explain/why_report.h"

namespace gearwhy {

// What an interview asks of the program around it. Everything must outlive the interview.
struct InterviewHost {
  const Rulebook* book = nullptr;
  const Sources* sources = nullptr;
  std::vector<std::string> units;  // what there is to choose from
  std::function<const Unit*(const std::string& name, Diagnostics&)> find_unit;
  // A case from its text. `name`: what it is called, for what is wrong with it.
  std::function<std::optional<Case>(const std::string& name, const std::string& text, Diagnostics&)>
      read_case;
  std::function<std::optional<Diagnosis>(const Case&, Diagnostics&)> diagnose;
  std::function<bool(const std::string& name)> is_taken;  // whether another case has the name
  // As it is spoken of: for the title of a case, and to be compared with what somebody has said.
  std::function<std::string(const Unit*, const Statement&)> say;
  std::function<SayValueOf(const Unit*)> say_values;
};

// A new case, or one that there is already.
struct InterviewBeginning {
  std::string text;  // of the case; empty: a new one
  std::string unit;  // of a new case; empty: asked for
  std::string name;  // of the case; empty for a new one: asked for
};

enum class PromptKind {
  kUnit,
  kVariant,
  kVersion,
  kComplaint,     // in the user's own words
  kList,          // which of all that a customer may say
  kMatches,       // which of what the words may mean
  kSlot,          // which value of one slot, where there are many
  kMeant,         // which findings
  kName,          // what the case shall be called
  kHistory,       // what is so of its history
  kQuantity,      // a number
  kUnitOfNumber,  // whether a number without a unit is in this one
  kFinding,       // one finding: it is so, it is not, don't know
  kFindings,      // several; then: none of these, don't know
  kUnitOut,       // take it out?
  kEnd,           // leave, tell something else, or go on
  kAlso,          // something else that was seen, in the user's own words
  kSoOrNot,       // which of the two was meant
  kHowKnown,      // a trust
  kCorrectWhich,  // one of all that the case says
  kCorrectHow,
  kAccess,  // what is open
  kOver,    // nothing is asked any more
};

// What a prompt takes, besides words.
enum class ReplyForm {
  kNothing,
  kOne,       // option
  kSome,      // options
  kText,      // free text
  kQuantity,  // text: a number with its unit
  kFinding,   // one option, and circumstances
  kFindings,  // options, some of them unsure, and circumstances
};

struct Option {
  std::string id;         // a name of the words or of a unit, or of a statement; or what it does: "leave"
  std::string says = "";  // kUnit, kVariant, kVersion: as its file says
  std::optional<Statement> statement = std::nullopt;
  bool present = true;                             // of the statement
  bool complained = false;                         // kFinding, kFindings: it is the complaint, to be tried
  std::optional<CaseChange> entry = std::nullopt;  // kCorrectWhich: what takes it out of the case
  std::optional<Value> value = std::nullopt;       // kSlot
  std::optional<double> minutes = std::nullopt;    // kAccess: to get there; none when it is open
};

// A number that is wanted.
struct WantedQuantity {
  std::string name;       // of the slot; empty where it is the only one
  Statement fact;         // that it is a part of
  std::vector<int> open;  // the quantities of it that are asked for
  bool first = false;     // of the fact, which is to be told
  Dimension dimension = Dimension::kNumber;
  QuantityRange range;
};

// What has happened since the last prompt.
struct Told {
  std::string says;  // a sentence
};
struct Complained {
  Statement statement;  // was noted
  bool present = true;
};
struct Refused {
  std::string why;  // a clause; empty when the reason has been told
};
// What was answered, to be told when it is taken back.
struct Answered {
  std::vector<CaseChange> changes = {};
  Phrase check = {};                                   // to which question, where it was one
  std::optional<CaseChange> corrected = std::nullopt;  // what took the old entry out
};
struct NotUnderstood {
  std::string why = "";  // a clause, where there is more to say than what is wanted
};
struct Moved {
  std::vector<MovedSuspect> suspects;
};
struct Read {
  BenchReading reading;  // what was measured on the bench, by its limits
};
struct Ranking {
  RankReport report;
  bool first = false;  // the case is there, and the questions begin
};
struct WhyAsked {
  NextQuestion question;
};
struct Helped {};
using Happening = std::variant<Told, Complained, Refused, Answered, NotUnderstood, Moved, Read, Ranking,
                               WhyAsked, WhyReport, Helped, Diagnostics>;

struct Prompt {
  PromptKind kind = PromptKind::kOver;
  ReplyForm takes = ReplyForm::kNothing;
  bool may_pass = false;       // nothing at all is an answer, too; of findings: that none is so
  bool yes_no = false;         // the first two options may be said as yes and no, too
  const Unit* unit = nullptr;  // whose names it speaks; null before there is one
  std::string says = "";       // kName: what is proposed; kUnitOfNumber: the number with this unit
  std::string word = "";       // kSlot, kMeant: of what is to be narrowed; a name of the words
  int likeliest = 0;           // kMatches: so many of the first options stand for all that was said
  bool takes_names = false;    // options may be named in words, too: "first, third", "all"
  std::vector<Option> options = {};
  // kQuantity, kFinding, kFindings, kUnitOut: the check.
  std::optional<NextQuestion> question = std::nullopt;
  bool begins = false;   // the check is put with this prompt, and not only more asked of it
  bool goes_on = false;  // it begins, but the check is being made already
  std::optional<WantedQuantity> quantity = std::nullopt;
  std::optional<DueMeasurement> due = std::nullopt;  // kQuantity on the bench: what is measured
  int to_measure = 0;  // kEnd, kQuantity on the bench: how many things lie open that can be measured
  std::optional<Standing> standing = std::nullopt;  // kUnitOut, kEnd: where it has come to
  // kUnitOut: of the way there; kQuantity on the bench: of measuring. Names in the words.
  std::vector<std::string> cautions = {};
  double minutes = 0;  // kUnitOut: to get there
  std::vector<Happening> since = {};
  bool again = false;  // the prompt before still stands
};

enum class PlainWord {
  kNone,
  kHelp,
  kWhy,
  kDontKnow,
  kBack,
  kCorrect,
  kRanking,
  kReason,
  kAccess,
  kAlso,
  kMeasure,
  kLater,
  kLeave
};

struct Reply {
  enum class Kind {
    kOptions,
    kText,
    kWord,
    kCaseText,       // `text`: the case as another hand has left it
    kNotUnderstood,  // `text`: why, a clause; may be empty
  };
  Kind kind = Kind::kOptions;
  std::vector<int> chosen = {};         // options, from 0
  std::vector<int> unsure = {};         // kFindings: those that cannot be told
  std::vector<std::string> under = {};  // kFinding, kFindings: circumstances that were named, no opposites
  std::string text = "";                // free text, a quantity as written; of a word what stands behind it
  PlainWord word = PlainWord::kNone;
};

class Interview {
 public:
  static Interview Begin(std::shared_ptr<const InterviewHost> host, const InterviewBeginning& beginning);
  // The next one. An interview that is over stays as it is.
  Interview Answer(const Reply& reply) const&;
  Interview Answer(const Reply& reply) &&;

  const Prompt& prompt() const { return prompt_; }
  bool IsOver() const { return prompt_.kind == PromptKind::kOver; }
  bool HasFailed() const { return failed_; }  // it could not begin; the reasons are in prompt().since
  // Null before there is one.
  const std::shared_ptr<const Case>& c() const { return case_; }
  const std::string& text() const { return text_; }  // of the case; empty before there is one
  // What this interview has changed since it began, or since it was given a text.
  const std::vector<CaseChange>& changes() const { return changes_; }

 private:
  friend class InterviewCourse;
  explicit Interview(std::shared_ptr<const InterviewHost> host) : host_(std::move(host)) {}

  struct Diagnosed {
    std::shared_ptr<const Case> c;  // kept alive: the diagnosis points to it
    Diagnosis diagnosis;
  };
  // Numbers that are being asked for, one after the other, each of one fact.
  struct Numbers {
    std::vector<CaseChange> facts;             // their quantities to be filled in
    std::vector<std::vector<int>> quantities;  // beside: the slots that are
    std::size_t fact = 0, quantity = 0;        // where it stands
    std::vector<CaseChange> whole;             // those whose numbers are all there
    std::optional<DueMeasurement> due;         // on the bench: what is measured
  };
  // A finding, or several that differ in slots.
  struct Offer {
    std::vector<Statement> meant;
    bool present = true;
  };
  struct ToldFinding {
    Statement statement;
    bool present = true;
    friend bool operator==(const ToldFinding&, const ToldFinding&) = default;
  };
  // Findings that are being chosen.
  struct Choice {
    std::string text;  // said; empty: chosen from the list
    std::vector<Offer> offered;
    std::vector<Offer> to_narrow;  // chosen of them, the next one last
    Offer narrowing;               // the one that is being narrowed
    std::size_t slot = 0;
    std::vector<ToldFinding> chosen;
    bool present = true;  // false: all chosen were told the other way round
  };

  std::shared_ptr<const InterviewHost> host_;
  Prompt prompt_;
  bool failed_ = false;
  // A new case before it has a text.
  std::string unit_, variant_, version_, name_, title_;
  std::vector<ToldFinding> complaints_;
  std::vector<std::string> not_understood_;  // of what was said before the case had a text

  std::string text_;
  std::shared_ptr<const Case> case_;
  std::vector<CaseChange> changes_;
  std::shared_ptr<const Diagnosed> known_;  // of the case, or of a new one without any complaint
  std::shared_ptr<const CaseChecks> checks_;
  bool asking_ = false;  // the case is there, and questions are put
  bool aside_ = false;   // something else is being told; `back` and `later` lead back to the question
  InterviewState state_;
  NextStep step_;
  Numbers numbers_;
  Choice choice_;
  CaseChange corrected_;                     // the change that takes it out
  std::shared_ptr<const Case> diagnosed_;    // the case that is known, or was
  std::shared_ptr<const Interview> before_;  // the prompt before this one, without its diagnosis
  Answered answered_;                        // to it, where that changed the case
};

}  // namespace gearwhy
