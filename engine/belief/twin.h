// Twin: a network beside itself without some of its faults, so that both can be spoken of at once.
//
// In: a network; which of its faults are taken away; of which events it is asked whether they are so even
// without these, and of which it matters whether they are so with them. Out: a network in which both are
// events.
// Method. What lies below a fault that is taken away is told apart, as far as both sides matter, into what
// the other causes keep up and what those faults bring: X = X_kept or X_brought, each a noisy-OR of its own
// over the same links. Kept is X_kept: it is so whether they are there or not. That changes nothing for X
// itself, but where a kept cause and one that is taken away bring about one and the same event at once: then
// each acts for itself. Where only one side matters nothing is told apart, and the network grows by little.
// Cost: linear. Errors: none; the network must be sound (network.h).
// Source: own derivation; the twin network of Balke & Pearl 1994 is its model - from memory.
#pragma once

#include <vector>

#include "engine/belief/network.h"
#include "engine/text/at.h"

namespace gearwhy {

class Twin {
 public:
  static constexpr int kNever = -1;
  struct Wanted {
    std::vector<int> kept, whole;  // events
    // A fault that is not taken away stays, whoever caused it: what is burnt stays burnt. Else what caused
    // it is taken from it as from all else.
    bool faults_stay = false;
  };

  // `is_off`: by event, the faults that are taken away. The twin has all events of `network` under the same
  // indices, and its reports.
  Twin(const Network& network, const std::vector<char>& is_off, const Wanted& wanted);

  const Network& network() const { return twin_; }
  Network& network() { return twin_; }
  // The event that is so when this one, of those wanted, is so without the faults; the same one where it does
  // not hang on them, and kNever where nothing else can bring it about.
  int Kept(int event) const { return kept_[At(event)]; }

  int Add(Event event);

 private:
  void TellApart(const Event& whole, int event, bool whole_matters);

  Network twin_;
  std::vector<int> kept_, brought_;  // by event; of what is not told apart it is brought as a whole
};

}  // namespace gearwhy
