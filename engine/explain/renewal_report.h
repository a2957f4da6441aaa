// Renewal report: which of the parts that may be used again are better renewed while they lie open.
//
// In: a diagnosis, and the decisions about its parts. Out: every part that lies open, that they leave or want looked
// at, and of whose kind the rulebook says how often a unit comes out again for it (`again`); each weighed
// (bench/renewing.h), what renewing saves most first; and how often it comes back for any of them.
// Method. A part that has run long is `long_in_use` by the facts; one that is `as_good_as_new` is taken as renewed,
// and any other as found sound, also where it must be looked at first. Coming back takes the minutes of
// `come_back` and of the whole way to where the part is renewed. Money counts where the rulebook, or a shop's
// own, has `prices` with one for the part, else minutes alone. Parts that `work` renewed are left out. Where
// the variant is not known, facts and access are those of the likeliest.
// Cost: the parts, times the lines of `repairs`. Errors: none.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/bench/renewing.h"
#include "engine/explain/part_decisions.h"
#include "engine/ground/diagnose.h"

namespace gearwhy {

enum class PartAge { kSound, kLongUsed, kAsNew };
std::string_view PartAgeName(PartAge age);  // "sound", "long_used", "as_new"

struct PartRenewal {
  std::string part;
  const Again* again = nullptr;
  bool look_first = false;  // the decisions want it looked at or measured
  PartAge age = PartAge::kSound;
  bool priced = false;               // by money; else by minutes
  std::vector<std::string> only_in;  // the variants, where it may be others
  double p_as_is = 0, p_renewed = 0;
  double minutes = 0, come_back_minutes = 0;
  RenewalCosts costs;  // in money or in minutes
  Renewal weighed;
};

struct RenewalReport {
  bool known = false;  // the rulebook has lines of `again`
  bool prices_stated = false;
  std::vector<PartRenewal> parts;
  // That it comes back for any of them: all used again; those worth it renewed. Parts that the likeliest
  // variant has not are left out.
  double p_used = 0, p_as_advised = 0;
};

RenewalReport MakeRenewalReport(const Diagnosis& diagnosis, const std::vector<PartDecision>& decisions);

}  // namespace gearwhy
