// Interview course: how an interview goes on from one prompt to the next. Private to interview*.cc; the one
// way in is interview.h.
//
// It works on a copy of its own, which is the next interview. Put... sets the prompt, Take... takes a reply
// to the prompt of that kind, Tell adds to what has happened.
#pragma once

#include <string>
#include <vector>

#include "engine/advise/interview.h"
#include "engine/text/at.h"

namespace gearwhy {

class InterviewCourse {
 public:
  explicit InterviewCourse(Interview interview) : i_(std::move(interview)) {}
  Interview Begin(const InterviewBeginning& beginning);
  Interview Answer(const Reply& reply);

 private:
  // interview.cc
  bool Fits(const Reply& reply) const;
  void Take(const Reply& reply);
  void TakeText(const std::string& text);
  void Put(Prompt prompt);
  void Tell(Happening happening) { i_.prompt_.since.push_back(std::move(happening)); }
  void Tell(const std::string& sentence) { Tell(Told{sentence}); }
  void DoNotUnderstand(const std::string& why = "") { Tell(NotUnderstood{why}); }
  void Leave() { Put({}); }
  void Fail();
  // Makes changes to the text and the case, all or none. `why` not, a clause.
  bool Change(const std::vector<CaseChange>& changes, std::string* why);
  bool Diagnose(const std::shared_ptr<const Case>& c);
  // Makes changes, diagnoses again, and tells what moved. False when it was refused.
  bool TakeChanges(const Answered& answered);
  // What `back` leads to from the next prompt: this one.
  Interview WithoutDiagnosis() const;

  // interview_begin.cc
  void PutUnit();
  void TakeUnit(const Reply& reply);
  void BeginUnit(const std::string& name);
  void TakeVariant(const Reply& reply);
  void TakeVersion(const Reply& reply);
  const Unit* FindUnit();
  void BeginComplaints(std::shared_ptr<const Case> c);
  void PutComplaint(bool first);
  void TakeComplaint(const Reply& reply);
  void TakeComplaints(const std::vector<Interview::ToldFinding>& meant);
  void EndComplaints();
  void PutName();
  void TakeName(const Reply& reply);
  void BeginCase();
  void AddComplaints(bool is_new);
  void PutHistory();
  void TakeHistory(const Reply& reply);

  // interview_choice.cc: findings in the user's own words, or from a list
  WordsMatcher Matcher(const std::vector<Statement>& findings) const;
  void MatchText(const std::string& text);
  static std::vector<Option> OptionsOf(const std::vector<Interview::Offer>& offered);
  void NoteNotUnderstood(const std::string& text);
  void PutList();
  void TakeFromList(const Reply& reply);
  void TakeMatches(const Reply& reply);
  void NarrowNext();
  void PutNarrowing(bool begins, std::size_t slot);
  void TakeSlot(const Reply& reply);
  void TakeMeant(const Reply& reply);
  void EndChoice();

  // interview_numbers.cc
  void AskNumbers(const std::vector<CaseChange>& facts, const std::vector<std::vector<int>>& quantities,
                  const std::optional<DueMeasurement>& due = std::nullopt);
  Prompt QuantityPrompt() const;
  void PutNumber();
  void TakeQuantity(const Reply& reply);
  void TakeNumber(const std::string& text);
  void TakeUnitOfNumber(const Reply& reply);
  void EndNumbers();

  // interview_step.cc
  void StartAsking();
  void PutStep();
  void PutQuestion();
  void PutFindings(bool begins);
  void TakeFindings(const Reply& reply);
  void TakeMeasured();
  void PutUnitOut();
  void TakeUnitOut(const Reply& reply);
  void PutEnd();
  void TakeEnd(const Reply& reply);

  // interview_bench.cc
  std::vector<DueMeasurement> DueHere() const;
  void GoOnMeasuring(bool measuring);
  void PutMeasurement();
  void TakeMeasurement();

  // interview_words.cc
  void TakeWord(const Reply& reply);
  bool DoWord(const Reply& reply);
  void TellWhy();
  void TellReason(const std::string& which);
  void Back();
  void PutAlso();
  void TakeAlso(const Reply& reply);
  void TellAlso(const std::string& text);
  void TakeAlsoMeant();
  void TakeSoOrNot(const Reply& reply);
  void PutHowKnown();
  void TakeHowKnown(const Reply& reply);
  void AddTold(const Trust& trust);
  void PutCorrectWhich();
  void TakeCorrectWhich(const Reply& reply);
  void TakeCorrectHow(const Reply& reply);
  void PutAccess();
  void TakeAccess(const Reply& reply);

  const InterviewHost& host() const { return *i_.host_; }
  const Rulebook& book() const { return *host().book; }
  const Words& words() const { return book().words; }
  const Diagnosis& diagnosis() const { return i_.known_->diagnosis; }
  const CaseChecks& Checks();
  RankReport Report(int suspects) const;

  Interview i_;
  bool keeps_before_ = true;  // false: this reply has itself led back, or to where nothing is behind
  Answered answered_;         // to the prompt, where that changed the case
};

// The only one of the options, from 0, that was chosen; -1 where none was.
inline int ChosenOf(const Reply& reply) { return reply.chosen.empty() ? -1 : reply.chosen.front(); }

}  // namespace gearwhy
