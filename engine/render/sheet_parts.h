// Sheet parts: what several kinds of sheet have in common.
#pragma once

#include <string>
#include <vector>

#include "engine/render/text.h"

namespace gearwhy {

// What a case comes to, line by line. Empty where the chances are not known.
std::string VerdictHtml(const CaseVerdict& verdict, const Speaker& speaker);
// So many empty lines to write on.
std::string NoteLines(int count);
// Case or unit, rulebook layers, version.
std::string Foot(const std::string& of, const std::vector<std::string>& layers);

}  // namespace gearwhy
