#include "engine/explain/choice_fits.h"

#include <algorithm>

#include "engine/model/policy.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// The measurement that says how thick a washer or pin is.
constexpr const char* kThickness = "plate_thickness";

Thickness Read(const JudgedReading& reading) {
  const Measured& measured = reading.Decides().measured;
  return {measured.value, kGuardBand * measured.u};
}

// Of a thicker one that makes it looser: the same with sizes below zero, of which the larger one is tighter.
RingToTake Choose(const Choice& choice, double fitted, const ChoiceFit& fit) {
  PackToFit pack;
  pack.rings = choice.sizes;
  pack.ring_tolerance = choice.tolerance;
  pack.least = fit.least;
  pack.most = fit.most;
  if (!choice.looser) return CorrectRing(pack, fitted, fit.measured);
  std::reverse(pack.rings.begin(), pack.rings.end());
  for (double& size : pack.rings) size = -size;
  RingToTake take = CorrectRing(pack, -fitted, fit.measured);
  take.ideal = -take.ideal;
  take.best.ring = -take.best.ring;
  if (take.as_near) take.as_near->ring = -take.as_near->ring;
  return take;
}

std::optional<ChoiceFit> FitOf(const Diagnosis& diagnosis, const CaseFacts& facts, const Choice& choice) {
  const Rulebook& book = *diagnosis.book;
  const auto measurement = book.measurements.find(choice.sets);
  if (measurement == book.measurements.end()) return std::nullopt;
  ChoiceFit fit;
  fit.part = choice.part;
  fit.sets = Statement{choice.sets, {}};
  for (const Slot& slot : book.words.Find(choice.sets)->slots) {
    if (slot.name == "element") fit.element = diagnosis.unit->FindPart(choice.part)->element;
    fit.sets.slots.push_back(slot.dimension ? Value(0.0) : Value(fit.element));
  }
  const KnownLimits limits = LimitsOf(book, measurement->second, fit.sets, *diagnosis.c, facts.store);
  if (!limits.least || !limits.most) return std::nullopt;
  fit.least = *limits.least;
  fit.most = *limits.most;
  bool as_built = true;
  const JudgedReading* clearance = FindReading(facts.readings, fit.sets, true);
  if (clearance == nullptr) {
    as_built = false;
    clearance = FindReading(facts.readings, fit.sets, false);
  }
  if (clearance == nullptr) return std::nullopt;
  fit.measured = Read(*clearance);
  fit.by_size = !choice.sizes.empty();
  if (!fit.by_size) {
    fit.turns = TurnScrew(fit.measured, choice.per_turn, fit.least, fit.most);
    return fit;
  }
  if (!book.measurements.contains(kThickness)) return fit;
  Statement thickness{kThickness, {}};
  for (const Slot& slot : book.words.Find(kThickness)->slots)
    thickness.slots.push_back(slot.dimension ? Value(0.0) : Value(choice.part));
  if (const JudgedReading* fitted = FindReading(facts.readings, thickness, as_built)) {
    fit.fitted = fitted->Decides().measured.value;
    fit.take = Choose(choice, *fit.fitted, fit);
  }
  return fit;
}

}  // namespace

std::vector<ChoiceFit> ChoiceFitsOf(const Diagnosis& diagnosis) {
  std::vector<ChoiceFit> fits;
  if (diagnosis.unit == nullptr) return fits;
  for (const Choice& choice : diagnosis.unit->choices) {
    for (const int world : diagnosis.likeliest) {
      auto fit = FitOf(diagnosis, diagnosis.worlds[At(world)], choice);
      if (!fit) continue;
      fit->only_in = diagnosis.VariantsOf({world});
      fits.push_back(std::move(*fit));
    }
  }
  return fits;
}

}  // namespace gearwhy
