#include "engine/text/stem.h"

#include <libstemmer.h>

#include <new>

namespace gearwhy {

struct Stemmer::State {
  sb_stemmer* stemmer = sb_stemmer_new("english", "UTF_8");
  ~State() { sb_stemmer_delete(stemmer); }
};

Stemmer::Stemmer() : state_(std::make_unique<State>()) {
  // The library knows both names: only memory can be lacking.
  if (state_->stemmer == nullptr) throw std::bad_alloc();
}

Stemmer::~Stemmer() = default;

std::string Stemmer::Stem(std::string_view word) {
  const auto* stem = sb_stemmer_stem(state_->stemmer, reinterpret_cast<const sb_symbol*>(word.data()),
                                     static_cast<int>(word.size()));
  if (stem == nullptr) throw std::bad_alloc();
  return {reinterpret_cast<const char*>(stem), static_cast<std::size_t>(sb_stemmer_length(state_->stemmer))};
}

}  // namespace gearwhy
