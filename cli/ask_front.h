// Ask front: how `gearwhy ask` meets whoever answers: a person at a terminal or through a pipe, or a program.
//
// What has happened is kept until something is put or told behind it, so that it is seen in its order.
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "cli/line_reader.h"
#include "cli/session.h"
#include "engine/advise/interview.h"

namespace gearwhy {

// How it ended, and what becomes of the case.
struct AskEnding {
  std::string saved_in;   // empty: not saved
  std::string go_on;      // the command with which to go on, as a shell takes it
  bool has_case = false;  // there is one, saved or not
};

class AskFront {
 public:
  virtual ~AskFront() = default;

  // What has happened since the prompt before.
  virtual void Happened(const Interview& interview) = 0;
  // A sentence of what the program itself did.
  virtual void Tell(const std::string& says) = 0;
  // The prompt that stands; how it ended, where the other side left meanwhile.
  virtual std::optional<ReadEnd> Put(const Interview& interview) = 0;
  virtual ReadEnd Read(const Prompt& prompt, Reply* reply) = 0;
  // A prompt of the program itself, beside the interview, with what has happened to it.
  virtual void PutAside(const Prompt& prompt) = 0;
  virtual void End(const AskEnding& ending) = 0;
};

// Both end when the input does. The session must outlive them.
std::unique_ptr<AskFront> MakeTextFront(Session& session);
// One JSON object a line, both ways (render/json_interview.h, advise/reply_object.h).
std::unique_ptr<AskFront> MakeJsonFront(Session& session);

}  // namespace gearwhy
