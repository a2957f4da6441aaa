// The texts we were given and places in them.
//
// A Source is one file's name (as shown to the reader) and its whole text; a Place points into one. Texts
// stay in memory, so every message can show the line it speaks of, and tests feed texts that are no files.
#pragma once

#include <compare>
#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace gearwhy {

// Where something stands. Line and column are 1-based; the column counts bytes, and a byte-order mark at the
// start of a text does not count. `length` is how many bytes a caret underlines, at least 1. A Place with
// source -1 is "nowhere": something no file says. Line 0 means the text as a whole.
struct Place {
  int source = -1;
  int line = 0;
  int column = 0;
  int length = 1;

  bool IsSomewhere() const { return source >= 0; }
  friend auto operator<=>(const Place&, const Place&) = default;
};

// Every text of one run, in the order they were added. Places index into it.
//
// Sources may stand on a base, as the text of a case stands on those of the rulebook: the base's places hold
// in it, and what it adds goes when it goes. Threads: any number may read, and stand on, what nobody adds to;
// a text that was announced may be filled in meanwhile, as long as nobody asks for it.
class Sources {
 public:
  Sources() = default;
  // The base must outlive this, and nothing may be added to it any more.
  explicit Sources(const Sources* base) : base_(base), base_size_(base->size()) {}

  // Keeps a copy of the text and returns the index a Place refers to.
  int Add(std::string name, std::string text);
  // The index of a text that is read only when it is asked for; until then it is empty.
  int Announce(std::string name) { return Add(std::move(name), ""); }
  void FillIn(int announced, std::string text);

  int size() const { return base_size_ + static_cast<int>(sources_.size()); }
  // `source` must be an index that Add or Announce returned.
  const std::string& Name(int source) const;
  const std::string& Text(int source) const;
  // The line (1-based) without its end and without a byte-order mark; empty when there is no such line.
  std::string_view Line(int source, int line) const;
  // "rules/words.yaml:12" for people; "rules/words.yaml" for line 0; "(no file)" for nowhere.
  std::string Describe(const Place& place) const;

 private:
  struct Source {
    std::string name;
    std::string text;
    std::vector<std::size_t> line_starts;
  };
  const Source& Get(int source) const;

  const Sources* base_ = nullptr;
  int base_size_ = 0;
  std::vector<Source> sources_;
};

}  // namespace gearwhy
