#include "engine/api/interview_host.h"

#include "engine/render/interview_text.h"

namespace gearwhy {

InterviewHost HostOf(const Book& book, Sources& sources) {
  InterviewHost host;
  host.book = &book.rules();
  host.sources = &sources;
  host.units = book.units().Names();
  host.find_unit = [&book](const std::string& name, Diagnostics& diagnostics) {
    const UnitKnowledge* known = book.Know(name, {}, diagnostics);
    return known == nullptr ? nullptr : known->unit;
  };
  host.read_case = [&book, &sources](const std::string& name, const std::string& text,
                                     Diagnostics& diagnostics) {
    return book.ReadCase(sources, sources.Add(name, text), name, "", diagnostics);
  };
  host.diagnose = [&book](const Case& c, Diagnostics& diagnostics) {
    return book.DiagnoseCase(c, {}, diagnostics);
  };
  host.is_taken = [](const std::string&) { return false; };
  LetSpeak(host);
  return host;
}

}  // namespace gearwhy
