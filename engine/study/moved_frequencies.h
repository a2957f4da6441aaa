// Moved frequencies: a ground network as it would be if the rulebook's writers had judged each frequency one
// step otherwise.
//
// In: a network with where everything in it comes from, the scale of `how_often`, a draw's number. Out: a
// network of the same shape.
//
// Each frequency that the rulebook states, `how_often` of a line, `unexplained` of a chart, `chance` of a
// fault, goes one step up or one step down, either as likely, or any way by up to one step; all that comes
// from one line of the rulebook goes the same way. Factors on odds stay.
//
// A step. The words of the scale stand at whole numbers on a line of log-odds, log(p / (1 - p)), and between
// two of them the line is straight. One step is one along it: a word goes to its neighbour, and a percentage
// between two words to the place just as far between the next two. Beyond either end the line goes on with
// its last slope. 0% and 100% are no judgements and stay.
//
// The same draw moves the same lines the same way in every network of a rulebook: all lines are drawn in the
// order of the rulebook.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <random>
#include <vector>

#include "engine/ground/ground.h"
#include "engine/model/rulebook.h"

namespace gearwhy {

class FrequencyScale {
 public:
  explicit FrequencyScale(const Words& words) {
    for (const auto& [name, p] : words.how_often) {
      if (p > 0 && p < 1) log_odds_.push_back(LogOdds(p));
    }
    std::sort(log_odds_.begin(), log_odds_.end());
    log_odds_.erase(std::unique(log_odds_.begin(), log_odds_.end()), log_odds_.end());
  }

  // `steps` along the scale, up or down. A scale of fewer than two words has no steps.
  double Move(double p, double steps) const {
    if (!(p > 0 && p < 1) || log_odds_.size() < 2) return p;
    return Chance(At(PlaceOf(LogOdds(p)) + steps));
  }

 private:
  static double LogOdds(double p) { return std::log(p / (1 - p)); }
  static double Chance(double log_odds) { return 1 / (1 + std::exp(-log_odds)); }
  // The stretch of the line between two words, by the lower; the outermost go on for ever.
  std::size_t Clamp(double i) const {
    return static_cast<std::size_t>(std::clamp(i, 0.0, static_cast<double>(log_odds_.size() - 2)));
  }
  double PlaceOf(double log_odds) const {
    const auto above = std::upper_bound(log_odds_.begin(), log_odds_.end(), log_odds);
    const std::size_t i = Clamp(static_cast<double>(above - log_odds_.begin()) - 1);
    return static_cast<double>(i) + (log_odds - log_odds_[i]) / (log_odds_[i + 1] - log_odds_[i]);
  }
  double At(double place) const {
    const std::size_t i = Clamp(std::floor(place));
    return log_odds_[i] + (place - static_cast<double>(i)) * (log_odds_[i + 1] - log_odds_[i]);
  }

  std::vector<double> log_odds_;  // of the words, ascending
};

enum class HowFar { kOneStep, kUpToOneStep };

// One draw: which way each line of the rulebook goes.
class MovedFrequencies {
 public:
  // The book must outlive this.
  MovedFrequencies(const Rulebook& book, std::uint64_t draw, HowFar how_far = HowFar::kOneStep)
      : scale_(book.words) {
    std::mt19937_64 random(draw);
    const auto some_way = [&]() -> double {
      if (how_far == HowFar::kOneStep) return (random() >> 63) != 0 ? 1 : -1;
      return static_cast<double>(random() >> 11) * 0x1.0p-52 - 1;
    };
    for (const Chance& chance : book.chances) step_[&chance] = some_way();
    for (const Chart& chart : book.charts) {
      step_[&chart] = some_way();
      for (const CauseLine& line : chart.causes) step_[&line] = some_way();
    }
  }

  double ChanceOf(const Chance& chance) const { return scale_.Move(chance.p_chance, step_.at(&chance)); }
  double UnexplainedOf(const Chart& chart) const {
    return scale_.Move(chart.p_unexplained.value_or(0), step_.at(&chart));
  }
  double HowOften(const CauseLine& line) const { return scale_.Move(line.p_how_often, step_.at(&line)); }

  Network Apply(const GroundNetwork& ground) const {
    Network network = ground.network;
    for (std::size_t i = 0; i < network.events.size(); ++i) {
      const GroundEvent& source = ground.events[i];
      Event& event = network.events[i];
      if (source.chance != nullptr) {
        const double p = ChanceOf(*source.chance);
        double odds = p / (1 - p);
        const std::vector<AppliedFactor>& factors = ground.FactorsOf(static_cast<int>(i));
        for (const AppliedFactor& applied : factors) odds *= applied.factor->odds;
        event.p_unexplained = factors.empty() ? p : odds / (1 + odds);
      } else if (source.chart != nullptr) {
        event.p_unexplained = UnexplainedOf(*source.chart);
      }
      for (double& p : event.in_world) {
        if (source.chance != nullptr)
          p = Shifted(p, source.chance->p_chance, ChanceOf(*source.chance));
        else if (source.chart != nullptr)
          p = Shifted(p, source.chart->p_unexplained.value_or(0), UnexplainedOf(*source.chart));
      }
      for (std::size_t k = 0; k < event.causes.size(); ++k) {
        const CauseLine& line = *source.links[k].line;
        event.causes[k].p_how_often = HowOften(line);
        for (double& p : event.causes[k].in_world) p = Shifted(p, line.p_how_often, HowOften(line));
      }
    }
    return network;
  }

 private:
  // A chance in one world, moved on the line of log-odds as the stated one is.
  static double Shifted(double p, double from, double to) {
    if (!(p > 0 && p < 1 && from > 0 && from < 1 && to > 0 && to < 1)) return p;
    const double odds = p / (1 - p) * (to / (1 - to)) / (from / (1 - from));
    return odds / (1 + odds);
  }

  FrequencyScale scale_;
  std::map<const void*, double> step_;  // looked up only
};

}  // namespace gearwhy
