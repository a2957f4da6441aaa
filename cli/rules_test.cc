// gearwhy rules test: whether the cases that say what they expect get it; what a shop's folder changes in
// that, and by which of its entries; which entries no case brings into play.
#include <fmt/format.h>

#include <map>
#include <set>

#include "cli/commands.h"
#include "engine/render/rules_text.h"
#include "engine/render/text.h"
#include "engine/text/number.h"

namespace gearwhy {
namespace {

// What a rulebook makes of a case.
struct Tried {
  bool is_read = false;
  bool expects = false;
  std::vector<std::string> unmet;  // as lines
  std::set<const void*> counts;    // the entries that it brings into play, where asked for
};

Tried Try(Session& session, const std::string& path, bool with_counts, Diagnostics& diagnostics) {
  Tried tried;
  const std::optional<Case> c = session.ReadCase(path, diagnostics);
  std::optional<Diagnosis> diagnosis;
  if (c) diagnosis = session.DiagnoseCase(*c, {}, diagnostics);
  if (!diagnosis) return tried;
  tried.is_read = true;
  tried.expects = !c->expect.empty();
  for (const UnmetExpectation& unmet : UnmetExpectations(*diagnosis))
    tried.unmet.push_back(UnmetText(unmet, session.sources()));
  if (with_counts) tried.counts = CountsIn(*diagnosis);
  return tried;
}

// An entry that a folder adds, or a change that it makes.
struct Item {
  std::string says;
  Place place;
};

// The rulebook without a folder, and with it but for one of its entries: which of them makes a difference.
class ChangedBy {
 public:
  ChangedBy(const BookOptions& with, const BookOptions& without, Session& session) : with_(with) {
    before_ = Session::Open(without);
    const Layers& layers = session.book().layers;
    const int last = static_cast<int>(layers.names.size()) - 1;
    const auto add = [&](const std::string& what, const Place& shown, const Place& item) {
      items_.push_back({fmt::format("{} ({})", what, session.sources().Describe(shown)), item});
    };
    for (const AddedEntry& added : layers.added) {
      if (added.layer == last)
        add(fmt::format("{} {}, added", added.kind, added.called), added.place, added.item);
    }
    for (const LayerChange& change : layers.changes) {
      if (change.layer != last) continue;
      add(fmt::format("{} {}: {}", change.kind, change.called, SayChangedKeys(change)), change.place,
          change.item);
    }
    for (const UnitChange& change : layers.of_units) {
      if (change.layer == last)
        add("change of the unit " + change.unit, change.change.place, change.change.place);
    }
  }

  bool IsOpen() const { return before_ != nullptr; }
  Tried Before(const std::string& path) {
    Diagnostics told_already;
    return Try(*before_, path, false, told_already);
  }

  // The entries without which the case is `as_expected`, or is not.
  std::vector<std::string> MadeBy(const std::string& path, bool as_expected) {
    std::vector<std::string> found;
    for (std::size_t i = 0; i < items_.size(); ++i) {
      Session* session = Without(i);
      if (session == nullptr) continue;
      Diagnostics unheard;
      const Tried tried = Try(*session, path, false, unheard);
      if (tried.is_read && tried.unmet.empty() == as_expected) found.push_back(items_[i].says);
    }
    return found;
  }

 private:
  // Null where the rest does not stand without it.
  Session* Without(std::size_t item) {
    const auto [it, is_new] = opened_.try_emplace(item);
    if (is_new) {
      Diagnostics unheard;
      it->second = Session::Read(with_, unheard, items_[item].place);
    }
    return it->second->HasBook() ? it->second.get() : nullptr;
  }

  BookOptions with_;
  std::unique_ptr<Session> before_;
  std::vector<Item> items_;
  std::map<std::size_t, std::unique_ptr<Session>> opened_;
};

// Runs the cases, and tells of each what is not as expected.
class Run {
 public:
  Run(const RulesTestArguments& arguments, Session& session, ChangedBy* changed_by)
      : arguments_(arguments), session_(session), changed_by_(changed_by) {}

  void Add(const std::string& path) {
    Diagnostics diagnostics;
    const Tried tried = Try(session_, path, arguments_.coverage, diagnostics);
    session_.Print(diagnostics);
    if (!tried.is_read) {
      ++failed_;
      WriteOut(fmt::format("{}: could not be read\n", path));
      return;
    }
    counts_.insert(tried.counts.begin(), tried.counts.end());
    for (const std::string& line : tried.unmet) WriteOut(line + "\n");
    if (changed_by_ != nullptr && tried.expects) TellDifference(path, tried);
    if (!tried.expects)
      ++silent_;
    else
      (tried.unmet.empty() ? passed_ : failed_) += 1;
  }

  bool Sum() const {
    WriteOut(fmt::format("{} as expected, {} not", Counted(passed_, "case"), failed_));
    WriteOut(silent_ > 0 ? fmt::format(", {} without `expect`\n", silent_) : "\n");
    if (changed_by_ != nullptr)
      WriteOut(fmt::format("By {}: {} broken, {} mended\n", arguments_.changed_by, broken_, mended_));
    if (arguments_.coverage) WriteOut(CoverageText(session_.book(), counts_, StyleOfStdout()));
    return failed_ == 0;
  }

 private:
  void TellDifference(const std::string& path, const Tried& tried) {
    const Tried before = changed_by_->Before(path);
    if (!before.is_read || before.unmet.empty() == tried.unmet.empty()) return;
    const bool is_broken = before.unmet.empty();
    (is_broken ? broken_ : mended_) += 1;
    for (const std::string& line : before.unmet) WriteOut(line + "; before\n");
    const std::vector<std::string> made_by = changed_by_->MadeBy(path, is_broken);
    WriteOut(fmt::format("{}: {} by {}\n", path, is_broken ? "broken" : "mended",
                         made_by.empty() ? "no single entry, several together" : made_by[0]));
    for (std::size_t i = 1; i < made_by.size(); ++i) WriteOut(fmt::format("  and by {}\n", made_by[i]));
  }

  const RulesTestArguments& arguments_;
  Session& session_;
  ChangedBy* changed_by_;
  std::size_t passed_ = 0, failed_ = 0, silent_ = 0, broken_ = 0, mended_ = 0;
  std::set<const void*> counts_;
};

}  // namespace

int RunRulesTest(const RulesTestArguments& arguments) {
  BookOptions options = arguments.book;
  if (!arguments.changed_by.empty()) options.shop.push_back(arguments.changed_by);
  const std::unique_ptr<Session> session = Session::Open(options);
  if (session == nullptr) return kInputErrors;
  std::optional<ChangedBy> changed_by;
  if (!arguments.changed_by.empty()) {
    changed_by.emplace(options, arguments.book, *session);
    if (!changed_by->IsOpen()) return kInputErrors;
  }
  Diagnostics naming;
  std::vector<std::string> named = arguments.cases;
  if (named.empty()) named.push_back(ShippedFolder("cases"));
  Run run(arguments, *session, changed_by ? &*changed_by : nullptr);
  for (const std::string& path : ExpandCases(named, naming)) run.Add(path);
  session->Print(naming);
  const bool good = run.Sum() && !naming.HasErrors();
  return Finish(good ? kDone : kInputErrors);
}

}  // namespace gearwhy
