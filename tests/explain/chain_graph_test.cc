// The reasoning as a graph: columns, arrows, and what is left out.
#include "engine/explain/chain_graph.h"

#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

ReasonChain ChainOf(const std::vector<std::string>& events, bool present = true) {
  ReasonChain chain;
  chain.evidence.event = events.back();
  chain.evidence.present = present;
  for (std::size_t i = 0; i + 1 < events.size(); ++i) {
    ChainStep step;
    step.cause = events[i];
    step.effect = events[i + 1];
    step.how_often = 0.5;
    chain.steps.push_back(step);
  }
  return chain;
}

TEST_CASE("every arrow runs towards what was seen, which stands in the first column") {
  WhyReport why;
  why.suspect.fault = "f";
  why.speaks_for = {ChainOf({"f", "a", "b", "seen"}), ChainOf({"f", "b", "other"}), ChainOf({"f", "near"})};
  ReasonChain aside;  // does not follow from it
  aside.direct = false;
  aside.evidence.event = "aside";
  why.speaks_for.push_back(aside);
  EvidenceItem against;
  against.event = "good";
  against.present = false;
  why.speaks_against = {against, against, against};
  const ChainGraph graph = MakeChainGraph(why, {3, 1});
  CHECK(graph.columns == 4);
  CHECK(graph.for_left_out == 1);
  CHECK(graph.against_left_out == 2);
  CHECK(graph.boxes.size() == 7);  // f, a, b, seen, other, near, good
  for (const ChainBox& box : graph.boxes) {
    INFO(box.id);
    if (box.kind == ChainBox::Kind::kSeen) CHECK(box.column == 0);
    if (box.kind == ChainBox::Kind::kSuspect) CHECK(box.column == 3);
    if (box.id == "b") CHECK(box.column == 1);
    if (box.id == "a") CHECK(box.column == 2);
  }
  CHECK(graph.arrows.size() == 7);  // a step that two chains share is one arrow
  for (const ChainArrow& arrow : graph.arrows)
    CHECK(graph.boxes[arrow.to].column < graph.boxes[arrow.from].column);
}

TEST_CASE("the graph of a shipped case has the steps of its reasoning") {
  ShippedBook shipped;
  const auto opened = DiagnoseFile(shipped, GEARWHY_SOURCE_DIR "/cases/no-reverse-when-hot.yaml");
  const auto event = opened->diagnosis->ground.Find({"lip_cracked", {std::string("E.piston")}});
  REQUIRE(event);
  const WhyReport why = MakeWhyReport(*opened->diagnosis, *event, {});
  const ChainGraph graph = MakeChainGraph(why, {100, 100});
  CHECK(graph.for_left_out == 0);
  for (const ReasonChain& chain : why.speaks_for) {
    for (const ChainStep& step : chain.steps) {
      INFO(step.cause << " -> " << step.effect);
      CHECK(std::any_of(graph.arrows.begin(), graph.arrows.end(), [&](const ChainArrow& arrow) {
        return graph.boxes[arrow.from].id == step.cause && graph.boxes[arrow.to].id == step.effect &&
               arrow.how_often == step.how_often;
      }));
    }
  }
}

}  // namespace
}  // namespace gearwhy
