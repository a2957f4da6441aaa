// Statements: a name with filled slots, and patterns of statements with variables.
//
// `no_drive: {range: R}` is a statement about a range; `no_drive: {range: $r}` a pattern. Slots are kept in
// the order in which the words declare them, so the same statement always looks the same.
#pragma once

#include <map>
#include <string>
#include <variant>
#include <vector>

#include "engine/text/source.h"

namespace gearwhy {

// What fills a slot: a name ("D3", "piston_B") or a number in the base unit of the slot's dimension.
using Value = std::variant<std::string, double>;

struct Statement {
  std::string name;
  std::vector<Value> slots;

  friend bool operator==(const Statement&, const Statement&) = default;
  friend auto operator<=>(const Statement&, const Statement&) = default;
};

struct StatementHash {
  std::size_t operator()(const Statement& statement) const;
};

// How a statement is meant: a fact, or an observed event that is present or absent.
enum class Sense { kFact, kPresent, kAbsent };

// In a pattern a slot is filled by a value, by a variable, or by anything (a slot left out in a condition).
struct Anything {
  friend auto operator<=>(const Anything&, const Anything&) = default;
};
struct Variable {
  std::string name;  // without the `$`
  friend auto operator<=>(const Variable&, const Variable&) = default;
};
using Term = std::variant<Anything, Variable, Value>;

struct Pattern {
  std::string name;
  std::vector<Term> terms;  // as many as the words declare slots
  Place place;
};

// Values by variable name, sorted by name.
struct Binding {
  std::string variable;
  Value value;
  friend bool operator==(const Binding&, const Binding&) = default;
};
using Bindings = std::vector<Binding>;

// What the variables of one entry stand for: a kind's name or a dimension's, by variable.
using VariableKinds = std::map<std::string, std::string>;

enum class Comparison { kLess, kLessOrEqual, kEqual, kNotEqual, kGreaterOrEqual, kGreater };

// One line of a `when:`.
//   kStatement: `element: $e`, `present: {slips: $r}`, `absent: ...`  (sense says which)
//   kNot:       `not: {...}`: no such statement is known; variables in it are bound elsewhere
//   kCompare:   `$p < 3 bar`, `$a != $b`: left and right are variables or values. Names can only be = or !=.
//               `$p < 90% of $q`: a number on the right may be taken in part.
struct Condition {
  enum class Kind { kStatement, kNot, kCompare };
  Kind kind = Kind::kStatement;
  Sense sense = Sense::kFact;
  Pattern pattern;  // kStatement, kNot
  Comparison comparison = Comparison::kEqual;
  Term left = Anything{};  // kCompare
  Term right = Anything{};
  double share_of_right = 1;  // other than 1 only where the right side is a number
  Place place;
};

// What a rule concludes. Every variable is bound by a positive condition of the rule; no term is Anything.
struct Conclusion {
  Sense sense = Sense::kFact;
  Pattern pattern;
  std::string trust = "";  // kPresent, kAbsent: how far the observation is trusted (see words.h, Trust)
};

struct Rule {
  std::string id;
  std::vector<Condition> when;
  std::vector<Conclusion> then;
  std::string because;  // may be empty
  VariableKinds variables;
  Place place;                   // of its id
  std::string gap_because = "";  // see Word
};

// "no_drive:R", "flare:D2:D3", "overheats": short, unique, typed on the command line and written in JSON.
std::string StatementId(const Statement& statement);
// A value as in ids: the name, or the number as short as it reads back.
std::string ShowValue(const Value& value);

}  // namespace gearwhy
