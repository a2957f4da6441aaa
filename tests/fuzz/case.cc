// Fuzz target: any text as a case of the shipped rulebook, and changes made to the text of it: whatever the
// layout, a change is made or it is said why not.
#include "engine/files/case_text.h"
#include "tests/fuzz/shipped_book.h"

namespace gearwhy {
namespace {

std::optional<Case> Read(const std::string& text, Sources& sources, Diagnostics& diagnostics) {
  const int source = sources.Add("any.yaml", text);
  return ShippedBookOnce().book->ReadCase(sources, source, "any", "/nonexistent", diagnostics);
}

CaseChange Open(const std::string& access) {
  CaseChange change;
  change.list = CaseList::kOpen;
  change.access = access;
  return change;
}

// Every observation taken back, and something opened.
std::vector<CaseChange> ChangesOf(const Case& c) {
  std::vector<CaseChange> changes;
  for (const auto& [name, access] : ShippedBookOnce().book->rules().words.access) {
    if (changes.empty()) changes.push_back(Open(name));
  }
  for (const Observation& one : c.observations) {
    CaseChange change;
    change.kind = CaseChange::Kind::kRemove;
    change.list = one.complaint ? CaseList::kComplaint : CaseList::kObserved;
    change.statement = one.event;
    change.present = one.present;
    change.trust = one.trust;
    change.under = one.under;
    changes.push_back(change);
  }
  return changes;
}

void ChangeText(const std::string& text, const Case& c) {
  for (const CaseChange& change : ChangesOf(c)) {
    std::string why;
    Case expected = c;
    Must(ChangeCase(expected, change), "what the case says can be taken back");
    const auto changed = ChangeCaseText(text, change, ShippedBookOnce().book->rules().words, &why);
    Must(changed.has_value() || !why.empty(), "what cannot be changed says why");
    if (!changed) continue;
    Sources sources(&ShippedBookOnce().sources);
    Diagnostics diagnostics;
    const auto read = Read(*changed, sources, diagnostics);
    MustHaveAnswered(read.has_value(), diagnostics, sources);
    // Another case than expected is refused by who saves it: that is not decided here.
    if (read) SameCase(*read, expected);
  }
}

}  // namespace
}  // namespace gearwhy

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace gearwhy;
  const std::string text = TextOf(data, size);
  Sources sources(&ShippedBookOnce().sources);
  Diagnostics diagnostics;
  const auto c = Read(text, sources, diagnostics);
  MustHaveAnswered(c.has_value(), diagnostics, sources);
  if (c) ChangeText(text, *c);
  return 0;
}
