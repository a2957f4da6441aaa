#include "engine/explain/pack_fits.h"

#include <algorithm>
#include <optional>

#include "engine/model/policy.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

// The measurements that say what goes into a pack, by their names in the words.
constexpr const char* kThickness = "plate_thickness";
constexpr const char* kClearance = "pack_clearance";

// What is measured of a part or an element, its number 0.
Statement Measurable(const Rulebook& book, const char* fact, const std::string& of) {
  Statement statement{fact, {}};
  for (const Slot& slot : book.words.Find(fact)->slots)
    statement.slots.push_back(slot.dimension ? Value(0.0) : Value(of));
  return statement;
}

Thickness Read(const Measured& measured) { return {measured.value, kGuardBand * measured.u}; }

// One pack on one transmission.
class Fitter {
 public:
  Fitter(const Diagnosis& diagnosis, const CaseFacts& facts, const Stack& stack)
      : book_(*diagnosis.book), unit_(*diagnosis.unit), facts_(facts), stack_(stack), c_(*diagnosis.c) {}

  std::optional<PackFit> Fit() {
    const auto clearance = book_.measurements.find(kClearance);
    if (clearance == book_.measurements.end() || book_.words.Find(kClearance)->SlotIndex("element") < 0)
      return std::nullopt;
    const KnownLimits limits =
        LimitsOf(book_, clearance->second, Measurable(book_, kClearance, stack_.element), c_, facts_.store);
    if (!limits.least || !limits.most) return std::nullopt;
    PackFit fit;
    fit.element = stack_.element;
    fit.ring = stack_.ring;
    fit.least = *limits.least;
    fit.most = *limits.most;
    const PackToFit pack = Pack(fit);
    fit.take = ChooseRing(pack);
    const JudgedReading* ring = AsBuilt(kThickness, stack_.ring);
    const JudgedReading* built = AsBuilt(kClearance, stack_.element);
    if (ring != nullptr && built != nullptr) {
      fit.take = CorrectRing(pack, ring->Decides().measured.value, Read(built->Decides().measured));
      fit.corrected = true;
    }
    fit.measured |= ring != nullptr || built != nullptr;
    if (!fit.take.best.serves) Explain(fit);
    return fit;
  }

 private:
  const JudgedReading* AsBuilt(const char* fact, const std::string& of) const {
    if (!book_.measurements.contains(fact)) return nullptr;
    return FindReading(facts_.readings, Measurable(book_, fact, of), true);
  }

  PackToFit Pack(PackFit& fit) const {
    const std::string& variant = facts_.transmission->variant;
    PackToFit pack;
    pack.depth = {*ByVariant(stack_.depth, variant), stack_.tolerance};
    for (const Stack::Plates& plates : stack_.plates) {
      const JudgedReading* reading = AsBuilt(kThickness, plates.part);
      fit.measured |= reading != nullptr;
      const int count = unit_.FindPart(plates.part)->CountIn(variant).value_or(1);
      for (int i = 0; i < count; ++i)
        pack.plates.push_back(PlateOf(plates, reading, static_cast<std::size_t>(i)));
    }
    pack.rings = stack_.sizes;
    pack.ring_tolerance = stack_.ring_tolerance;
    pack.least = fit.least;
    pack.most = fit.most;
    return pack;
  }

  // Of plates that are not told apart each is as the reading says; else each place is one of them.
  static Thickness PlateOf(const Stack::Plates& plates, const JudgedReading* reading, std::size_t number) {
    if (reading == nullptr) return {plates.each, plates.tolerance};
    if (reading->places.size() == 1 && reading->places.front().place.empty())
      return Read(reading->places.front().measured);
    if (number < reading->places.size()) return Read(reading->places[number].measured);
    return {plates.each, plates.tolerance};
  }

  void Explain(PackFit& fit) const {
    const gearwhy::Fit& best = fit.take.best;
    const auto would_serve = [&](double clearance) {
      return clearance >= fit.least - best.doubt && clearance <= fit.most + best.doubt;
    };
    for (const Stack::Plates& plates : stack_.plates) {
      if (would_serve(best.clearance - plates.each)) fit.one_missing.push_back(plates.part);
      if (would_serve(best.clearance + plates.each)) fit.one_too_many.push_back(plates.part);
    }
  }

  const Rulebook& book_;
  const Unit& unit_;
  const CaseFacts& facts_;
  const Stack& stack_;
  const Case& c_;
};

}  // namespace

std::vector<PackFit> PackFitsOf(const Diagnosis& diagnosis) {
  std::vector<PackFit> fits;
  if (diagnosis.unit == nullptr) return fits;
  for (const Stack& stack : diagnosis.unit->stacks) {
    for (const int world : diagnosis.likeliest) {
      auto fit = Fitter(diagnosis, diagnosis.worlds[At(world)], stack).Fit();
      if (!fit) continue;
      fit->only_in = diagnosis.VariantsOf({world});
      fits.push_back(std::move(*fit));
    }
  }
  return fits;
}

}  // namespace gearwhy
