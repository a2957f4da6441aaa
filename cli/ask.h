// The interview's pieces, shared by the files that make it up: how it begins (ask_begin.cc), its course
// (ask.cc), one question (ask_question.cc), and what the plain words do (ask_words.cc).
#pragma once

#include <functional>
#include <memory>
#include <set>
#include <string>
#include <vector>

#include "cli/asker.h"
#include "cli/case_file.h"
#include "cli/commands.h"
#include "engine/render/interview_text.h"

namespace gearwhy {

// Thrown when a plain word has changed something, so that what is asked next has to be found anew.
struct AskAnew {};

class Ask {
 public:
  Ask(Session& session, const AskArguments& arguments);
  int Run();

 private:
  // A state of the case with everything worked out. `c` keeps alive what the diagnosis points to. The checks
  // are weighed when a question is to be put.
  struct Known {
    std::shared_ptr<const Case> c;
    Diagnosis diagnosis;
    std::optional<CaseChecks> checks = std::nullopt;
  };
  // One answer, to be taken back.
  struct Logged {
    std::string text_before;
    InterviewState state_before;
    std::string says;
  };

  // ask_begin.cc
  bool Begin();
  bool BeginNew();
  bool ChooseUnit(std::string* unit, std::string* variant);
  // Findings that the text may mean, chosen by the user; empty when none was right. `title`: the text itself,
  // if it was used.
  std::vector<Statement> ChooseFindings(const Diagnosis& diagnosis, const std::string& text);
  std::vector<Statement> ChooseFromList(const Diagnosis& diagnosis);
  std::vector<Statement> ChooseSlots(const Diagnosis& diagnosis, const std::vector<Statement>& meant);
  bool ChooseName(const std::string& title, std::string* path);
  void AskComplaints(const Diagnosis& empty, std::string* title, std::vector<Statement>* complaints);
  bool AddComplaints(const std::vector<Statement>& complaints);
  void AskHistory();

  // ask.cc
  void Course();
  bool Diagnosed();
  const CaseChecks& Checks();
  void ShowStep(const NextStep& step);
  void DecideUnitOut(const NextStep& step);
  void DecideAtEnd(const NextStep& step);
  void Concluded(NextStep::Kind kind);
  // Makes changes, saves, diagnoses again and shows what moved. False when it was refused.
  bool Take(const std::vector<CaseChange>& changes, const std::string& says);
  void Store();
  int End(ReadEnd end);

  // ask_question.cc
  void Put(const NextQuestion& question);
  void PutOne(const NextQuestion& question);
  void PutSeveral(const NextQuestion& question);
  // Takes the circumstances named at the end of an answer, as in `2 cold`, off it. False when they are
  // opposites.
  bool TakeCircumstances(std::string* line, std::vector<std::string>* under);
  void AskNumbers(const NextQuestion& question);
  std::optional<double> AskQuantity(const std::string& what, const Slot& slot, std::string* written);

  // ask_words.cc
  bool DoWord(const Said& said);
  void AsAside(const std::function<void()>& talk);
  void Help();
  void ShowRanking();
  void ShowReason(const std::string& which);
  bool Back();
  void Correct();
  void ChangeAccess();
  void TellAlso(const std::string& text);
  RankReport Report(int suspects);

  Speaker MakeSpeaker() const { return Speaker(known_->diagnosis, session_.sources()); }

  Session& session_;
  const AskArguments& arguments_;
  LineReader reader_;
  Asker asker_;
  CaseFile file_;
  BeliefLimits limits_;
  std::unique_ptr<Known> known_;
  InterviewState state_;
  std::vector<Logged> log_;
  std::set<std::string> general_cautions_, cautions_shown_;
  const NextQuestion* asked_ = nullptr;  // what `why` is about
  bool saving_ = true;
  bool aside_ = false;  // inside correct, access or also, where `back` and `later` lead back to the question
};

}  // namespace gearwhy
