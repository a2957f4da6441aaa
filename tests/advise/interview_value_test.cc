// The interview as a value: driven without a terminal, from beginning to end.
#include <algorithm>
#include <set>

#include "tests/support/book.h"
#include "tests/support/shipped_talk.h"

namespace gearwhy {
namespace {

// Findings that differ in two slots, and more of them than are shown at once.
constexpr const char* kRattles = R"(
  rattles: {type: finding, slots: {spot: spot, pace: pace}, says: "it rattles at {spot} when it goes {pace}", ask: [rattles]}
)";

std::string LampBook() { return GoldenText("ask-new/book/lamp.yaml"); }

std::string WithRattles(std::string book) {
  std::string spots = "  pace: {values: {fast: fast, slow: slow}}\n  spot: {values: {";
  for (int i = 1; i <= 14; ++i)
    spots += (i > 1 ? ", s" : "s") + std::to_string(i) + ": spot " + std::to_string(i);
  book.insert(book.find("facts:\n"), spots + "}}\n");
  book.insert(book.find("trust:\n"), std::string(kRattles).substr(1));
  book.insert(book.find("checks:\n"),
              "  - {id: rattling, symptom: {rattles: {spot: $s, pace: $p}}, when: [{spot: $s}, {pace: $p}], "
              "unexplained: 1%, causes: [{cause: fuse_blown, how_often: sometimes}]}\n");
  return book;
}

struct Talk {
  TestBook book;
  std::shared_ptr<const InterviewHost> host;
  Interview interview;

  explicit Talk(const std::string& text = LampBook(), const InterviewBeginning& beginning = {})
      : book(text),
        host(TalkHost(
            {&*book.book, &book.sources, {}, [](const std::string&, Diagnostics&) { return nullptr; }})),
        interview(Interview::Begin(host, beginning)) {}

  void Say(const std::string& line) {
    interview = std::move(interview).Answer(Typed(interview, *book.book, line));
  }
  PromptKind kind() const { return interview.prompt().kind; }
  // The sentences told since the last prompt.
  std::string Told() const {
    return InterviewText(*book.book, book.sources, {200}).Happened(interview.prompt());
  }
};

InterviewBeginning Begun(const std::string& more = "") {
  return {"case: x\ntitle: Dark\ncomplaint:\n  - present: {dark: attic}\n" + more, "", "x"};
}

TEST_CASE("an interview runs from nothing to a case without a terminal") {
  Talk talk;
  REQUIRE(talk.kind() == PromptKind::kComplaint);
  CHECK(talk.interview.c() == nullptr);
  talk.Say("the attic stays dark");
  REQUIRE(talk.kind() == PromptKind::kMatches);
  CHECK(talk.interview.prompt().options[0].id == "dark:attic");
  talk.Say("1");
  talk.Say("");
  REQUIRE(talk.kind() == PromptKind::kName);
  CHECK(talk.interview.prompt().says == "the-attic-stays-dark");
  talk.Say("taken");
  CHECK(talk.kind() == PromptKind::kName);
  talk.Say("attic");
  REQUIRE(talk.kind() == PromptKind::kHistory);
  talk.Say("1 2");
  REQUIRE(talk.kind() == PromptKind::kQuantity);
  talk.Say("12.5 km");
  REQUIRE(talk.kind() == PromptKind::kFinding);
  CHECK(talk.interview.prompt().question->check.key == "other-room:hall");
  talk.Say("no");
  // What nobody but the customer has seen is tried by somebody who knows.
  REQUIRE(talk.kind() == PromptKind::kFinding);
  CHECK(talk.interview.prompt().question->check.key == "other-room:attic");
  CHECK(talk.interview.prompt().options[0].complained);
  talk.Say("yes");
  REQUIRE(talk.kind() == PromptKind::kQuantity);
  talk.Say("later");
  REQUIRE(talk.kind() == PromptKind::kFindings);
  talk.Say("1 2?");
  REQUIRE(talk.kind() == PromptKind::kEnd);
  CHECK(talk.interview.prompt().standing->kind == NextStep::Kind::kSettled);
  talk.Say("1");
  CHECK(talk.interview.IsOver());
  CHECK_FALSE(talk.interview.HasFailed());
  CHECK(
      talk.interview.text() ==
      "case: attic\ntitle: \"The attic stays dark\"\nhistory:\n  - house_is_old\n  - age_of_lamp: 12.5 km\n"
      "complaint:\n  - present: {dark: attic}\n    trust: customer\nobserved:\n  - absent: {dark: hall}\n"
      "  - present: {dark: attic}\n"
      "  - present: {thread_seen_broken: attic}\nunknown:\n  - glass_seen_black: attic\nopen: [cover_off]\n");
  // Whoever keeps the case is told every change, in its order.
  CHECK(talk.interview.changes().size() == 8);
  CHECK(talk.interview.Answer({.kind = Reply::Kind::kText, .text = "x"}).IsOver());
}

TEST_CASE("undo is the value before: the same bytes of everything that can be seen") {
  Talk talk(LampBook(), Begun());
  const Rulebook& book = *talk.book.book;
  const std::vector<std::string> lines = {"2 V", "no", "3", "1", "later", "dont know"};
  std::vector<Interview> kept = {talk.interview};
  std::vector<std::string> seen = {Everything(talk.interview, book, talk.book.sources)};
  for (const std::string& line : lines) {
    INFO(line);
    const Interview next = talk.interview.Answer(Typed(talk.interview, book, line));
    // The value before is as it was, and gives the same once more, whether it is handed over or kept.
    CHECK(Everything(talk.interview, book, talk.book.sources) == seen.back());
    Interview given = talk.interview;
    talk.interview = Interview(next);
    CHECK(Everything(std::move(given).Answer(Typed(kept.back(), book, line)), book, talk.book.sources) ==
          Everything(next, book, talk.book.sources));
    kept.push_back(next);
    seen.push_back(Everything(next, book, talk.book.sources));
    if (next.text() == kept[kept.size() - 2].text()) continue;  // nothing was answered
    const Interview back = next.Answer({.kind = Reply::Kind::kWord, .word = PlainWord::kBack});
    CHECK(back.text() == kept[kept.size() - 2].text());
    CHECK(back.changes() == kept[kept.size() - 2].changes());
    CHECK(Everything(back, book, talk.book.sources) == seen[seen.size() - 2]);
  }
  for (std::size_t i = 0; i < kept.size(); ++i)
    CHECK(Everything(kept[i], book, talk.book.sources) == seen[i]);
}

TEST_CASE("every kind of prompt is reached, and nonsense puts it again and changes nothing") {
  std::set<PromptKind> reached;
  // The lines are typed one after the other, and at each prompt nonsense first.
  const auto run = [&](Talk&& talk, const std::vector<std::string>& lines) {
    const Rulebook& book = *talk.book.book;
    for (const std::string& line : lines) {
      const Interview& now = talk.interview;
      const Prompt& prompt = now.prompt();
      INFO("at " << static_cast<int>(prompt.kind) << ", before `" << line << "`");
      reached.insert(prompt.kind);
      const int options = static_cast<int>(prompt.options.size());
      for (const Reply& nonsense :
           {Typed(now, book, "999 zebras"), Reply{.chosen = {options}}, Reply{.chosen = {-1}},
            Reply{.unsure = {options}}, Reply{.chosen = {0}, .under = {"nowhere"}},
            Reply{.chosen = {0, 1, 2, 3}}, Reply{.kind = Reply::Kind::kNotUnderstood, .text = "a slip"}}) {
        const bool text = prompt.takes == ReplyForm::kText && nonsense.kind == Reply::Kind::kText;
        const bool some = prompt.takes == ReplyForm::kSome && nonsense.chosen.size() == 4 && options >= 4;
        const bool known = nonsense.under.size() == 1 && prompt.takes != ReplyForm::kFinding &&
                           prompt.takes != ReplyForm::kFindings && options > 0;
        if (text || some || known) continue;
        const Interview again = now.Answer(nonsense);
        CHECK(again.prompt().kind == prompt.kind);
        CHECK(again.prompt().again);
        CHECK(again.prompt().since.size() == 1);
        CHECK(again.prompt().options.size() == prompt.options.size());
        CHECK(again.text() == now.text());
        CHECK(again.changes() == now.changes());
        CHECK(InterviewText(book, talk.book.sources, {}).Put(again.prompt()).Whole().empty());
        CHECK_FALSE(InterviewText(book, talk.book.sources, {}).Happened(again.prompt()).empty());
      }
      talk.Say(line);
    }
    reached.insert(talk.kind());
  };
  run(Talk(WithRattles(LampBook())), {"zebra", "list", "", "it rattles", "1", "3", "2", "", "no-name!", "",
                                      "2", "7", "no", "7 km", "leave"});
  run(Talk(LampBook(), Begun()),
      {"220", "yes",  "also no humming", "1", "2", "1",   "correct", "3", "2",    "7 V", "access",
       "1",   "help", "correct",         "1", "3", "1 2", "2",       "",  "leave"});
  run(Talk(LampBook(), Begun("observed: [{absent: {dark: hall}}]\n"
                             "unknown: [{voltage_low: hall}, {voltage_low: attic}]\n")),
      {"leave"});
  run(Talk(LampBook(), Begun("history: [house_is_old]\nmeasured: [{supply: {room: attic, is: 2 "
                             "V}}]\nobserved: [{absent: {dark: hall}}, "
                             "{present: {thread_seen_broken: attic}}, {absent: {glass_seen_black: attic}}]\n"
                             "unknown: [{voltage_low: hall}, {thread_seen_broken: hall}, "
                             "{glass_seen_black: hall}, fuse_seen_melted]\n")),
      {"1", "yes", "2"});
  ShippedBook shipped;
  const TalkBook units = TalkBookOf(shipped);
  Interview interview = Interview::Begin(TalkHost(units), {});
  reached.insert(interview.prompt().kind);
  interview = interview.Answer(Reply{.chosen = {2}});
  reached.insert(interview.prompt().kind);
  interview =
      Interview::Begin(TalkHost(units), {"", "lepelletier-six-speed", ""}).Answer(Reply{.chosen = {0}});
  reached.insert(interview.prompt().kind);
  for (int kind = 0; kind <= static_cast<int>(PromptKind::kOver); ++kind) {
    INFO(kind);
    CHECK(reached.contains(static_cast<PromptKind>(kind)));
  }
}

TEST_CASE("of variant and version either may be known, both, or neither") {
  ShippedBook shipped;
  const TalkBook units = TalkBookOf(shipped);
  const struct {
    const char *variant, *version, *lines;
  } cases[] = {{"light", "late", "variant: light\nversion: late\n"},
               {"2", "3", "variant: heavy\n"},
               {"3", "early", "version: early\n"},
               {"3", "3", ""}};
  for (const auto& [variant, version, lines] : cases) {
    INFO(variant << ", " << version);
    Interview interview = Interview::Begin(TalkHost(units), {"", "lepelletier-six-speed", "x"});
    CHECK(interview.prompt().kind == PromptKind::kVariant);
    CHECK(interview.prompt().options.size() == 3);
    for (const char* line : {variant, version, "no reverse", "1", "", ""})
      interview = std::move(interview).Answer(Typed(interview, *shipped.book, line));
    REQUIRE(interview.c() != nullptr);
    CHECK(interview.text().find("unit: lepelletier-six-speed\n" + std::string(lines) + "complaint:") !=
          std::string::npos);
  }
}

TEST_CASE("on a shipped unit the interview comes to its end, and its case loads and says what was answered") {
  ShippedBook shipped;
  const TalkBook units = TalkBookOf(shipped);
  const auto host = TalkHost(units);
  // The light one, and one that nobody knows.
  for (const std::string variant : {"1", "3"}) {
    INFO(variant);
    Interview interview = Interview::Begin(host, {"", "simpson-three-speed", "drawn"});
    const auto say = [&](const std::string& line) {
      interview = std::move(interview).Answer(Typed(interview, *shipped.book, line));
    };
    REQUIRE(interview.prompt().kind == PromptKind::kVariant);
    say(variant);
    for (const char* line : {"no reverse", "1", "", ""}) say(line);
    REQUIRE(interview.c() != nullptr);
    CHECK(interview.c()->variant == (variant == "3" ? "" : "light"));
    int answers = 0;
    std::string before;
    while (!interview.IsOver() && answers < 60) {
      const Prompt& prompt = interview.prompt();
      const bool asks = prompt.takes == ReplyForm::kFinding || prompt.takes == ReplyForm::kFindings;
      INFO(InterviewText(*shipped.book, shipped.sources, {}).Put(prompt).Whole());
      REQUIRE((asks || prompt.takes == ReplyForm::kQuantity || prompt.takes == ReplyForm::kOne));
      before = interview.text();
      say(prompt.takes == ReplyForm::kQuantity  ? ""
          : prompt.takes == ReplyForm::kFinding ? "yes"
          : asks                                ? "1"
                                                : "1");
      ++answers;
      Diagnostics diagnostics;
      const auto c = host->read_case("drawn", interview.text(), diagnostics);
      REQUIRE(c);
      CHECK(SameCase(*c, *interview.c()));
      if (asks) CHECK(interview.text() != before);
    }
    CHECK(interview.IsOver());
    CHECK(answers > 2);
  }
}

TEST_CASE("what another hand has left is taken in, and what was answered before it cannot be taken back") {
  Talk talk(LampBook(), Begun());
  talk.Say("2 V");
  const std::string theirs = talk.interview.text() + "observed: [{absent: {dark: hall}}]\n";
  talk.interview = talk.interview.Answer({.kind = Reply::Kind::kCaseText, .text = theirs});
  CHECK(talk.interview.text() == theirs);
  CHECK(talk.interview.c()->observations.size() == 2);
  CHECK(talk.interview.changes().empty());
  const PromptKind kind = talk.kind();
  talk.Say("back");
  CHECK(talk.interview.text() == theirs);
  CHECK(talk.kind() == kind);
  CHECK(talk.Told().starts_with("Nothing of this session is left to take back"));
  // What does not load is refused, and changes nothing.
  const Interview refused = talk.interview.Answer({.kind = Reply::Kind::kCaseText, .text = "case: ["});
  CHECK(refused.text() == theirs);
  CHECK(refused.prompt().again);
  CHECK(std::any_of(refused.prompt().since.begin(), refused.prompt().since.end(),
                    [](const Happening& one) { return std::holds_alternative<Diagnostics>(one); }));
}

TEST_CASE("a complaint is trusted as the words say, and else as the first trust") {
  const auto trust = [](std::string book) {
    Talk talk(book, {"", "", "x"});
    talk.Say("dark attic");
    talk.Say("1");
    talk.Say("");
    return talk.interview.c()->observations[0].trust;
  };
  std::string book = LampBook();
  CHECK(trust(book) == "customer");
  const std::string mark = "complaint: true, ";
  std::string unmarked = book;
  unmarked.erase(unmarked.find(mark), mark.size());
  CHECK(trust(unmarked) == "seen");
  book.insert(book.find("direct: true, "), mark);
  TestBook twice(book);
  CHECK_FALSE(twice.book);
  CHECK_THAT(twice.Errors(), ContainsSubstring("error: only one trust can say how far complaints are trusted "
                                               "[two-trusts]"));
}

TEST_CASE("what begins with a case that does not load fails, and says why") {
  const Talk talk(LampBook(), {"case: x\n", "", "x"});
  CHECK(talk.interview.IsOver());
  CHECK(talk.interview.HasFailed());
  REQUIRE(talk.interview.prompt().since.size() == 1);
  CHECK(std::holds_alternative<Diagnostics>(talk.interview.prompt().since[0]));
}

TEST_CASE("back takes back every step, to the first prompt") {
  Talk talk;
  const auto seen = [&](const Interview& interview) {
    Prompt prompt = interview.prompt();
    prompt.again = false;
    return interview.text() + "\n" +
           InterviewText(*talk.book.book, talk.book.sources, {}).Put(prompt).Whole();
  };
  // Words, an end of the complaints, a name, the history, a number without its unit, answers, what is put
  // off, and what is told aside.
  std::vector<std::string> steps = {seen(talk.interview)};
  for (const char* line : {"the attic stays dark", "1", "", "lamp", "2", "12", "yes", "1", "later",
                           "also it hums", "1", "2", "access", "1"}) {
    INFO(line);
    talk.Say(line);
    REQUIRE_FALSE(talk.interview.prompt().again);
    steps.push_back(seen(talk.interview));
  }
  for (std::size_t i = steps.size() - 1; i-- > 0;) {
    INFO(steps[i]);
    talk.Say("back");
    CHECK(seen(talk.interview) == steps[i]);
  }
  talk.Say("back");
  CHECK(talk.interview.prompt().again);
  CHECK(seen(talk.interview) == steps[0]);
}

TEST_CASE("what somebody types is one reply, whatever the prompt") {
  const TestBook book(LampBook());
  const Words& words = book.book->words;
  const auto prompt = [](ReplyForm takes, std::size_t options, bool may_pass = false) {
    Prompt asked;
    asked.takes = takes;
    asked.may_pass = may_pass;
    asked.options.resize(options);
    return asked;
  };
  Prompt yes_no = prompt(ReplyForm::kOne, 2);
  yes_no.yes_no = true;
  Prompt likeliest = prompt(ReplyForm::kSome, 4, true), named = prompt(ReplyForm::kSome, 3, true);
  likeliest.likeliest = 2;
  named.takes_names = true;
  struct Line {
    std::string typed;
    Prompt prompt;
    Reply::Kind kind;
    std::vector<int> chosen, unsure;
    std::string text;
  };
  const auto numbers = Reply::Kind::kOptions, text = Reply::Kind::kText, none = Reply::Kind::kNotUnderstood,
             word = Reply::Kind::kWord;
  for (const Line& line : {
           Line{"2", prompt(ReplyForm::kOne, 3), numbers, {1}, {}, ""},
           {"2?", prompt(ReplyForm::kOne, 3), none, {}, {}, ""},
           {"4", prompt(ReplyForm::kOne, 3), none, {}, {}, ""},
           {"", prompt(ReplyForm::kOne, 3), none, {}, {}, ""},
           {"", prompt(ReplyForm::kOne, 3, true), numbers, {}, {}, ""},
           {"1, 3", prompt(ReplyForm::kSome, 3), numbers, {0, 2}, {}, ""},
           {"No", prompt(ReplyForm::kFinding, 3), numbers, {1}, {}, ""},
           {"1?", prompt(ReplyForm::kFinding, 3), numbers, {2}, {}, ""},
           {"1 2?", prompt(ReplyForm::kFindings, 5), numbers, {0}, {1}, ""},
           {"none", prompt(ReplyForm::kFindings, 5), numbers, {3}, {}, ""},
           {"0", prompt(ReplyForm::kFindings, 5, true), numbers, {3}, {}, ""},
           {"n", prompt(ReplyForm::kFindings, 5, true), numbers, {3}, {}, ""},
           {"", prompt(ReplyForm::kFindings, 5, true), numbers, {3}, {}, ""},
           {"y", prompt(ReplyForm::kFindings, 5, true), none, {}, {}, "say which of them, by their numbers"},
           {"Y", prompt(ReplyForm::kFinding, 3), numbers, {0}, {}, ""},
           {"n", prompt(ReplyForm::kFinding, 3), numbers, {1}, {}, ""},
           {"", prompt(ReplyForm::kFinding, 3), none, {}, {}, ""},
           {"0", prompt(ReplyForm::kSome, 3, true), numbers, {}, {}, ""},
           {"0", prompt(ReplyForm::kSome, 3), none, {}, {}, ""},
           {"y", prompt(ReplyForm::kOne, 3), none, {}, {}, ""},
           {"y", yes_no, numbers, {0}, {}, ""},
           {"no", yes_no, numbers, {1}, {}, ""},
           {"2-4", prompt(ReplyForm::kSome, 5), numbers, {1, 2, 3}, {}, ""},
           {"1 3-4", prompt(ReplyForm::kSome, 5), numbers, {0, 2, 3}, {}, ""},
           {"4-2", prompt(ReplyForm::kSome, 5), none, {}, {}, ""},
           {"2-9", prompt(ReplyForm::kSome, 5), none, {}, {}, ""},
           {"2-", prompt(ReplyForm::kSome, 5), none, {}, {}, ""},
           {"2-4", prompt(ReplyForm::kOne, 5), none, {}, {}, ""},
           {"y", likeliest, numbers, {0, 1}, {}, ""},
           {"all", named, numbers, {0, 1, 2}, {}, ""},
           {"R", named, text, {}, {}, "R"},
           {"first, third", named, text, {}, {}, "first, third"},
           {"back", named, word, {}, {}, ""},
           {"0", prompt(ReplyForm::kText, 0, true), numbers, {}, {}, ""},
           {"99999999999999999999", prompt(ReplyForm::kFindings, 5), none, {}, {}, ""},
           {"12 V", prompt(ReplyForm::kQuantity, 0), text, {}, {}, "12 V"},
           {"it hums", prompt(ReplyForm::kText, 0), text, {}, {}, "it hums"},
           {"also  it Hums", prompt(ReplyForm::kOne, 3), word, {}, {}, "it Hums"},
           {"REAS", prompt(ReplyForm::kText, 0), word, {}, {}, ""},
           {"l", prompt(ReplyForm::kText, 0), none, {}, {}, "`l` may be later or leave"},
       }) {
    INFO(line.typed);
    const Reply reply = ReadReply(line.typed, line.prompt, words);
    CHECK(reply.kind == line.kind);
    CHECK(reply.chosen == line.chosen);
    CHECK(reply.unsure == line.unsure);
    CHECK(reply.text == line.text);
  }
}

// A fault with a finding that it brings about so often, which so many other faults bring about, too.
std::string SightBook(const std::string& how_often, int others) {
  std::string book =
      "rulebook: sights\nversion: 1\nevents:\n  broken: {type: fault, says: it is broken}\n"
      "  stops: {type: finding, says: it stops}\n  crack: {type: finding, says: a crack is seen}\n";
  std::string chances = "chances:\n  - {id: b, fault: broken, chance: 20%}\n", causes;
  for (int i = 0; i < others; ++i) {
    const std::string other = "other" + std::to_string(i);
    book += "  " + other + ": {type: fault, says: " + other + "}\n";
    chances += "  - {id: c" + other + ", fault: " + other + ", chance: 0.01%}\n";
    causes += ", {cause: " + other + ", how_often: 50%}";
  }
  return book +
         "trust:\n  seen: {noticed: 100%, mistaken: 0.1%, direct: true, says: seen}\n"
         "  told: {noticed: 90%, mistaken: 1%, says: told}\n" +
         chances +
         "charts:\n  - {id: stop, symptom: stops, unexplained: 0.1%, causes: [{cause: broken, how_often: "
         "99%}]}\n"
         "  - {id: cracked, symptom: crack, unexplained: 0.1%, causes: [{cause: broken, how_often: " +
         how_often + "}" + causes + "]}\n";
}

TEST_CASE("a finding settles it where it is a sight of the fault, as confirm.h has it") {
  const auto settled = [](const std::string& how_often, int others) {
    TestBook book(SightBook(how_often, others));
    INFO(book.Errors());
    REQUIRE(book.book);
    const auto c = book.ReadCase(
        "x",
        "case: x\ntitle: Stops\ncomplaint: [{present: stops, trust: told}]\nobserved: [{present: crack}]\n");
    REQUIRE(c);
    const auto diagnosis = Diagnose(*book.book, nullptr, *c, {}, book.diagnostics);
    const RankReport report = MakeRankReport(*diagnosis, nullptr, {});
    REQUIRE(report.suspects[0].chance > 0.95);
    return SeenDirectly(*diagnosis, report);
  };
  CHECK(settled("75%", 0));
  CHECK_FALSE(settled("74%", 0));
  CHECK(settled("95%", 2));
  // What many faults bring about shows none of them, however likely one of them is.
  CHECK_FALSE(settled("95%", 3));
}

// A shipped unit, told in words: what the case then says.
TEST_CASE(
    "several complaints in one line are taken for one key, ranges by name, and what nobody understood is "
    "kept") {
  ShippedBook shipped;
  const TalkBook of = {
      shipped.book, &shipped.sources, {"simpson-three-speed"}, [&](const std::string& name, Diagnostics&) {
        return &shipped.UnitNamed(name);
      }};
  Interview interview = Interview::Begin(TalkHost(of), {"", "simpson-three-speed", ""});
  const auto say = [&](const std::string& line) {
    interview = std::move(interview).Answer(Typed(interview, *shipped.book, line));
  };
  say("1");
  REQUIRE(interview.prompt().kind == PromptKind::kComplaint);
  say("no reverse and third is fine, qwertz the asdfgh");
  REQUIRE(interview.prompt().kind == PromptKind::kMatches);
  CHECK(interview.prompt().likeliest == 2);
  say("y");
  say("slips");
  say("1");
  REQUIRE(interview.prompt().kind == PromptKind::kMeant);
  for (const char* nonsense : {"sideways", "9-1", "1-"}) {
    say(nonsense);
    CHECK(interview.prompt().again);
  }
  say("second, manual low");
  CHECK(interview.prompt().kind == PromptKind::kComplaint);
  say("flares");
  say("1");
  say("2-3");  // a shift, not the second and the third of the list
  say("binds on the shift");
  say("1");
  say("2-3");
  say("whines in one gear");
  say("1");
  say("1-2");
  say("");
  say("told");
  REQUIRE(interview.c() != nullptr);
  CHECK(interview.c()->note == "Also said: qwertz the asdfgh");
  std::vector<std::string> complaints;
  for (const Observation& o : interview.c()->observations)
    complaints.push_back((o.present ? "" : "not ") + StatementId(o.event));
  CHECK(complaints == std::vector<std::string>{"no_drive:R", "not drives_badly:D3", "slips:D2", "slips:M1",
                                               "flare:D2:D3", "shift_binds:D2:D3", "whines_in_range:D1",
                                               "whines_in_range:D2"});
}

}  // namespace
}  // namespace gearwhy
