// What stands behind the values of the door (gearwhy.h), for its own files.
#pragma once

#include "engine/api/book.h"
#include "engine/api/gearwhy.h"
#include "engine/render/page.h"

namespace gearwhy::api {

struct Book::Inside {
  Sources sources;
  std::unique_ptr<const gearwhy::Book> book;
};

// Adds to `messages`, which may be null.
void Tell(const Diagnostics& diagnostics, const Sources& sources, Messages* messages);

TextStyle StyleOf(int width);

}  // namespace gearwhy::api
