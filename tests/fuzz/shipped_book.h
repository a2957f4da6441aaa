// The shipped rulebook, opened once for all inputs of a fuzz target.
#pragma once

#include <memory>

#include "engine/api/book.h"
#include "tests/fuzz/target.h"

namespace gearwhy {

struct OpenedBook {
  Sources sources;
  std::unique_ptr<const Book> book;

  explicit OpenedBook(const std::string& folder) {
    Diagnostics diagnostics;
    book = Book::Open({{folder, "rules"}}, sources, diagnostics);
    Must(book != nullptr, "the rulebook opens");
  }
};

inline const OpenedBook& ShippedBookOnce() {
  static const OpenedBook opened(GEARWHY_SOURCE_DIR "/rules");
  return opened;
}

}  // namespace gearwhy
