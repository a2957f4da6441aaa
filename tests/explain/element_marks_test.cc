// Which elements the reports accuse and clear, against what somebody who knows the apply chart says.
#include "engine/explain/element_marks.h"

#include "tests/support/shipped_case.h"

namespace gearwhy {
namespace {

std::string Marked(const std::vector<ElementMark>& marks) {
  std::string text;
  for (const ElementMark& mark : marks) text += mark.element + (mark.suspected ? "+" : "-");
  return text;
}

TEST_CASE("what is lost accuses the elements it needs, and what is good clears those it needs") {
  ShippedBook shipped;
  const auto marks_of = [&](const std::string& id, const std::string& more) {
    const auto opened = DiagnoseText(
        shipped, id, "case: " + id + "\ntitle: x\nunit: simpson-three-speed\nvariant: light\n" + more);
    return Marked(MarkElements(*opened->diagnosis));
  };
  // Third and reverse share clutch B alone (common practice: the element that the lost ranges have in
  // common). Reverse needs band D as well, first and second clutch C.
  const std::string marks = marks_of("both-lost",
                                     "complaint:\n  - present: {slips: D3}\n    trust: road_test\n"
                                     "  - present: {slips: R}\n    trust: road_test\n"
                                     "observed:\n  - absent: {slips: D1}\n    trust: road_test\n"
                                     "  - absent: {slips: D2}\n    trust: road_test\n");
  INFO(marks);
  CHECK(marks.find("B+") != std::string::npos);
  CHECK(marks.find("C-") != std::string::npos);
  CHECK(marks_of("nothing-said", "") == "");
}

}  // namespace
}  // namespace gearwhy
