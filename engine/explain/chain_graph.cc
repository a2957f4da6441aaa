#include "engine/explain/chain_graph.h"

#include <algorithm>
#include <map>

namespace gearwhy {
namespace {

class Builder {
 public:
  explicit Builder(const WhyReport& why) {
    suspect_ =
        Add({ChainBox::Kind::kSuspect, why.suspect.fault, why.suspect.statement, 0, why.suspect.chance, {}});
  }

  void AddChain(const ReasonChain& chain) {
    if (chain.steps.empty()) {
      // Without a step the suspect itself was reported, or the report goes with it.
      AddReport(chain.evidence, chain.direct ? ChainArrow::Kind::kBringsAbout : ChainArrow::Kind::kGoesWith);
      return;
    }
    std::size_t cause = suspect_;
    for (const ChainStep& step : chain.steps) {
      const bool last = &step == &chain.steps.back();
      const std::size_t effect =
          last
              ? Seen(chain.evidence)
              : Add({ChainBox::Kind::kInside, step.effect, step.effect_statement, 0, step.chance_effect, {}});
      Tie({ChainArrow::Kind::kBringsAbout, cause, effect, step.how_often});
      cause = effect;
    }
  }

  void AddReport(const EvidenceItem& evidence, ChainArrow::Kind kind) {
    Tie({kind, suspect_, Seen(evidence), 1});
  }

  // Columns from the longest ways; what was seen stands in the first.
  ChainGraph Finish() {
    std::vector<int> behind(graph_.boxes.size(), 0);  // steps from the suspect
    for (std::size_t round = 0; round < graph_.boxes.size(); ++round) {
      for (const ChainArrow& arrow : graph_.arrows)
        behind[arrow.to] = std::max(behind[arrow.to], std::min(behind[arrow.from] + 1, Most()));
    }
    const int last = *std::max_element(behind.begin(), behind.end());
    for (std::size_t i = 0; i < graph_.boxes.size(); ++i) {
      ChainBox& box = graph_.boxes[i];
      box.column = box.kind == ChainBox::Kind::kSeen ? 0 : last - behind[i];
    }
    graph_.columns = last + 1;
    return std::move(graph_);
  }

 private:
  int Most() const { return static_cast<int>(graph_.boxes.size()); }

  // One box of each kind an event: what was seen of an event stands beside what is thought of it.
  std::size_t Add(ChainBox box) {
    const std::string key = (box.kind == ChainBox::Kind::kSeen ? "seen " : "") + box.id;
    const auto [at, is_new] = numbers_.emplace(key, graph_.boxes.size());
    if (is_new) graph_.boxes.push_back(std::move(box));
    return at->second;
  }

  std::size_t Seen(const EvidenceItem& evidence) {
    return Add({ChainBox::Kind::kSeen, evidence.event + (evidence.present ? "" : " absent"),
                evidence.statement, 0, 0, evidence});
  }

  void Tie(const ChainArrow& arrow) {
    const bool known = std::any_of(graph_.arrows.begin(), graph_.arrows.end(), [&](const ChainArrow& other) {
      return other.kind == arrow.kind && other.from == arrow.from && other.to == arrow.to;
    });
    if (!known) graph_.arrows.push_back(arrow);
  }

  ChainGraph graph_;
  std::map<std::string, std::size_t> numbers_;
  std::size_t suspect_ = 0;
};

}  // namespace

ChainGraph MakeChainGraph(const WhyReport& why, const ChainGraphOptions& options) {
  Builder builder(why);
  const std::size_t speak_for = std::min(options.most_for, why.speaks_for.size());
  const std::size_t against = std::min(options.most_against, why.speaks_against.size());
  for (std::size_t i = 0; i < speak_for; ++i) builder.AddChain(why.speaks_for[i]);
  for (std::size_t i = 0; i < against; ++i)
    builder.AddReport(why.speaks_against[i], ChainArrow::Kind::kSpeaksAgainst);
  ChainGraph graph = builder.Finish();
  graph.suspect_is_of_part = !why.suspect.part.empty();
  graph.for_left_out = why.speaks_for.size() - speak_for;
  graph.against_left_out = why.speaks_against.size() - against;
  return graph;
}

}  // namespace gearwhy
