// What can come of what, by hand.
#include "engine/explain/follows.h"

#include "tests/support/catch.h"

namespace gearwhy {
namespace {

TEST_CASE("an event follows from what brings it about, directly or through others, often enough") {
  Network network;
  network.events = {{"cut seal", EventType::kFault, 0.1, {}},
                    {"no pressure", EventType::kState, 0, {{0, 0.5}}},
                    {"burnt", EventType::kFault, 0.01, {{1, 0.4}}},
                    {"smell", EventType::kFinding, 0, {{2, 0.2}}}};
  Follows follows(network);
  CHECK(follows.From(0, 1));
  CHECK(follows.From(0, 2));   // 0.5 × 0.4
  CHECK(!follows.From(0, 3));  // 0.5 × 0.4 × 0.2 is too seldom to be spoken of
  CHECK(follows.From(2, 3));
  CHECK(!follows.From(2, 0));
  CHECK(!follows.From(2, 2));
}

TEST_CASE("the best of several ways counts") {
  Network network;
  network.events = {{"a", EventType::kFault, 0.1, {}},
                    {"seldom", EventType::kState, 0, {{0, 0.06}}},
                    {"often", EventType::kState, 0, {{0, 0.9}}},
                    {"end", EventType::kFinding, 0, {{1, 0.5}, {2, 0.5}}}};
  Follows follows(network);
  CHECK(follows.From(0, 3));
}

}  // namespace
}  // namespace gearwhy
