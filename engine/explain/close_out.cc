#include "engine/explain/close_out.h"

#include <algorithm>
#include <set>

#include "engine/belief/after_repair.h"
#include "engine/chain/chain.h"
#include "engine/explain/exactness.h"
#include "engine/model/policy.h"
#include "engine/text/at.h"
#include "engine/text/for_order.h"

namespace gearwhy {
namespace {

// The case with its work as history, on the transmissions that it may be.
std::optional<Diagnosis> WithWork(const Diagnosis& diagnosis, const Case& c) {
  Mixture mixture;
  for (const CaseFacts& world : diagnosis.worlds) mixture.transmissions.push_back(world.transmission);
  mixture.weights = diagnosis.ground.network.worlds;
  if (mixture.weights.empty()) mixture.weights = {1};
  Diagnostics reported;  // of what was told, when the case itself was grounded
  return GroundCase(mixture, c, reported);
}

class Closing {
 public:
  Closing(const Diagnosis& diagnosis, const std::vector<PartDecision>& parts)
      : diagnosis_(diagnosis), network_(diagnosis.ground.network), parts_(parts), follows_(network_) {
    case_ = *diagnosis.c;
    for (const CaseFact& fact : case_.work) {
      const Word& word = *diagnosis.book->words.Find(fact.statement.name);
      if (const std::string* part = PartOf(word, fact.statement); part != nullptr && word.renews)
        renewed_.insert(*part);
      case_.facts.push_back(fact);
    }
    for (const CaseFact& fault : case_.mended) mended_.insert(fault.statement);
    after_ = WithWork(diagnosis, case_);
  }

  CloseOut Close() {
    CloseOut close;
    close.begun = !case_.found.empty() || !case_.work.empty() || !case_.mended.empty();
    if (!close.begun) return close;
    close.exact = ExactnessOf(diagnosis_).exact && after_.has_value();
    if (!after_) {
      close.not_ready = {NotReady::kNotExact};
      return close;
    }
    FindFaults(close);
    AskComplaints(close);
    close.unexplained = FindUnexplained(diagnosis_);
    std::erase_if(close.unexplained, [&](const Unexplained& one) { return WasFound(one.statement); });
    close.to_renew = ToRenew();
    close.tests = Tests();
    close.not_ready = WhyNot(close);
    return close;
  }

 private:
  const GroundEvent& Ground(int event) const { return diagnosis_.ground.events[At(event)]; }
  bool IsFault(int event) const { return network_.events[At(event)].type == EventType::kFault; }

  bool IsMended(const Word& word, const Statement& fault) const {
    const std::string* part = PartOf(word, fault);
    return mended_.contains(fault) || (part != nullptr && renewed_.contains(*part));
  }

  bool WasFound(const Statement& fault) const {
    return std::any_of(case_.found.begin(), case_.found.end(),
                       [&](const CaseFact& one) { return one.statement == fault; });
  }

  // Of what brings it about, what was found before what is only thought, and then what does so most often.
  std::optional<Statement> CauseOf(int event) {
    std::optional<Statement> cause;
    std::pair<bool, double> best = {false, 0};
    for (const auto& [above, way] : follows_.Above(event)) {
      const Statement& statement = Ground(above).statement;
      if (!IsFault(above) || above == event || diagnosis_.chances.p_event[At(above)] < kLikely) continue;
      const std::pair<bool, double> this_one = {WasFound(statement), way};
      if (cause && this_one <= best) continue;
      best = this_one;
      cause = statement;
    }
    return cause;
  }

  FoundFault Describe(int event) {
    FoundFault fault;
    fault.statement = Ground(event).statement;
    fault.chance = diagnosis_.chances.p_event[At(event)];
    fault.role = RoleOf(diagnosis_, event);
    if (fault.role != Role::kRoot) fault.comes_of = CauseOf(event);
    fault.mended = IsMended(*Ground(event).word, fault.statement);
    return fault;
  }

  void FindFaults(CloseOut& close) {
    for (const CaseFact& found : case_.found) {
      const std::optional<int> event = diagnosis_.ground.Find(found.statement);
      if (event) {
        close.found.push_back(Describe(*event));
        continue;
      }
      FoundFault unknown;  // the rulebook knows no such fault of this unit
      unknown.statement = found.statement;
      unknown.chance = 1;
      unknown.mended = IsMended(*diagnosis_.book->words.Find(found.statement.name), found.statement);
      close.found.push_back(std::move(unknown));
    }
    for (std::size_t i = 0; i < network_.events.size(); ++i) {
      const int event = static_cast<int>(i);
      if (!IsFault(event) || !(diagnosis_.chances.p_event[i] >= kLikely) || WasFound(Ground(event).statement))
        continue;
      FoundFault fault = Describe(event);
      if (!fault.mended) close.thought.push_back(std::move(fault));
    }
    std::stable_sort(
        close.thought.begin(), close.thought.end(),
        [](const FoundFault& a, const FoundFault& b) { return ForOrder(a.chance) > ForOrder(b.chance); });
  }

  // The faults of new parts and what was mended, each with the chance that it is there again.
  std::vector<MendedFault> Mended() const {
    std::vector<MendedFault> mended;
    for (std::size_t i = 0; i < network_.events.size(); ++i) {
      const int event = static_cast<int>(i);
      if (!IsFault(event) || !IsMended(*Ground(event).word, Ground(event).statement)) continue;
      MendedFault fault{event, 0};
      const std::optional<int> anew = after_->ground.Find(Ground(event).statement);
      if (anew && !mended_.contains(Ground(event).statement))
        fault.p_again = after_->ground.network.events[At(*anew)].p_unexplained;
      mended.push_back(fault);
    }
    return mended;
  }

  // What was looked at once the work was done, under the circumstances that it was looked at.
  std::vector<Report> Tried() const {
    std::vector<Report> tried;
    const Reported reported = ReportedIn(diagnosis_.Likeliest().store);
    for (const Observation& look : case_.tried) {
      const std::optional<int> event = diagnosis_.ground.Find(look.event);
      if (!event) continue;
      const ReportChances chances =
          WeighReport(diagnosis_.book->words, look, diagnosis_.ground.common->Of(*event), reported);
      tried.push_back({*event, look.present, chances.p_if_present, chances.p_if_absent});
    }
    return tried;
  }

  void AskComplaints(CloseOut& close) const {
    std::vector<int> asked;
    std::set<Statement> done;
    for (const Observation& observation : case_.observations) {
      if (!observation.complaint || !observation.present || !done.insert(observation.event).second) continue;
      const std::optional<int> event = diagnosis_.ground.Find(observation.event);
      if (!event) continue;  // stands with what nothing explains
      asked.push_back(*event);
      const bool was_tried =
          std::any_of(case_.tried.begin(), case_.tried.end(),
                      [&](const Observation& look) { return look.event == observation.event; });
      close.complaints.push_back(
          {observation.event, diagnosis_.chances.p_event[At(*event)], 0, was_tried, observation.place});
    }
    const AfterRepair after = ChancesAfterRepair(network_, Mended(), Tried(), asked, diagnosis_.limits);
    close.exact &= after.exact;
    // Where it cannot be worked out, nothing has been mended for all we know.
    for (std::size_t i = 0; i < asked.size(); ++i)
      close.complaints[i].after = after.exact ? after.p_still[i] : close.complaints[i].before;
  }

  bool IsHandled(const std::string& part) const {
    return renewed_.contains(part) ||
           std::any_of(mended_.begin(), mended_.end(), [&](const Statement& fault) {
             const std::string* of = PartOf(*diagnosis_.book->words.Find(fault.name), fault);
             return of != nullptr && *of == part;
           });
  }

  std::vector<std::string> ToRenew() const {
    std::vector<std::string> parts;
    for (const PartDecision& decision : parts_) {
      const bool by_condition =
          decision.basis == DecisionBasis::kFound || decision.basis == DecisionBasis::kMeasured;
      if (decision.verdict == Verdict::kReplace && by_condition && !IsHandled(decision.part) &&
          (parts.empty() || parts.back() != decision.part))
        parts.push_back(decision.part);
    }
    return parts;
  }

  std::vector<DueTest> Tests() const {
    std::vector<DueTest> tests;
    const FactStore& store = after_->Likeliest().store;
    for (const FinalTest& test : diagnosis_.book->final_tests) {
      std::set<Statement> met;
      for (const Match& match : FindMatches(test.when, store)) {
        const Statement done = Fill(test.done, match.bindings);
        if (!met.insert(done).second) continue;
        DueTest due;
        due.id = test.id;
        due.says = {&test.says, match.bindings, &test.variables};
        due.how = {&test.how, match.bindings, &test.variables};
        due.because = {&test.because, match.bindings, &test.variables};
        due.access = test.access;
        due.cautions = test.cautions;
        due.needed = test.needed;
        due.done = store.Find(Sense::kFact, done).has_value();
        tests.push_back(std::move(due));
      }
    }
    return tests;
  }

  static std::vector<NotReady> WhyNot(const CloseOut& close) {
    std::vector<NotReady> why;
    const auto if_so = [&](bool so, NotReady what) {
      if (so) why.push_back(what);
    };
    const auto& found = close.found;
    if_so(found.empty(), NotReady::kNothingFound);
    if_so(std::any_of(found.begin(), found.end(),
                      [](const FoundFault& f) { return f.role == Role::kConsequence && !f.comes_of; }),
          NotReady::kNoRoot);
    if_so(!close.thought.empty() ||
              std::any_of(found.begin(), found.end(), [](const FoundFault& f) { return !f.mended; }),
          NotReady::kNotMended);
    if_so(!close.to_renew.empty(), NotReady::kPartNotRenewed);
    if_so(std::any_of(close.complaints.begin(), close.complaints.end(),
                      [](const ComplaintAfter& c) { return !(c.after < kSettledBelow); }),
          NotReady::kComplaintRemains);
    if_so(!close.unexplained.empty(), NotReady::kUnexplained);
    if_so(std::any_of(close.tests.begin(), close.tests.end(),
                      [](const DueTest& test) { return test.needed && !test.done; }),
          NotReady::kTestDue);
    if_so(!close.exact, NotReady::kNotExact);
    return why;
  }

  const Diagnosis& diagnosis_;
  const Network& network_;
  const std::vector<PartDecision>& parts_;
  Follows follows_;
  Case case_;  // with its work as history
  std::optional<Diagnosis> after_;
  std::set<std::string> renewed_;
  std::set<Statement> mended_;
};

}  // namespace

std::string_view NotReadyName(NotReady why) {
  switch (why) {
    case NotReady::kNothingFound:
      return "nothing_found";
    case NotReady::kNoRoot:
      return "no_root";
    case NotReady::kNotMended:
      return "not_mended";
    case NotReady::kPartNotRenewed:
      return "part_not_renewed";
    case NotReady::kComplaintRemains:
      return "complaint_remains";
    case NotReady::kUnexplained:
      return "unexplained";
    case NotReady::kTestDue:
      return "test_due";
    case NotReady::kNotExact:
      return "not_exact";
  }
  return "";
}

Case WithFound(Case c, const Words& words) {
  for (const CaseFact& fault : c.found) {
    Observation found;
    found.event = fault.statement;
    found.trust = words.TrustOfTeardown().name;
    found.place = fault.place;
    c.observations.push_back(std::move(found));
  }
  return c;
}

CloseOut MakeCloseOut(const Diagnosis& diagnosis, const std::vector<PartDecision>& parts) {
  return Closing(diagnosis, parts).Close();
}

}  // namespace gearwhy
