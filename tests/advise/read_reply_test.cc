// Units and variants by words that only one of them is described with.
#include "engine/advise/read_reply.h"

#include "tests/support/catch.h"
#include "tests/support/shipped.h"

namespace gearwhy {
namespace {

Prompt Units() {
  Prompt prompt{PromptKind::kUnit, ReplyForm::kOne};
  prompt.options = {{"lepelletier-six-speed", "Six-speed, simple set with a Ravigneaux set behind it"},
                    {"ravigneaux-four-speed", "Four-speed, one Ravigneaux set"},
                    {"simpson-three-speed", "Three-speed, Simpson set without electronics"},
                    {"none"}};
  return prompt;
}

TEST_CASE("a unit is found by its number in the list, or by words that it alone is described with") {
  const ShippedBook shipped;
  const struct {
    const char* typed;
    std::vector<int> chosen;  // none: not understood
  } kCases[] = {
      {"2", {1}},       {"six speeds", {0}},  {"four-speed", {1}},
      {"Simpson", {2}}, {"the 3-speed", {2}}, {"Ravigneaux", {}},
      {"speed", {}},    {"seven speeds", {}}, {"without electronics", {2}},

  };
  for (const auto& one : kCases) {
    INFO(one.typed);
    const Reply reply = ReadReply(one.typed, Units(), shipped.book->words);
    CHECK(reply.chosen == one.chosen);
    CHECK((reply.kind == Reply::Kind::kNotUnderstood) == one.chosen.empty());
  }
}

}  // namespace
}  // namespace gearwhy
