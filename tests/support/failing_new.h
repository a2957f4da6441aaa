// Asking for memory made to fail, once: for test programs with failing_new.cc in them.
#pragma once

namespace gearwhy {

// From now on, over all threads, the n-th `new` throws std::bad_alloc. 0: none does.
void FailAllocation(long n);
// How many were asked for since then.
long AllocationsAsked();

}  // namespace gearwhy
