// At once: pieces of work that do not depend on each other, done on as many threads as the machine has cores.
//
// In: how many pieces, and what to do for each. Every piece must keep to its own results, so that nothing depends on who comes first.
// Returns when all are done. An exception must not leave a piece.
#pragma once

#include <cstddef>
#include <functional>

namespace gearwhy {

std::size_t Cores();
void AtOnce(std::size_t pieces, const std::function<void(std::size_t piece)>& work);

}  // namespace gearwhy
