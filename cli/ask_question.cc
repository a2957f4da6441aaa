// One question of the interview: what is shown, how an answer in numbers is read, and how a quantity is asked
// for.
#include <fmt/format.h>

#include <algorithm>

#include "cli/ask.h"
#include "engine/render/text.h"
#include "engine/text/ascii.h"

namespace gearwhy {
namespace {

// A number as somebody might write it.
std::string ExampleOf(Dimension dimension) {
  switch (dimension) {
    case Dimension::kPressure:
      return "9 bar or 130 psi";
    case Dimension::kSpeed:
      return "2200 rpm";
    case Dimension::kLength:
      return "1.2 mm or 48 thou";
    case Dimension::kDistance:
      return "180000 km";
    default:
      return fmt::format("12 {}", BaseUnit(dimension));
  }
}

}  // namespace

void Ask::Put(const NextQuestion& question) {
  if (state_.going_on == question.check.key) {
    asker_.Head(AsSentence(fmt::format("besides, {}", MakeSpeaker().Say(question.check.says))));
  } else {
    asker_.Print(QuestionText(question, MakeSpeaker(), general_cautions_, cautions_shown_, asker_.style()));
  }
  if (!question.measures.empty()) AskNumbers(question);
  if (question.check.findings.size() == 1) {
    PutOne(question);
  } else {
    PutSeveral(question);
  }
}

bool Ask::TakeCircumstances(std::string* line, std::vector<std::string>* under) {
  const auto& circumstances = session_.book().words.circumstances;
  for (;;) {
    const std::size_t end = line->find_last_not_of(" ,.");
    if (end == std::string::npos) break;
    const std::size_t space = line->find_last_of(" ,", end);
    const std::size_t begin = space == std::string::npos ? 0 : space + 1;
    const auto named = circumstances.find(Lower(line->substr(begin, end + 1 - begin)));
    if (named == circumstances.end()) break;
    if (std::find(under->begin(), under->end(), named->second.opposite) != under->end()) {
      asker_.Tell(fmt::format("One look is not made both {} and {}: give one of them.", named->second.says,
                              circumstances.find(named->second.opposite)->second.says));
      return false;
    }
    if (std::find(under->begin(), under->end(), named->first) == under->end()) under->push_back(named->first);
    line->resize(begin);
  }
  while (line->ends_with(' ') || line->ends_with(',')) line->pop_back();
  return true;
}

void Ask::PutOne(const NextQuestion& question) {
  const Statement& finding = question.check.findings[0].event;
  const std::string is_so = MakeSpeaker().Say(finding), is_not_so = MakeSpeaker().Say(finding, false);
  asker_.Options({AsSentence(is_so), AsSentence(is_not_so), "Don't know."});
  for (;;) {
    Said said;
    Reply reply;
    std::string line = asker_.Line(&said);
    if (!TakeCircumstances(&line, &reply.under)) continue;
    const auto numbers = ReadNumbers(line, 3);
    int number = numbers && numbers->size() == 1 ? numbers->front().number : 0;
    if (Lower(line) == "yes") number = 1;
    if (Lower(line) == "no") number = 2;
    if (said.word == PlainWord::kDontKnow || (number > 0 && numbers && numbers->front().unsure)) number = 3;
    if (number == 0) {
      asker_.Tell("Please answer with 1, 2 or 3, or say help.");
      continue;
    }
    if (number == 1) reply.present = {0};
    if (number == 3) reply.unknown = {0};
    state_.going_on.clear();
    Take(ChangesOf(known_->diagnosis, question, reply), number == 1   ? is_so
                                                        : number == 2 ? is_not_so
                                                                      : "not known whether " + is_so);
    return;
  }
}

void Ask::PutSeveral(const NextQuestion& question) {
  const auto& findings = question.check.findings;
  const int count = static_cast<int>(findings.size());
  const Speaker speaker = MakeSpeaker();
  std::vector<std::string> options;
  for (const AskedFinding& finding : findings) options.push_back(AsSentence(speaker.Say(finding.event)));
  options.push_back(
      question.check.all_good
          ? AsSentence(fmt::format("none of these: {}", speaker.Say(*question.check.all_good, false)))
          : "None of these.");
  options.push_back("Don't know.");
  asker_.Options(options);
  asker_.Tell(
      "Give all that are so, as in 1 2: the others then count as looked at and not so. 2? says that you "
      "cannot tell number 2.");
  for (;;) {
    Said said;
    Reply reply;
    std::string line = asker_.Line(&said);
    if (!TakeCircumstances(&line, &reply.under)) continue;
    auto numbers = ReadNumbers(line, count + 2);
    if (Lower(line) == "none") numbers = {{count + 1, false}};
    if (said.word == PlainWord::kDontKnow) numbers = {{count + 2, false}};
    const bool alone = numbers && numbers->size() == 1;
    const bool good = numbers && !numbers->empty() &&
                      (alone || std::all_of(numbers->begin(), numbers->end(),
                                            [&](const Numbered& n) { return n.number <= count; }));
    if (!good) {
      asker_.Tell(fmt::format("Please answer with numbers from 1 to {}, or with {} or {} alone, or say help.",
                              count, count + 1, count + 2));
      continue;
    }
    std::string says;
    for (const Numbered& n : *numbers) {
      if (n.number > count) continue;
      auto& list = n.unsure ? reply.unknown : reply.present;
      if (std::find(list.begin(), list.end(), n.number - 1) == list.end()) list.push_back(n.number - 1);
      if (!n.unsure)
        says +=
            (says.empty() ? "" : "; ") + speaker.Say(findings[static_cast<std::size_t>(n.number - 1)].event);
    }
    if (numbers->front().number == count + 2) {
      for (int i = 0; i < count; ++i) reply.unknown.push_back(i);
    }
    std::erase_if(reply.present, [&](int i) {
      return std::find(reply.unknown.begin(), reply.unknown.end(), i) != reply.unknown.end();
    });
    state_.going_on.clear();
    Take(ChangesOf(known_->diagnosis, question, reply),
         says.empty() ? speaker.Say(question.check.says) : says);
    return;
  }
}

std::optional<double> Ask::AskQuantity(const std::string& what, const Slot& slot, std::string* written) {
  const Dimension dimension = *slot.dimension;
  const std::string_view unit = BaseUnit(dimension);
  for (;;) {
    Said said;
    const std::string line = asker_.Line(&said, what + "> ");
    if (line.empty() || said.word == PlainWord::kDontKnow || said.word == PlainWord::kLater ||
        said.word == PlainWord::kBack) {
      return std::nullopt;
    }
    std::string why;
    std::string text = line;
    auto number = ParseQuantity(text, dimension, &why);
    if (!number && ParseQuantity(text, Dimension::kNumber, &why) && text.find('%') == std::string::npos) {
      asker_.Tell(fmt::format("{} {}?", text, unit));
      if (asker_.Choose({"Yes.", "No."}) != 1) continue;
      text += fmt::format(" {}", unit);
      number = ParseQuantity(text, dimension, &why);
    } else if (!number) {
      ParseQuantity(text, dimension, &why);
    }
    if (const auto outside = number ? WhyOutside(*number, text, dimension, slot.range) : std::nullopt) {
      number.reset();
      why = *outside;
    }
    if (number) {
      *written = text;
      return number;
    }
    asker_.Tell(fmt::format("{} A number is wanted, as in {}, or Enter alone if there is none.",
                            AsSentence(why), ExampleOf(dimension)));
  }
}

void Ask::AskNumbers(const NextQuestion& question) {
  const Words& words = session_.book().words;
  const Speaker speaker = MakeSpeaker();
  const InterviewState state_before = state_;
  std::vector<CaseChange> changes;
  std::string says;
  for (const Measurement& measure : question.measures) {
    const Word& word = *words.Find(measure.fact.name);
    CaseChange change;
    change.list = CaseList::kMeasured;
    change.statement = measure.fact;
    change.written.resize(word.slots.size());
    bool whole = true;
    for (const int index : measure.quantities) {
      const auto i = static_cast<std::size_t>(index);
      const Slot& slot = word.slots[i];
      if (index == measure.quantities.front()) {
        Condition open;
        open.pattern.name = word.name;
        for (std::size_t s = 0; s < word.slots.size(); ++s) {
          const bool asked = std::find(measure.quantities.begin(), measure.quantities.end(),
                                       static_cast<int>(s)) != measure.quantities.end();
          open.pattern.terms.push_back(asked ? Term(Anything{}) : Term(measure.fact.slots[s]));
        }
        std::string what = speaker.SayCondition(open, {});
        for (const int q : measure.quantities) {
          const std::string some =
              fmt::format("some {}", DimensionName(*word.slots[static_cast<std::size_t>(q)].dimension));
          if (const std::size_t at = what.find(some); at != std::string::npos)
            what.replace(at, some.size(), "...");
        }
        asker_.Tell(fmt::format("{} What is it? A number, as in {}; Enter alone if there is none.",
                                AsSentence(what), ExampleOf(*slot.dimension)));
      }
      const auto number =
          AskQuantity(measure.quantities.size() > 1 ? slot.name + " " : "", slot, &change.written[i]);
      if (!number) {
        whole = false;
        break;
      }
      change.statement.slots[i] = *number;
    }
    if (!whole) continue;
    says += (says.empty() ? "" : "; ") + speaker.Say(change.statement);
    changes.push_back(std::move(change));
  }
  state_.measured.insert(question.check.key);
  if (changes.empty()) return;
  if (auto opened = OpenedBy(known_->diagnosis, question.check.access_name))
    changes.push_back(std::move(*opened));
  state_.going_on = question.check.key;
  if (Take(changes, says)) log_.back().state_before = state_before;
  throw AskAnew{};
}

}  // namespace gearwhy
