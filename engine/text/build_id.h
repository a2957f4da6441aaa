// The build id: which build of the program this is.
//
// Out: what the linker has made of all that it put together (the ELF note NT_GNU_BUILD_ID), as hexadecimal digits:
// another compiler, another option or another line of code gives another. Empty where the program was linked
// without one. Of a shared library or plug-in that this is part of: its own.
// Not told by it: libraries that are linked at run time and were exchanged since.
#pragma once

#include <string>

namespace gearwhy {

std::string BuildId();

}  // namespace gearwhy
