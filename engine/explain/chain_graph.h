// Chain graph: the reasoning behind one suspect as boxes and arrows, from what was seen to the part.
//
// In: a why report, which must outlive it. Out: boxes, each in a column: 0 is what was seen, the last is the suspect, what
// happens inside stands between; and the arrows between them. Layout and words are the renderers'.
// Method. A box stands as many columns before the suspect as the longest chain of steps from the suspect to it
// takes, so that every arrow runs towards what was seen. What speaks for the suspect without a chain, and
// what speaks against it, is tied to the suspect itself.
// Cost: the steps, times their number. Errors: none.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/explain/why_report.h"

namespace gearwhy {

struct ChainBox {
  enum class Kind { kSeen, kInside, kSuspect };
  Kind kind = Kind::kInside;
  std::string id;
  Statement statement;
  int column = 0;
  double chance = 0;                     // not a number where it was not worked out
  std::optional<EvidenceItem> evidence;  // of what was seen
};

struct ChainArrow {
  enum class Kind {
    kBringsAbout,  // a cause and its effect
    kGoesWith,     // speaks for the suspect without following from it
    kSpeaksAgainst,
  };
  Kind kind = Kind::kBringsAbout;
  std::size_t from = 0, to = 0;  // boxes: the cause, or the suspect; the effect, or what was seen
  double how_often = 1;          // kBringsAbout
};

struct ChainGraph {
  std::vector<ChainBox> boxes;
  std::vector<ChainArrow> arrows;
  int columns = 2;
  bool suspect_is_of_part = false;
  std::size_t for_left_out = 0, against_left_out = 0;  // reports that are not in it
};

struct ChainGraphOptions {
  std::size_t most_for = 4, most_against = 2;  // the strongest reports of each
};
ChainGraph MakeChainGraph(const WhyReport& why, const ChainGraphOptions& options = {});

}  // namespace gearwhy
