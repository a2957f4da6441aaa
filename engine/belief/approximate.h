// Approximate: weighed samples of a network too wide to be solved exactly.
//
// In: a network with reports.
// Out: draws of all its events, each with a weight, and the reports' log-probability with its error.
//
// Method: importance sampling. The proposal is a second network made from the first: as long as its tree is
// too wide, the weakest link among those that meet in the largest clique is thinned, that is struck and its
// average contribution added to the effect's leak. Draws from the proposal's exact posterior weigh true /
// proposal chance, a product over thinned events only. Where a thinned cause should explain its effect the
// proposal draws it too seldom and its weights would be few and large, so such causes are tilted: a made-up
// report raises their odds to what the struck links' shares of the effects' leaks suggest, corrected from
// pilot draws, and the weight divides by it again. Any proposal of this kind allows whatever the network
// allows, so the estimates are consistent whatever was thinned or tilted; a poor proposal mostly shows in
// the error. Events on which no report depends are drawn forward from their causes. The error is the usual
// 95% half-width of a weighed mean plus the largest weight's share of all, which keeps it honest when few
// draws carry most weight.
// Limits: a combination of causes that no draw reached cannot show in the error. Thinned to half its width
// a network of real size now and then has one; thinned to two thirds we have not seen it.
// Cost: about (rounds of thinning) * ordering + samples * events.
// Source: Rubinstein 1981 (importance sampling), Fung & Chang 1989, Shachter & Peot 1989 (likelihood
// weighting) - from memory; thinning and tilting: own derivation.
#pragma once

#include <vector>

#include "engine/belief/chances.h"
#include "engine/belief/network.h"

namespace gearwhy {

struct Samples {
  std::vector<std::vector<char>> present;  // [event][draw]
  std::vector<double> weight;  // by draw; they add up to 1, or are all 0 when no draw agrees with the reports
  double logp_reports = 0;
  double logp_error = 0;  // 95% half-width
  double largest_weight = 0;
};
Samples DrawSamples(const Network& network, const BeliefLimits& limits);

// P(event present | its causes as drawn).
double PresentGivenCauses(const Network& network, int event, const Samples& samples, size_t draw);

// All events' chances, from samples. Not `possible`: the reports cannot all be. Possible, and yet of a
// `logp_reports` of -infinity: no draw agrees with them, and nothing is known.
Chances ApproximateChances(const Network& network, const BeliefLimits& limits);

}  // namespace gearwhy
