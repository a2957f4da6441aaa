// Dark house: a small world of our own invention, for tests of reasons: facts that follow from facts, a chain
// of two charts, a history that moves a chance, a report that a rule makes.
#pragma once

#include <optional>
#include <string>

#include "engine/ground/diagnose.h"
#include "tests/support/book.h"
#include "tests/support/catch.h"

namespace gearwhy {

inline constexpr const char* kDarkHouse = R"(
kinds:
  room: {values: {hall: the hall, attic: the attic}}
facts:
  house_is_old: {says: the house is old}
  old_wires: {slots: {room: room}, says: "the wires of {room} are old"}
  garden: {slots: {room: room}, says: "{room} leads to a garden"}
  supply: {slots: {room: room, is: voltage}, says: "the socket in {room} gives {is}"}
events:
  wire_broken: {type: fault, slots: {room: room}, says: "the wire to {room} is broken"}
  shade_black: {type: fault, slots: {room: room}, says: "the shade in {room} is black with soot"}
  fuse_blown: {type: fault, says: the fuse is blown}
  roots: {type: fault, slots: {room: room}, says: "roots have grown into {room}"}
  no_current: {type: state, slots: {room: room}, where: true, says: "no current reaches {room}"}
  dark: {type: finding, slots: {room: room}, says: "there is no light in {room}", says_absent: "there is light in {room}"}
  voltage_low: {type: finding, slots: {room: room}, says: "the voltage in {room} is low"}
trust:
  certain: {noticed: 100%, mistaken: 0%, says: certain}
circumstances:
  wet: {says: in the rain, opposite: dry}
  dry: {says: on a dry day, opposite: wet}
access:
  standing: {says: standing below, minutes: 0}
rules:
  - id: old-houses
    when: [house_is_old, {room: $r}]
    then: [{old_wires: $r}]
    because: Nobody has drawn new ones to {r}.
  - id: supply-too-low
    when: [{supply: {room: $r, is: $v}}, $v < 200 V]
    then: [{present: {voltage_low: $r}}]
chances:
  - id: wires-break
    fault: {wire_broken: $r}
    when: [{room: $r}]
    chance: 2%
    because: Mice live in {r}.
    factors: [{id: brittle, when: [{old_wires: $r}], odds: 3, because: "Old wires of {r} are brittle."}]
  - {id: shades-blacken, fault: {shade_black: $r}, when: [{room: $r}], chance: 0.1%}
  - {id: fuses-blow, fault: fuse_blown, chance: 3%}
  - {id: roots-grow, fault: {roots: $r}, when: [{room: $r}, {garden: $r}], chance: 1%}
charts:
  - id: current
    symptom: {no_current: $r}
    when: [{room: $r}]
    unexplained: 0%
    causes:
      - {cause: {wire_broken: $r}, how_often: 90%, when: [{old_wires: $r}], because: "Old wires of {r} part at both ends."}
      - {cause: fuse_blown, how_often: 100%}
  - id: light
    symptom: {dark: $r}
    when: [{room: $r}]
    unexplained: 0%
    causes:
      - {cause: {no_current: $r}, how_often: 80%}
      - {cause: {shade_black: $r}, how_often: 50%}
  - {id: voltage, symptom: {voltage_low: $r}, when: [{room: $r}], unexplained: 10%, causes: [{cause: {no_current: $r}, how_often: 70%}]}
checks:
  - {id: look-into, says: "looking into {r}", tells: [{dark: $r}], when: [{room: $r}], minutes: 1, access: standing, trust: certain, how: "Go to {r}."}
)";

// The chances of the house, by hand: of the old wires odds of 0.02 / 0.98, three times as high.
inline constexpr double kWire = 3.0 / 52, kShade = 0.001, kFuse = 0.03;
// No light, given what is broken: noisy OR over both charts.
constexpr double NoLight(bool wire, bool shade, bool fuse) {
  const double p_current = (1 - 0.9 * wire) * (1 - 1.0 * fuse);
  return 1 - (1 - 0.8 * (1 - p_current)) * (1 - 0.5 * shade);
}

// A case of the house with its diagnosis. `lines` follow the title.
struct DarkHouse {
  TestBook test{kDarkHouse};
  std::optional<Case> c;
  std::optional<Diagnosis> diagnosis;

  explicit DarkHouse(const std::string& lines) {
    INFO(test.Errors());
    REQUIRE(test.book);
    c = test.ReadCase("house", "case: house\ntitle: Dark\n" + lines);
    INFO(test.Errors());
    REQUIRE(c);
    diagnosis = Diagnose(*test.book, nullptr, *c, {}, test.diagnostics);
    INFO(test.Errors());
    REQUIRE(diagnosis);
  }
  int Event(const std::string& id) const {
    const auto& events = diagnosis->ground.network.events;
    for (std::size_t i = 0; i < events.size(); ++i) {
      if (events[i].id == id) return static_cast<int>(i);
    }
    FAIL("no event " + id);
    return -1;
  }
};

}  // namespace gearwhy
