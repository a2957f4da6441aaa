// Words: the vocabulary. Kinds of thing, facts, events, and the scales in which people speak of chances.
//
// In: the `kinds`, `facts`, `events`, `how_often`, `trust`, `circumstances`, `access`, `cautions` and `sayings`
// of all rulebook files.
// Out: immutable, validated. The engine itself knows no trade word; all it knows stands here.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/model/quantity.h"
#include "engine/model/statement.h"

namespace gearwhy {

// A kind of thing that a slot can hold. Closed kinds list their values; an open kind (`from: unit`) takes
// them from the unit.
struct Kind {
  std::string name;
  bool open = false;
  std::vector<std::string> values;          // closed: in the order of the file
  std::map<std::string, std::string> says;  // spoken form of a value; a value without one is said as it is
  Place place;
};

struct Slot {
  std::string name;
  std::string kind;  // a Kind's name; empty when the slot holds a quantity
  std::optional<Dimension> dimension;
  std::optional<Value> otherwise;  // the declared default, if any
  QuantityRange range = {};        // what a quantity can be: its dimension's range, or a narrower one
};

enum class WordType { kFact, kFault, kState, kFinding };
std::string_view WordTypeName(WordType type);  // "fact", "fault", "state", "finding"

// What a finding presupposes: that another finding is so, or is not so. Its variables are the finding's own
// slots, by name. Where it does not hold, nobody can tell the finding: it is unknown, and is not asked for.
struct Need {
  bool present = false;
  Pattern pattern;  // a finding
  Place place;
};

// A fact or an event: what it is called, its slots, and the sentence a reader sees.
struct Word {
  std::string name;
  WordType type = WordType::kFact;
  std::vector<Slot> slots;
  std::string says;         // "{element} cannot hold": slot names in braces
  std::string says_absent;  // when it is not so; empty: built from `says`
  std::string says_short;   // a few words for lists; empty: `says`
  // A state that names the place of the trouble ("where"), not yet the part ("what").
  bool where = false;
  // Faults: the access its repair needs, where that does not follow from the kind of part it is a fault of
  // (Rulebook::repairs); why it does not. What a fault needs here says GroundEvent::repair.
  std::string repair;
  std::string repair_because;
  // Why it stands here although nothing shipped uses it; empty: it should be used (study/gaps.h).
  std::string gap_because;
  std::vector<Need> needs;              // findings
  std::vector<std::string> ask;         // findings: words a customer would use, for matching free text
  std::vector<std::string> ask_absent;  // the same when it is not so
  bool history = false;                 // facts: part of the vehicle's history, which the interview asks for
  // Facts: a case may state it only once for the same slots that are no quantities. Two pressures for one
  // range contradict each other; with `once: false` they are two readings. The very same is never stated
  // twice.
  bool once = true;
  // Facts: where it holds, a word is said about every part, not about the suspected ones alone.
  bool every_part = false;
  // Facts of work that was done: the part in its slot `part` is new with it.
  bool renews = false;
  Place place;

  bool IsEvent() const { return type != WordType::kFact; }
  // Whether it is the walk over the kind of its own name, `element: $e`.
  bool IsWalk() const { return slots.size() == 1 && slots[0].name == "is" && slots[0].kind == name; }
  // Index of a slot or -1.
  int SlotIndex(std::string_view slot) const;
};
// The part that a statement of this word speaks of; null where it speaks of none.
const std::string* PartOf(const Word& word, const Statement& statement);

// How far an observation is trusted, in shares that hold for rare and for common events alike.
struct Trust {
  std::string name;
  double p_noticed = 1;   // of the events that are there, how many are reported
  double p_mistaken = 0;  // of the reports of something present, how many are of what is not there
  bool direct = false;    // the part itself is looked at or measured
  std::string says;
  Place place;
  bool of_complaints = false;  // how far a complaint is trusted; the default's trust where none is marked
  bool of_teardown = false;    // the same of what a case says was found
};

// How it is while something is looked at: hot, cold, lightly loaded. Some troubles come under one of these
// only, and are missed under its opposite.
struct Circumstance {
  std::string name;
  std::string says;      // "cold"
  std::string how;       // how to bring it about, a sentence; may be empty
  std::string opposite;  // a circumstance, whose opposite is this one
  // The finding that tells that a trouble comes so. It has at most one slot, which names what is in trouble.
  // Empty: no trouble is known that comes so only, and the opposite hides nothing.
  std::string shown_by;
  // Of a hundred troubles that are known to come so, and of a hundred of which nobody has said how they come:
  // how many do not show under the opposite.
  double p_missed = 0, p_missed_unasked = 0;
  Place place;
};

// A place in the tree of access: each step is reached from another and costs minutes once.
struct Access {
  std::string name;
  std::string says;
  std::string from;  // empty for the root
  double minutes = 0;
  bool unit_out = false;              // this step takes the unit out of the vehicle
  bool not_running = false;           // with this open the vehicle can neither run nor drive
  std::vector<std::string> cautions;  // of this step, besides those of the check
  // Steps of other branches that are done with this one, as the pan is off once the unit is opened.
  std::vector<std::string> opens;
  Place place;
};

struct Caution {
  std::string name;
  std::string says;
  Place place;
};

// How people say things, for matching what they type. Texts of one or several words, as they would be typed.
struct Sayings {
  // A thing of which a fact is so is also called so: what drives backward is "backwards".
  struct Called {
    std::string fact;  // with one slot, which holds a name
    std::vector<std::string> names;
    Place place;
  };
  std::vector<std::vector<std::string>> alike;  // each: texts that mean the same
  std::vector<std::string> small;               // words that tell next to nothing
  std::vector<std::string> denials;             // "not", "won't"
  std::vector<std::string> joins;               // words between two things that are told: "and"
  std::vector<std::string> counted;             // what is counted: a number before it names nothing
  std::vector<Called> called;
};

struct Words {
  std::map<std::string, Kind, std::less<>> kinds;
  std::map<std::string, Word, std::less<>> words;  // facts and events together; names are unique over both
  std::map<std::string, double, std::less<>> how_often;  // "usually" -> 0.8
  std::vector<Trust> trusts;                             // in the order of the file; the first is the default
  std::map<std::string, Circumstance, std::less<>> circumstances;
  std::map<std::string, Access, std::less<>> access;  // access.h answers questions about it
  std::map<std::string, Caution, std::less<>> cautions;
  Sayings sayings;

  const Word* Find(std::string_view name) const;
  const Trust* FindTrust(std::string_view name) const;
  const Trust& TrustOfComplaints() const;
  const Trust& TrustOfTeardown() const;
};

// Every kind K is also a fact of its own with the single slot `is`: `element: $e` in a condition walks over
// all elements. LoadWords adds these to `words`, unless the rulebook describes a fact of that name itself.

}  // namespace gearwhy
