// An interview about a shipped unit, for tests.
#pragma once

#include "tests/support/shipped.h"
#include "tests/support/talk.h"

namespace gearwhy {

// The book must outlive it.
inline TalkBook TalkBookOf(ShippedBook& shipped) {
  return {&*shipped.book, &shipped.sources, shipped.shelf->Names(),
          [&shipped](const std::string& name, Diagnostics& diagnostics) {
            return shipped.shelf->Find(name, {}, diagnostics);
          }};
}

}  // namespace gearwhy
