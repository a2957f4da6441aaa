// gearwhy rules diff: what a shop's folders change, and how the rankings of cases move by it.
#include <fmt/format.h>

#include "cli/commands.h"
#include "engine/render/rules_text.h"
#include "engine/text/number.h"

namespace gearwhy {
namespace {

// Beside each other: the rulebook with the shop's folders, and without.
class Compared {
 public:
  Compared(Session& with, Session& without) : with_(with), without_(without) {}

  void Add(const std::string& path) {
    Diagnostics diagnostics, told_already;
    const std::optional<Case> after = with_.ReadCase(path, diagnostics);
    std::optional<Diagnosis> is;
    if (after) is = with_.DiagnoseCase(*after, {}, diagnostics);
    with_.Print(diagnostics);
    if (!is) {
      good_ = false;
      return;
    }
    // What a shop adds, the rulebook alone cannot read: then there is nothing to compare.
    const std::optional<Case> before = without_.ReadCase(path, told_already);
    std::optional<Diagnosis> was;
    if (before) was = without_.DiagnoseCase(*before, {}, told_already);
    if (!was) {
      ++by_shop_alone_;
      return;
    }
    const std::vector<SuspectMove> moves = MovesBetween(*was, *is);
    (moves.empty() ? still_ : moved_) += 1;
    if (!moves.empty()) WriteOut(MovesText(path, moves, Speaker(*is, with_.sources()), StyleOfStdout()));
  }

  bool Sum() const {
    WriteOut(fmt::format("{} moved, {} not", Counted(moved_, "ranking"), still_));
    WriteOut(by_shop_alone_ > 0 ? fmt::format(", {} that need the shop's own words\n", by_shop_alone_)
                                : "\n");
    return good_;
  }

 private:
  Session& with_;
  Session& without_;
  std::size_t moved_ = 0, still_ = 0, by_shop_alone_ = 0;
  bool good_ = true;
};

}  // namespace

int RunRulesDiff(const RulesDiffArguments& arguments) {
  if (arguments.book.shop.empty()) {
    WriteErr("error: there is no shop's own folder to compare; name it with --shop [no-shop]\n");
    return kBadCommand;
  }
  const std::unique_ptr<Session> session = Session::Open(arguments.book);
  if (session == nullptr) return kInputErrors;
  BookOptions alone = arguments.book;
  alone.shop.clear();
  const std::unique_ptr<Session> without = Session::Open(alone);
  if (without == nullptr) return kInputErrors;
  Diagnostics diagnostics;
  const LayerReport report = MakeLayerReport(session->book(), session->shelf(), diagnostics);
  WriteOut(ChangesText(report, Speaker(session->book(), session->sources()), StyleOfStdout()));
  std::vector<std::string> named = arguments.cases;
  if (named.empty()) named.push_back(ShippedFolder("cases"));
  WriteOut("How the first three suspects of each case move\n");
  Compared compared(*session, *without);
  for (const std::string& path : ExpandCases(named, diagnostics)) compared.Add(path);
  session->Print(diagnostics);
  const bool good = compared.Sum() && !diagnostics.HasErrors();
  return Finish(good ? kDone : kInputErrors);
}

}  // namespace gearwhy
