// The reasoning as a picture: columns from what was seen to the part, and the same for Graphviz.
//
// Method: arrows that pass a column get a place of their own in it, so that none runs through a box; the
// places of a column are put in the order of the mean of what they are tied to, from either side in turn (K.
// Sugiyama et al., Methods for visual understanding of hierarchical system structures, 1981, from memory).
// Reports that are tied to the suspect alone stand under all that, each with a way of its own.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "engine/render/html.h"
#include "engine/render/pictures.h"
#include "engine/render/pieces.h"
#include "engine/render/svg.h"
#include "engine/text/at.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

constexpr double kWidth = 720, kGap = 40, kBetween = 6, kPad = 4.5, kTop = 19;
constexpr double kNarrowest = 104;  // a column
constexpr double kSeenWider = 1.5;  // the first column, in columns
constexpr double kFont = 10, kSmall = 9;
constexpr double kPassing = 6;  // the height of an arrow that passes a column
constexpr int kSweeps = 6;

// What a box says: a sentence, and under it what it weighs.
struct BoxText {
  std::string says, weighs;
};

BoxText TextOf(const ChainBox& box, const Speaker& speaker) {
  if (box.evidence)
    return {
        AsSentence(EvidenceText(*box.evidence, speaker)),
        fmt::format("{}: {}", Capitalised(speaker.SayTrust(box.evidence->origin)), MovesText(*box.evidence))};
  return {AsSentence(speaker.Say(box.statement)), std::isnan(box.chance) ? "" : ShowChance(box.chance)};
}

// A box or the place of a passing arrow, while it is laid out.
struct Place {
  int column = 0;
  std::size_t box = 0;  // npos: of a passing arrow
  std::vector<std::string> says, weighs;
  double height = kPassing, y = 0;  // y: of its top
  std::vector<std::size_t> left, right;
};
constexpr std::size_t kNoBox = static_cast<std::size_t>(-1);

class ChainLayout {
 public:
  ChainLayout(const ChainGraph& graph, const Speaker& speaker) : graph_(graph), speaker_(speaker) {
    // What was seen takes more words.
    const double columns = graph.columns;
    column_width_ = std::max(kNarrowest, (kWidth - kGap * (columns - 1)) / (columns - 1 + kSeenWider));
    width_ = column_width_ * (columns - 1 + kSeenWider) + kGap * (columns - 1);
    for (std::size_t i = 0; i < graph_.boxes.size(); ++i) {
      if (!IsFlat(i)) AddBox(i);
    }
    for (const ChainArrow& arrow : graph_.arrows) {
      if (arrow.kind == ChainArrow::Kind::kBringsAbout) AddArrow(arrow);
    }
    Order();
    Stack();
  }

  std::string Draw() {
    Svg svg("chain", "From what was seen to the part", Description());
    Heads(svg);
    for (std::size_t i = 0; i < ways_.size(); ++i) DrawWay(i, svg);
    const double bottom = Flats(svg);
    for (const Place& place : places_) {
      if (place.box != kNoBox) DrawBox(place, X(place.column), Wide(place.column), svg);
    }
    return svg.Finish(width_, bottom + 2);
  }

 private:
  // Tied to the suspect alone, without a cause and effect between.
  bool IsFlat(std::size_t box) const {
    return graph_.boxes[box].kind == ChainBox::Kind::kSeen &&
           std::none_of(graph_.arrows.begin(), graph_.arrows.end(), [&](const ChainArrow& arrow) {
             return arrow.kind == ChainArrow::Kind::kBringsAbout && arrow.to == box;
           });
  }

  double Wide(int column) const { return column == 0 ? kSeenWider * column_width_ : column_width_; }
  double X(int column) const {
    return column == 0 ? 0 : Wide(0) + kGap + (column - 1) * (column_width_ + kGap);
  }

  void Measure(Place& place, double width) const {
    const BoxText text = TextOf(graph_.boxes[place.box], speaker_);
    place.says = WrapToWidth(text.says, width - 2 * kPad - 2, kFont,
                             graph_.boxes[place.box].kind == ChainBox::Kind::kSuspect);
    if (!text.weighs.empty()) place.weighs = WrapToWidth(text.weighs, width - 2 * kPad - 2, kSmall);
    place.height = LineHeight(kFont) * static_cast<double>(place.says.size()) +
                   LineHeight(kSmall) * static_cast<double>(place.weighs.size()) + 2 * kPad - 2;
  }

  void AddBox(std::size_t box) {
    Place place;
    place.column = graph_.boxes[box].column;
    place.box = box;
    Measure(place, Wide(place.column));
    place_of_[box] = places_.size();
    places_.push_back(std::move(place));
  }

  // From the effect on the left to the cause on the right, with a place in each column between.
  void AddArrow(const ChainArrow& arrow) {
    std::vector<std::size_t> way = {place_of_.at(arrow.to)};
    for (int column = graph_.boxes[arrow.to].column + 1; column < graph_.boxes[arrow.from].column; ++column) {
      Place place;
      place.column = column;
      place.box = kNoBox;
      way.push_back(places_.size());
      places_.push_back(std::move(place));
    }
    way.push_back(place_of_.at(arrow.from));
    for (std::size_t i = 0; i + 1 < way.size(); ++i) {
      places_[way[i]].right.push_back(way[i + 1]);
      places_[way[i + 1]].left.push_back(way[i]);
    }
    ways_.push_back({way, arrow.how_often});
  }

  void Order() {
    columns_.resize(At(graph_.columns));
    for (std::size_t i = 0; i < places_.size(); ++i) columns_[At(places_[i].column)].push_back(i);
    for (int sweep = 0; sweep < kSweeps; ++sweep) {
      const bool from_left = sweep % 2 == 0;
      for (std::size_t k = 0; k < columns_.size(); ++k)
        OrderColumn(columns_[from_left ? k : columns_.size() - 1 - k], from_left);
    }
  }

  void OrderColumn(std::vector<std::size_t>& column, bool from_left) {
    std::map<std::size_t, double> mean;
    for (std::size_t at = 0; at < column.size(); ++at) {
      const Place& place = places_[column[at]];
      const std::vector<std::size_t>& others = from_left ? place.left : place.right;
      double sum = 0;
      for (const std::size_t other : others) sum += RankOf(other);
      mean[column[at]] = others.empty() ? RankOf(column[at]) : sum / static_cast<double>(others.size());
    }
    std::stable_sort(column.begin(), column.end(),
                     [&](std::size_t a, std::size_t b) { return mean.at(a) < mean.at(b); });
  }

  // Where it stands in its column, as a share of it.
  double RankOf(std::size_t place) const {
    const auto& column = columns_[At(places_[place].column)];
    const auto at = std::find(column.begin(), column.end(), place) - column.begin();
    return (static_cast<double>(at) + 0.5) / static_cast<double>(column.size());
  }

  void Stack() {
    std::vector<double> heights;
    for (const auto& column : columns_) {
      double height = 0;
      for (const std::size_t i : column) height += places_[i].height + kBetween;
      heights.push_back(height - kBetween);
    }
    tallest_ = *std::max_element(heights.begin(), heights.end());
    for (std::size_t k = 0; k < columns_.size(); ++k) {
      double y = kTop + (tallest_ - heights[k]) / 2;
      for (const std::size_t i : columns_[k]) {
        places_[i].y = y;
        y += places_[i].height + kBetween;
      }
    }
  }

  void Heads(Svg& svg) const {
    svg.Text(0, 11, "Seen", kFont, Anchor::kStart, "strong");
    if (graph_.columns > 2) svg.Text(X(1), 11, "Inside", kFont, Anchor::kStart, "strong");
    svg.Text(X(graph_.columns - 1), 11, graph_.suspect_is_of_part ? "Part" : "Cause", kFont, Anchor::kStart,
             "strong");
  }

  void DrawWay(std::size_t number, Svg& svg) const {
    const auto& [way, how_often] = ways_[number];
    const double stroke = 0.8 + 3.6 * how_often;
    const auto middle = [&](std::size_t i) { return places_[i].y + places_[i].height / 2; };
    const double head = 4 + stroke;
    double x = X(places_[way[0]].column) + Wide(places_[way[0]].column), y = EndOf(way[0], way[1], false);
    std::string d = fmt::format("M{} {}", Coordinate(x + head), Coordinate(y));
    const double tip_x = x, tip_y = y;
    x += head;
    for (std::size_t i = 1; i < way.size(); ++i) {
      const double to_x = X(places_[way[i]].column);
      const double to_y = i + 1 == way.size() ? EndOf(way[i], way[i - 1], true) : middle(way[i]);
      const double half = (x + to_x) / 2;
      d += fmt::format("C{} {} {} {} {} {}", Coordinate(half), Coordinate(y), Coordinate(half),
                       Coordinate(to_y), Coordinate(to_x), Coordinate(to_y));
      if (i + 1 < way.size()) d += fmt::format("H{}", Coordinate(to_x + column_width_));
      x = to_x + column_width_;
      y = to_y;
    }
    svg.Path(d, "tie", stroke);
    svg.Path(
        fmt::format("M{} {}L{} {}V{}Z", Coordinate(tip_x), Coordinate(tip_y), Coordinate(tip_x + head + 1),
                    Coordinate(tip_y - head / 2), Coordinate(tip_y + head / 2)),
        "solid");
  }

  // Where an arrow meets a box: those of one side are spread over it in the order of their other ends.
  double EndOf(std::size_t place, std::size_t other, bool on_left) const {
    const Place& box = places_[place];
    std::vector<std::size_t> all = on_left ? box.left : box.right;
    std::stable_sort(all.begin(), all.end(),
                     [&](std::size_t a, std::size_t b) { return places_[a].y < places_[b].y; });
    const auto at = std::find(all.begin(), all.end(), other) - all.begin();
    return box.y + box.height * (static_cast<double>(at) + 1) / (static_cast<double>(all.size()) + 1);
  }

  void DrawBox(const Place& place, double x, double width, Svg& svg, std::string_view more = "") const {
    const bool suspect = graph_.boxes[place.box].kind == ChainBox::Kind::kSuspect;
    svg.Rect(x + 1, place.y, width - 2, place.height, suspect ? "box suspect" : fmt::format("box{}", more),
             suspect ? 0 : 4);
    double y = place.y + kPad + kFont * 0.8;
    svg.Lines(x + kPad, y, place.says, kFont, Anchor::kStart, suspect ? "strong" : "");
    y += LineHeight(kFont) * static_cast<double>(place.says.size());
    svg.Lines(x + kPad, y, place.weighs, kSmall, Anchor::kStart, "soft");
  }

  // Those that speak for the suspect first. Returns where the picture ends.
  double Flats(Svg& svg) const {
    std::vector<const ChainArrow*> flats;
    for (const ChainArrow::Kind kind : {ChainArrow::Kind::kGoesWith, ChainArrow::Kind::kSpeaksAgainst}) {
      for (const ChainArrow& arrow : graph_.arrows) {
        if (arrow.kind == kind && IsFlat(arrow.to)) flats.push_back(&arrow);
      }
    }
    double y = kTop + tallest_ + (flats.empty() ? 0 : kBetween);
    const int last = graph_.columns - 1;
    const Place& suspect = places_[place_of_.at(flats.empty() ? 0 : flats.front()->from)];
    const double bottom = suspect.y + suspect.height;
    for (std::size_t i = 0; i < flats.size(); ++i) {
      const bool against = flats[i]->kind == ChainArrow::Kind::kSpeaksAgainst;
      Place place;
      place.box = flats[i]->to;
      const double width = X(last) - kGap;
      Measure(place, width);
      place.y = y;
      DrawBox(place, 0, width, svg, against ? " against" : " goes");
      const double x =
          X(last) + column_width_ * (static_cast<double>(i) + 1) / (static_cast<double>(flats.size()) + 1);
      const double middle = y + place.height / 2;
      svg.Path(fmt::format("M{} {}H{}V{}", Coordinate(width), Coordinate(middle), Coordinate(x),
                           Coordinate(bottom + 2)),
               against ? "tie against" : "tie goes", 1.3);
      if (against) svg.Line(x - 6, bottom + 4, x + 6, bottom + 4, "bar");
      y += place.height + kBetween;
    }
    return std::max(y - kBetween, kTop + tallest_);
  }

  std::string Description() const {
    std::string text;
    for (const ChainArrow& arrow : graph_.arrows) {
      const std::string effect = TextOf(graph_.boxes[arrow.to], speaker_).says;
      const std::string cause = AsSentence(speaker_.Say(graph_.boxes[arrow.from].statement));
      if (!text.empty()) text += " ";
      switch (arrow.kind) {
        case ChainArrow::Kind::kBringsAbout:
          text +=
              fmt::format("{} This brings it about {} times: {}", cause, ShowChance(arrow.how_often), effect);
          break;
        case ChainArrow::Kind::kGoesWith:
          text += fmt::format("For the suspect speaks: {}", effect);
          break;
        case ChainArrow::Kind::kSpeaksAgainst:
          text += fmt::format("Against the suspect speaks: {}", effect);
          break;
      }
    }
    return text;
  }

  struct Way {
    std::vector<std::size_t> places;  // from the effect to the cause
    double how_often = 1;
  };

  const ChainGraph& graph_;
  const Speaker& speaker_;
  double column_width_ = 0, width_ = 0, tallest_ = 0;
  std::vector<Place> places_;
  std::map<std::size_t, std::size_t> place_of_;  // by box
  std::vector<std::vector<std::size_t>> columns_;
  std::vector<Way> ways_;
};

bool Has(const ChainGraph& graph, ChainArrow::Kind kind) {
  return std::any_of(graph.arrows.begin(), graph.arrows.end(),
                     [&](const ChainArrow& arrow) { return arrow.kind == kind; });
}

std::string Legend(const ChainGraph& graph) {
  std::string text;
  if (Has(graph, ChainArrow::Kind::kBringsAbout))
    text +=
        "An arrow points from a cause to what it brings about, and is the thicker the more often it does. ";
  if (Has(graph, ChainArrow::Kind::kGoesWith))
    text += "Dotted: speaks for the part without following from it. ";
  if (Has(graph, ChainArrow::Kind::kSpeaksAgainst)) text += "Dashed, with a bar: speaks against it. ";
  const auto more = [&](std::size_t count, const char* what) {
    if (count > 0)
      text += fmt::format("{} more {} {} it. ", count, count == 1 ? "report speaks" : "reports speak", what);
  };
  more(graph.for_left_out, "for");
  more(graph.against_left_out, "against");
  if (!text.empty()) text.pop_back();
  return text;
}

// A text of DOT: in double quotes, in which only these have a meaning. Backslashes would begin escapes.
std::string DotText(std::string_view text) {
  std::string out = "\"";
  for (const char c : SafeLine(text)) {
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + "\"";
}

std::string DotLabel(const ChainBox& box, const Speaker& speaker) {
  const BoxText text = TextOf(box, speaker);
  std::string label;
  for (const std::string& line : WrapToWidth(text.says, 170, kFont))
    label += DotText(line).substr(1, DotText(line).size() - 2) + "\\n";
  const std::string weighs = DotText(text.weighs);
  return "\"" + label + weighs.substr(1);
}

}  // namespace

std::string ChainPicture(const ChainGraph& graph, const Speaker& speaker) {
  if (graph.arrows.empty()) return "";
  return fmt::format("<figure>\n{}<figcaption>{}</figcaption>\n</figure>\n",
                     Scrolling("Chain of reasons", ChainLayout(graph, speaker).Draw()),
                     EscapeHtml(Legend(graph)));
}

std::string ChainDot(const ChainGraph& graph, std::string_view title, const Speaker& speaker) {
  std::string dot =
      fmt::format("digraph reasons {{\n  rankdir=RL;\n  label={};\n  node [shape=box];\n", DotText(title));
  for (std::size_t i = 0; i < graph.boxes.size(); ++i) {
    const ChainBox& box = graph.boxes[i];
    const char* look = box.kind == ChainBox::Kind::kSuspect ? ", penwidth=2.5"
                       : box.kind == ChainBox::Kind::kSeen  ? ", style=rounded"
                                                            : "";
    dot += fmt::format("  b{} [label={}{}];\n", i, DotLabel(box, speaker), look);
  }
  for (const ChainArrow& arrow : graph.arrows) {
    switch (arrow.kind) {
      case ChainArrow::Kind::kBringsAbout:
        dot += fmt::format("  b{} -> b{} [penwidth={:.1f}, label={}];\n", arrow.from, arrow.to,
                           0.8 + 3.6 * arrow.how_often, DotText(ShowChance(arrow.how_often)));
        break;
      case ChainArrow::Kind::kGoesWith:
        dot += fmt::format("  b{} -> b{} [style=dotted, dir=none];\n", arrow.from, arrow.to);
        break;
      case ChainArrow::Kind::kSpeaksAgainst:
        dot += fmt::format("  b{} -> b{} [style=dashed, arrowhead=none, arrowtail=tee, dir=both];\n",
                           arrow.from, arrow.to);
        break;
    }
  }
  return dot + "}\n";
}

}  // namespace gearwhy
