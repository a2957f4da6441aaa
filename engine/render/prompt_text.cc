// The prompts of the interview, and what has happened between them, as text.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "engine/render/interview_text.h"
#include "engine/render/pieces.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// Options that do something.
const std::map<std::string, std::string, std::less<>> kOptionSays = {
    {"none", "none of these"},
    {"not_known", "not known"},
    {"say_it_again", "none of these: say it again"},
    {"yes", "yes"},
    {"no", "no"},
    {"dont_know", "don't know"},
    {"not_yet", "not yet: ask what else can be asked with it in"},
    {"leave", "save and leave"},
    {"also", "tell something else that was seen"},
    {"go_on", "go on asking all the same"},
    {"measure", "measure what lies open"},
    {"so", "they are so"},
    {"not_so", "they are not so"},
    {"take_out", "take it out: nobody knows"},
    {"another_number", "give another number"},
    {"leave_it", "leave it as it is"},
};

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

// One thing that the case says, by the change of it.
std::string SayEntry(const Speaker& speaker, const Words& words, const CaseChange& entry) {
  if (entry.list == CaseList::kUnknown) return "not known: whether " + speaker.Say(entry.statement);
  if (entry.list != CaseList::kObserved && entry.list != CaseList::kComplaint)
    return speaker.Say(entry.statement);
  Observation observation;
  observation.trust = entry.trust;
  observation.under = entry.under;
  return fmt::format("{} ({})", speaker.Say(entry.statement, entry.present), SayTrust(words, observation));
}

// What was answered: "rubber is in the pan; the pan holds lining".
std::string SayAnswered(const Speaker& speaker, const Words& words, const Answered& answered) {
  if (answered.corrected)
    return "the correction of: " + Capitalised(SayEntry(speaker, words, *answered.corrected));
  const bool asked = !answered.check.IsEmpty();
  std::string says;
  int told = 0;
  for (const CaseChange& change : answered.changes) {
    if (change.list == CaseList::kOpen) continue;
    ++told;
    const bool denied = change.list == CaseList::kUnknown || !change.present;
    if (!asked || !denied) says += (says.empty() ? "" : "; ") + speaker.Say(change.statement, change.present);
  }
  if (!says.empty()) return says;
  if (told == 0) return asked ? "the unit is out" : "what is open";
  if (told > 1) return speaker.Say(answered.check);
  const CaseChange& one = answered.changes[0];
  return one.list == CaseList::kUnknown ? "not known whether " + speaker.Say(one.statement)
                                        : speaker.Say(one.statement, false);
}

}  // namespace

std::string OptionText(const Prompt& prompt, const Option& option, const Words& words,
                       const Speaker& speaker) {
  switch (prompt.kind) {
    case PromptKind::kSlot: {
      const Word& word = *words.Find(prompt.word);
      return Capitalised(speaker.SayValue(*option.value, word.slots[At(word.SlotIndex(prompt.says))]));
    }
    case PromptKind::kAccess: {
      const std::string access = Capitalised(speaker.SayAccess(option.id));
      return option.minutes ? fmt::format("{}: {} from here", access, ShowMinutes(*option.minutes))
                            : fmt::format("{}: open", access);
    }
    case PromptKind::kHowKnown:
      return AsSentence(words.FindTrust(option.id)->says);
    case PromptKind::kUnitOut:
      if (option.id == prompt.options[0].id)
        return fmt::format("Yes: it is out, or comes out now ({}).", ShowMinutes(prompt.minutes));
      break;
    default:
      break;
  }
  if (option.entry) return AsSentence(SayEntry(speaker, words, *option.entry));
  if (option.statement) {
    const std::string says = speaker.Say(*option.statement, option.present);
    return AsSentence(option.id == "none" ? "none of these: " + says
                      : option.complained ? says + " (the complaint)"
                                          : says);
  }
  if (!option.says.empty()) return AsSentence(option.says);
  if (const auto does = kOptionSays.find(option.id); does != kOptionSays.end())
    return AsSentence(does->second);
  const Word* word = words.Find(option.id);
  return AsSentence(word == nullptr ? option.id : speaker.SayOpen(*word));
}

namespace {

// The line above the options.
std::string HeadOf(const Prompt& prompt, const Words& words, const Speaker& speaker) {
  static const std::map<PromptKind, std::string_view> kHeads = {
      {PromptKind::kUnit, "Which unit is it? A number, or words of it, as in six speeds"},
      {PromptKind::kVariant, "Which variant?"},
      {PromptKind::kVersion, "Which version?"},
      {PromptKind::kMeant, "Which? All that are meant, as in 1 3, or by their names; or all"},
      {PromptKind::kHistory,
       "What is known of its history? All that are so, as in 1 3; Enter alone to pass over it"},
      {PromptKind::kUnitOut, "Take the unit out?"},
      {PromptKind::kSoOrNot, "Which of the two?"},
      {PromptKind::kHowKnown, "How is it known?"},
      {PromptKind::kCorrectWhich, "Which one? Enter alone for none"},
      {PromptKind::kAccess,
       "What is open? A number opens it, or closes what is open; Enter alone for neither"},
  };
  if (prompt.kind == PromptKind::kMatches) {
    const std::string yes = prompt.likeliest == 0   ? ""
                            : prompt.likeliest == 1 ? "y for the first, or all"
                                                    : fmt::format("y for 1 to {}, or all", prompt.likeliest);
    return fmt::format("Which is it? {} that are meant, as in 1 2", yes.empty() ? "All" : yes);
  }
  if (prompt.kind == PromptKind::kSlot) {
    return fmt::format("{}: which {}? All that are meant, or all",
                       Capitalised(speaker.SayOpen(*words.Find(prompt.word))), prompt.says);
  }
  if (prompt.kind == PromptKind::kName)
    return fmt::format("What shall the case be called? Enter alone for {}", prompt.says);
  if (prompt.kind == PromptKind::kComplaint)
    return prompt.options.empty() ? "What is the complaint?"
                                  : "Is there another complaint? Enter alone when that is all";
  const auto head = kHeads.find(prompt.kind);
  return head == kHeads.end() ? "" : std::string(head->second);
}

// What is told before the answer; empty for most.
std::string TellOf(const Prompt& prompt, const Words& words, const Speaker& speaker) {
  if (prompt.kind == PromptKind::kComplaint && prompt.begins)
    return "In your own words, as in: no reverse, slips in second when hot. Or say list.";
  if (prompt.kind == PromptKind::kAlso)
    return "What else was seen, felt or measured? In your own words; Enter alone for nothing.";
  if (prompt.kind == PromptKind::kUnitOfNumber) return prompt.says + "?";
  if (prompt.kind != PromptKind::kQuantity || !prompt.quantity->first) return "";
  const WantedQuantity& wanted = *prompt.quantity;
  const std::string what =
      AsSentence(speaker.SayOpen(*words.Find(wanted.fact.name), &wanted.fact, wanted.open));
  if (prompt.due) {
    const std::string late = TooLateText(*prompt.due, speaker);
    return fmt::format(
        "{}\n{}. With {}. {}{}\nA number, as in {}; Enter alone to pass over it, measure to be asked "
        "on. {}",
        what, DueLimitsText(*prompt.due, speaker), JoinNames(prompt.due->with, "or"), late,
        late.empty() ? "" : " ", ExampleOf(wanted.dimension),
        prompt.to_measure == 1 ? "It is the last."
                               : fmt::format("{} are to be measured.", prompt.to_measure));
  }
  if (!prompt.question) return what;
  return fmt::format("{} What is it? A number, as in {}; Enter alone if there is none.", what,
                     ExampleOf(wanted.dimension));
}

}  // namespace

std::string AskedText(const Prompt& prompt, const Words& words, const Speaker& speaker) {
  const std::string head = HeadOf(prompt, words, speaker), tell = TellOf(prompt, words, speaker);
  return head + (head.empty() || tell.empty() ? "" : "\n") + tell;
}

namespace {

std::string WantedText(const Prompt& prompt) {
  const std::size_t options = prompt.options.size();
  switch (prompt.takes) {
    case ReplyForm::kOne:
      return fmt::format("Please answer with one number from 1 to {}{}.", options,
                         prompt.may_pass ? ", or with Enter alone" : "");
    case ReplyForm::kSome:
      if (prompt.takes_names) {
        return fmt::format(
            "Please answer with numbers from 1 to {}, as in 1 3, with names, with all, or with Enter alone.",
            options);
      }
      return fmt::format("Please answer with numbers from 1 to {}, as in 1 3, or with Enter alone.", options);
    case ReplyForm::kFinding:
      return "Please answer with y, n or ?, or with 1, 2 or 3, or say help.";
    case ReplyForm::kFindings:
      return fmt::format("Please answer with numbers from 1 to {}, with 0 for none, with ?, or say help.",
                         options - 2);
    case ReplyForm::kQuantity:
      return fmt::format("A number is wanted, as in {}, or Enter alone if there is none.",
                         ExampleOf(prompt.quantity->dimension));
    case ReplyForm::kText:
    case ReplyForm::kNothing:
      break;
  }
  return "Please say it in words.";
}

// What has happened, one after the other.
class Teller {
 public:
  Teller(const Prompt& prompt, const Words& words, const Speaker& speaker, const TextStyle& style)
      : prompt_(prompt), words_(words), speaker_(speaker), style_(style) {}

  std::string operator()(const Told& told) const { return Paragraph(told.says); }
  std::string operator()(const Complained& one) const {
    return Paragraph(fmt::format("Complaint: {}.", speaker_.Say(one.statement, one.present)));
  }
  std::string operator()(const Refused& one) const {
    return Paragraph(one.why.empty() ? "This was not taken." : "This was not taken: " + one.why);
  }
  std::string operator()(const Answered& answered) const {
    return Paragraph(fmt::format("Taken back: {}.", SayAnswered(speaker_, words_, answered)));
  }
  std::string operator()(const NotUnderstood& one) const {
    if (one.why.empty()) return Paragraph(WantedText(prompt_));
    if (prompt_.takes != ReplyForm::kQuantity) return Paragraph(AsSentence(one.why));
    return Paragraph(fmt::format("{} {}", AsSentence(one.why), WantedText(prompt_)));
  }
  std::string operator()(const Moved& moved) const { return MovedText(moved.suspects, speaker_, style_); }
  std::string operator()(const Read& read) const { return Paragraph(ReadingLine(read.reading, speaker_)); }
  std::string operator()(const Ranking& ranking) const;
  std::string operator()(const WhyAsked& why) const { return WhyAskedText(why.question, speaker_, style_); }
  std::string operator()(const WhyReport& report) const { return WhyText(report, speaker_, style_); }
  std::string operator()(const Helped&) const;
  std::string operator()(const Diagnostics&) const { return ""; }

 private:
  std::string Paragraph(const std::string& text) const {
    Page page(style_);
    page.Paragraph("", text);
    return page.text();
  }

  const Prompt& prompt_;
  const Words& words_;
  const Speaker& speaker_;
  const TextStyle& style_;
};

std::string Teller::operator()(const Ranking& ranking) const {
  const RankReport& report = ranking.report;
  Page page(style_);
  SayExactness(report.exactness, speaker_, page);
  if (report.exactness.known) {
    page.Heading(fmt::format("The suspects now: {}", report.title));
    if (!report.possible) {
      page.Paragraph("  ",
                     "What was observed contradicts itself with certainty; these are the chances before "
                     "looking. Say correct.");
    } else if (!report.where.empty() && !report.nothing_observed &&
               (report.suspects.empty() || report.where[0].chance > report.suspects[0].chance)) {
      page.Pair("    Where: ", AsSentence(speaker_.Say(report.where[0].statement)),
                ShowChance(report.where[0].chance));
    }
  }
  std::string text = page.text();
  int number = 0;
  for (const Suspect& suspect : report.suspects) {
    if (!report.exactness.known) break;
    Page one(style_);
    one.Pair(fmt::format("{:>3} ", ++number), AsSentence(speaker_.Say(suspect.statement)),
             ShowChance(suspect.chance));
    // The first that does not fit ends it, so that no likelier one is left out.
    if (ranking.first && LinesOf(text + one.text()) > kMostRankingLines) break;
    text += one.text();
  }
  return ranking.first ? "\n" + text : text;
}

std::string Teller::operator()(const Helped&) const {
  static constexpr std::pair<std::string_view, std::string_view> kHelp[] = {
      {"why", "why this is asked, and how each answer would move the suspects"},
      {"don't know", "you cannot tell; it is not asked again"},
      {"later", "not now: something else is asked"},
      {"0, n, Enter", "none of what is listed; y and n answer what is yes or no"},
      {"also", "tell something else that was seen, in your own words: also rubber in the pan"},
      {"back", "take the last step back, as often as you like"},
      {"correct", "list what the case says, and change or remove one of it"},
      {"ranking", "the suspects as they stand"},
      {"reason 2", "the whole reasoning behind suspect 2"},
      {"access", "say what is open or no longer open"},
      {"measure", "with the unit out, measure what lies open; again, to be asked on"},
      {"leave", "save and leave; Ctrl-C leaves at once, and every answer given is saved"},
  };
  Page page(style_);
  page.Heading("What you can say at any question");
  for (const auto& [word, says] : kHelp) page.Paragraph(fmt::format("  {:<12}", word), says);
  page.Paragraph("", "The beginning of a word is enough where only one begins so.");
  return page.text();
}

}  // namespace

// A caution that all but every check carries need not be repeated with each.
InterviewText::InterviewText(const Rulebook& book, const Sources& sources, const TextStyle& style)
    : book_(book), sources_(sources), style_(style) {
  for (const auto& entry : book.words.cautions) {
    const auto carries = [&](const Check& check) {
      return std::find(check.cautions.begin(), check.cautions.end(), entry.first) != check.cautions.end();
    };
    if (std::count_if(book.checks.begin(), book.checks.end(), carries) * 10 > std::ssize(book.checks) * 9)
      general_cautions_.insert(entry.second.says);
  }
}

std::string InterviewText::Happened(const Prompt& prompt) const {
  const Speaker speaker(book_.words, prompt.unit, sources_);
  std::string text;
  for (const Happening& happening : prompt.since)
    text += std::visit(Teller(prompt, book_.words, speaker, style_), happening);
  return text;
}

namespace {

// What a person may type instead of a number, on a line.
std::string HintOf(const Prompt& prompt) {
  if (prompt.takes == ReplyForm::kFinding)
    return "y, n, or ? if you cannot tell. Or say: why, later, also, back, leave, help.";
  if (prompt.takes == ReplyForm::kFindings)
    return "All that are so, as in 1 2 (2? where you cannot tell); 0 or Enter for none. Or say: why, later, "
           "also, back, leave, help.";
  return "";
}

std::string OptionsText(const Prompt& prompt, const Words& words, const Speaker& speaker,
                        const TextStyle& style) {
  Page page(style);
  const int width = prompt.options.size() > 9 ? 4 : 3;
  int number = 0;
  for (const Option& option : prompt.options) {
    if (prompt.kind == PromptKind::kComplaint) break;  // what was told already
    page.Paragraph(fmt::format("{:>{}} ", ++number, width), OptionText(prompt, option, words, speaker));
  }
  if (const std::string hint = HintOf(prompt); !hint.empty()) page.Paragraph("", hint);
  return page.text();
}

}  // namespace

PromptText InterviewText::Put(const Prompt& prompt) {
  if (prompt.again || prompt.takes == ReplyForm::kNothing) return {};
  const Words& words = book_.words;
  const Speaker speaker(words, prompt.unit, sources_);
  PromptText text;
  Page page(style_);
  if (prompt.standing) {
    text.before = "\n" + StandingText(*prompt.standing, speaker, style_);
    page.Blank();
  } else if (prompt.goes_on && prompt.begins) {
    page.Blank();
    page.Heading(AsSentence(fmt::format("besides, {}", speaker.Say(prompt.question->check.says))));
  } else if (prompt.due && prompt.quantity && prompt.quantity->first) {
    page.Blank();
  } else if (prompt.question && prompt.begins) {
    text = QuestionText(*prompt.question, speaker, general_cautions_, cautions_shown_, style_);
  }
  if (!prompt.word.empty() && prompt.begins)
    page.Paragraph("", AsSentence(speaker.SayOpen(*words.Find(prompt.word))));
  Page care(style_);
  for (const std::string& name : prompt.cautions) {
    const std::string caution = speaker.SayCaution(name);
    if (prompt.due && cautions_shown_.contains(caution)) continue;
    care.Paragraph("  ! ", caution);
    cautions_shown_.insert(caution);
  }
  text.before += care.text();
  if (const std::string head = HeadOf(prompt, words, speaker); !head.empty()) page.Heading(head);
  if (const std::string tell = TellOf(prompt, words, speaker); !tell.empty()) page.Paragraph("", tell);
  text.question += page.text() + OptionsText(prompt, words, speaker, style_);
  return text;
}

std::string AnswerLabel(const Prompt& prompt) {
  const bool named = prompt.takes == ReplyForm::kQuantity && !prompt.quantity->name.empty();
  return named ? prompt.quantity->name + " > " : "> ";
}

}  // namespace gearwhy
