// Diagnose: one case on its transmission, from facts to chances, in the order it is walked.
//
//   transmission + facts of the case -> what follows from them -> chances moved, reports put -> chances
//
// In: a transmission, or a mixture of those that it may be, and a case of it, validated. Out: everything that a
// report may ask, unrendered.
// Method. The facts of the case stand on those of the transmission, and rules add what follows (chain.h). Where
// they touch none that the network's events and links hang on, the network is the transmission's, with the
// chances that they move; else, and where a rule of the transmission no longer holds, facts and network are
// made from the beginning. On a mixture that is done for each, and the networks are joined into one with a
// world for each (join_worlds.h): every chance is then the sum over them, and reasons come from the likeliest
// in which they hold.
// Threads: a diagnosis that was made is not changed any more; any number may ask it at once.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/belief/chances.h"
#include "engine/ground/transmission.h"
#include "engine/model/case.h"
#include "engine/text/at.h"

namespace gearwhy {

struct Diagnosis {
  std::vector<CaseFacts> worlds;  // by transmission of the mixture
  std::vector<int> likeliest;     // their indices, the likeliest first
  const Rulebook* book = nullptr;
  const Unit* unit = nullptr;  // may be null
  const Case* c = nullptr;
  GroundNetwork ground;
  Chances chances;
  // How many reports of something absent are taken for certain, because the case was too wide
  // (firm_reports.h), and about how far that moves any chance.
  int firm = 0;
  double firm_error = 0;
  // Reports that are not reckoned with, because even so it was too wide (left_out.h); ascending.
  std::vector<int> left_out;
  BeliefLimits limits;  // that the chances were worked out within

  // The variants of these of `worlds`, in the order of the unit; none where they are all of them.
  std::vector<std::string> VariantsOf(std::vector<int> some) const;
  // What is known of which it is: a name of the unit, of a variant, a version or both; empty where nothing
  // is.
  std::string KnownVariant() const;
  const CaseFacts& Likeliest() const { return worlds[At(likeliest.front())]; }
};

// `c` must outlive the result, and so must the book and the unit. Nothing is returned when there was an
// error.
std::optional<Diagnosis> Diagnose(const Mixture& mixture, const Case& c, const BeliefLimits& limits,
                                  Diagnostics& diagnostics);

// The first part of it: the case's network, without chances.
std::optional<Diagnosis> GroundCase(const Mixture& mixture, const Case& c, Diagnostics& diagnostics);

// With transmissions that are made for this case alone.
std::optional<Diagnosis> Diagnose(const Rulebook& book, const UnitKnowledge* unit, const Case& c,
                                  const BeliefLimits& limits, Diagnostics& diagnostics);

// The reports of looks that found nothing and overlook little (kOverlooksUpTo), of events that nobody else
// has reported; but not where how much they overlook may hang on an answer to come.
std::vector<int> GoodLooks(const Diagnosis& diagnosis);

// How far each report moves the chances of these events, or of all. Only reasons ask for it.
Influence InfluenceOf(const Diagnosis& diagnosis, const std::vector<int>& events = {});

// The same diagnosis, with the chance of an event that no report bears on worked out as well.
Diagnosis WithChanceOf(Diagnosis diagnosis, int event);

// The chances of these events with nothing observed, but with the history; in their order.
std::vector<double> ChancesBefore(const Diagnosis& diagnosis, const std::vector<int>& events,
                                  const BeliefLimits& limits);

}  // namespace gearwhy
