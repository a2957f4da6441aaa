// The door that other programs use: the same answers as the program gives, errors as messages, and any number
// of threads.
#include "engine/api/gearwhy.h"

#include <thread>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy::api {
namespace {

const Book& Shipped() {
  static const Book book = [] {
    Messages messages;
    auto opened = Book::Open({GEARWHY_SOURCE_DIR "/rules"}, &messages);
    REQUIRE(opened);
    CHECK(messages.empty());
    return *opened;
  }();
  return book;
}

std::string CaseText(const std::string& name) {
  return ReadAll(std::string(GEARWHY_SOURCE_DIR "/cases/") + name + ".yaml");
}

TEST_CASE("a case comes to the same through the door as the program says") {
  const auto c = Shipped().ReadCase(CaseText("no-reverse-when-hot"), "no-reverse-when-hot");
  REQUIRE(c);
  CHECK(c->name() == "no-reverse-when-hot");
  CHECK(c->unit() == "ravigneaux-simple-five-speed");
  CHECK(c->variant() == "light");
  const auto diagnosis = Shipped().Diagnose(*c);
  REQUIRE(diagnosis);
  const Ranking ranking = diagnosis->Rank();
  REQUIRE(!ranking.suspects.empty());
  CHECK(ranking.exact);
  CHECK(ranking.suspects.front().fault == "lip_cracked:E.piston");
  CHECK(ranking.suspects.front().part == "E.piston");
  CHECK(ranking.suspects.front().says == "the rubber lip of the piston of brake E is cracked");
  CHECK(ranking.suspects.front().needs_unit_out);
  CHECK(ranking.where.front().state == "cannot_hold:E");
  CHECK(ranking.checks.size() == 3);
  REQUIRE(ranking.outcome);
  CHECK(ranking.outcome->nothing_to_blame + ranking.outcome->repair_with_unit_in +
            ranking.outcome->repair_with_unit_out ==
        Approx(1));
  const auto program =
      RunCommand("cd '" GEARWHY_SOURCE_DIR "' && '" GEARWHY_PROGRAM "' next cases/no-reverse-when-hot.yaml");
  CHECK(diagnosis->NextText() == program.out);
}

TEST_CASE("where the case does not say its variant, the page and the ranking say which it may be") {
  const std::string told =
      "case: x\ntitle: Slips in reverse\nunit: simpson-three-speed\ncomplaint: [{present: {slips: R}}]\n";
  const auto ranking_of = [&](const std::string& lines, std::string* text) {
    const auto c = Shipped().ReadCase(told + lines, "x");
    REQUIRE(c);
    const auto diagnosis = Shipped().Diagnose(*c);
    REQUIRE(diagnosis);
    *text = diagnosis->RankText() + diagnosis->RankJson();
    return diagnosis->Rank();
  };
  std::string text;
  // Within the limits of the light one, and below those of the heavy one.
  const Ranking open = ranking_of("measured: [{line_pressure: {range: R, is: 15 bar}}]\n", &text);
  REQUIRE(open.variants.size() == 2);
  CHECK(open.variants[0].name == "light");
  CHECK(open.variants[0].says == "light duty");
  CHECK(open.variants[0].chance > 0.55);
  CHECK(open.variants[0].chance + open.variants[1].chance == Approx(1));
  CHECK_THAT(text, ContainsSubstring("Variant not known: light duty "));
  CHECK_THAT(text, ContainsSubstring("\"variants\":[{\"variant\":\"light\""));
  CHECK(ranking_of("variant: heavy\n", &text).variants.empty());
  CHECK_THAT(text, !ContainsSubstring("Variant not known"));
}

TEST_CASE("what is not wanted is not worked out") {
  const auto c = Shipped().ReadCase(CaseText("no-reverse-when-hot"), "");
  REQUIRE(c);
  Wanted wanted;
  wanted.suspects = 2;
  wanted.reasons = false;
  wanted.checks = 0;
  const Ranking ranking = Shipped().Diagnose(*c)->Rank(wanted);
  CHECK(ranking.suspects.size() == 2);
  CHECK(ranking.suspects.front().before == 0);
  CHECK(ranking.checks.empty());
  CHECK_FALSE(ranking.outcome);
}

TEST_CASE("reasons are asked for by the id of a fault or state, and an unknown one is told from the others") {
  const auto diagnosis = Shipped().Diagnose(*Shipped().ReadCase(CaseText("no-reverse-when-hot"), ""));
  REQUIRE(diagnosis);
  CHECK_THAT(*diagnosis->WhyText("lip_cracked:E.piston"),
             ContainsSubstring("Why the rubber lip of the piston of brake E is cracked"));
  CHECK(diagnosis->WhyJson("cannot_hold:B"));
  CHECK_FALSE(diagnosis->WhyText("lip_cracked:Z.piston"));
}

TEST_CASE("what is wrong comes as messages with their places, and nothing is returned") {
  Messages messages;
  CHECK_FALSE(
      Shipped().ReadCase("case: x\ntitle: t\ncomplaint: [{present: {no_drve: R}}]\n", "x", &messages));
  REQUIRE(messages.size() == 1);
  CHECK(messages[0].is_error);
  CHECK(messages[0].line == 3);
  CHECK_THAT(messages[0].text, ContainsSubstring("did you mean `no_drive`"));
  CHECK_THAT(messages[0].shown, ContainsSubstring("x:3:"));
  messages.clear();
  CHECK_FALSE(Shipped().ReadCase("case: x\ntitle: t\nunit: no-such\n", "", &messages));
  CHECK_FALSE(messages.empty());
  messages.clear();
  CHECK_FALSE(Book::Open({"/nowhere/at/all"}, &messages));
  CHECK(messages.size() == 1);
  CHECK_FALSE(Book::Open({}));
}

TEST_CASE("a folder may be named by any way that leads to it") {
  for (const char* folder :
       {GEARWHY_SOURCE_DIR "/rules/", GEARWHY_SOURCE_DIR "//rules", GEARWHY_SOURCE_DIR "/cli/..//rules//"}) {
    INFO(folder);
    Messages messages;
    CHECK(Book::Open({folder}, &messages));
    CHECK(messages.empty());
  }
}

TEST_CASE("a diagnosis outlives the book and the case that it was made of") {
  std::optional<Diagnosis> diagnosis;
  {
    const auto book = Book::Open({GEARWHY_SOURCE_DIR "/rules"});
    REQUIRE(book);
    diagnosis = book->Diagnose(*book->ReadCase(CaseText("no-reverse-when-hot"), ""));
  }
  REQUIRE(diagnosis);
  CHECK(diagnosis->Rank().suspects.front().fault == "lip_cracked:E.piston");
}

TEST_CASE("threads that share a book, and one diagnosis, all read the same") {
  const auto book = Book::Open({GEARWHY_SOURCE_DIR "/rules"});  // with no transmission made yet
  REQUIRE(book);
  const std::vector<std::string> names = {"no-reverse-when-hot", "came-back-vague", "fifth-only-after-rain"};
  const auto shared = Shipped().Diagnose(*Shipped().ReadCase(CaseText(names[0]), ""));
  std::vector<std::string> answers(6), same(6);
  std::vector<std::thread> threads;
  for (std::size_t t = 0; t < answers.size(); ++t) {
    threads.emplace_back([&, t] {
      const auto c = book->ReadCase(CaseText(names[t % names.size()]), "");
      answers[t] = book->Diagnose(*c)->RankJson();
      same[t] = shared->RankJson();
    });
  }
  for (std::thread& thread : threads) thread.join();
  for (std::size_t t = 0; t < answers.size(); ++t) {
    CHECK(answers[t] == answers[t % names.size()]);
    CHECK(same[t] == same[0]);
    CHECK_FALSE(answers[t].empty());
  }
}

TEST_CASE("a program of ten lines ranks a case") {
  const auto run = RunCommand("'" GEARWHY_STRANGER "' '" GEARWHY_SOURCE_DIR "/rules' '" GEARWHY_SOURCE_DIR
                              "/cases/no-reverse-when-hot.yaml'");
  CHECK(run.exit_code == 0);
  CHECK_THAT(run.out, ContainsSubstring("the rubber lip of the piston of brake E is cracked\n"));
}

TEST_CASE("an interview comes to the same through the door as `gearwhy ask`, and writes the same case") {
  const TemporaryFolder folder;
  const std::vector<std::string> lines = {"1",         "3", "3", "no reverse",  "1",   "",
                                          "came-back", "",  "2", "no idea yet", "why", "1"};
  std::string typed;
  for (const std::string& line : lines) typed += line + "\\n";
  const auto program =
      RunCommand("cd '" + folder.path().string() + "' && printf '" + typed + "' | '" GEARWHY_PROGRAM "' ask");
  const auto begun = Shipped().Begin({});
  REQUIRE(begun);
  Interview talk = *begun;
  std::string shown = talk.page();
  for (const std::string& line : lines) {
    talk = talk.Answer(line);
    shown += "> " + line + "\n" + talk.page();
  }
  CHECK_THAT(program.out, Catch::Matchers::StartsWith(shown));
  REQUIRE(!talk.case_text().empty());
  CHECK(talk.case_text() == ReadAll(folder.Path("came-back.yaml")));
  CHECK(Shipped().ReadCase(talk.case_text(), "came-back"));
}

TEST_CASE("to take an answer back is to keep the interview before it") {
  const auto begun =
      Shipped().Begin({.case_text = CaseText("no-reverse-when-hot"), .name = "no-reverse-when-hot"});
  REQUIRE(begun);
  REQUIRE(!begun->options().empty());
  const std::string before = begun->page(), text = begun->case_text();
  const Interview answered = begun->Answer("1");
  CHECK(answered.case_text() != text);
  CHECK(begun->page() == before);
  CHECK(begun->case_text() == text);
  CHECK(begun->Answer("1").case_text() == answered.case_text());
  CHECK(begun->Answer("1").page() == answered.page());
  CHECK(begun->Answer("leave").IsOver());
}

TEST_CASE("no interview is begun with what is no case") {
  Messages messages;
  CHECK_FALSE(Shipped().Begin({.case_text = "case: x\ntitle: t\nunit: no-such\n", .name = "x"}, &messages));
  REQUIRE(!messages.empty());
  CHECK(messages[0].line == 3);
}

}  // namespace
}  // namespace gearwhy::api
