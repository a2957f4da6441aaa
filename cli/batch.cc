#include "cli/batch.h"

#include <utility>

namespace gearwhy {

AnswerWriter::AnswerWriter(Format format, bool list, Progress& progress)
    : format_(format), is_list_(format == Format::kJson && list), progress_(progress) {
  if (is_list_) WriteData("[\n");
}

bool AnswerWriter::Add(const Answered& answered) {
  tally_.good &= answered.good;
  ++(answered.was_there ? tally_.were_there : answered.good ? tally_.answered : tally_.not_answered);
  if (!answered.exact) ++tally_.not_exact;
  if (!answered.messages.empty()) {
    progress_.Hide();
    WriteErr(answered.messages);
  }
  progress_.Done(!answered.was_there);
  if (answered.answer.empty()) return true;
  const bool is_first = std::exchange(is_first_, false);
  if (format_ == Format::kText)
    return WriteOut(is_first ? answered.answer : std::string(80, '-') + "\n\n" + answered.answer) && Flush();
  return WriteData((is_list_ && !is_first ? ",\n" : "") + answered.answer + (is_list_ ? "" : "\n")) &&
         Flush();
}

const Tally& AnswerWriter::End() {
  if (is_list_) WriteData(is_first_ ? "]\n" : "\n]\n");
  progress_.Hide();
  return tally_;
}

bool Batch::Add(std::function<Answered()> answer) {
  return work_.Add([this, answer = std::move(answer)]() -> InOrder::HandOn {
    if (stop_.Came()) return [] { return false; };
    return [this, answered = answer()] { return writer_.Add(answered); };
  });
}

}  // namespace gearwhy
