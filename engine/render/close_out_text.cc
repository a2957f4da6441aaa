// The close-out on the bench's page: ready or not and why, what was found, what remains of the complaints,
// and what is tried before the unit is given back.
#include <fmt/format.h>

#include <algorithm>

#include "engine/model/access.h"
#include "engine/render/text.h"

namespace gearwhy {
namespace {

constexpr std::size_t kFewNamed = 3;

// "a, b, c and 4 more".
std::string NameFew(const std::vector<std::string>& names) {
  std::string text;
  for (std::size_t i = 0; i < std::min(kFewNamed, names.size()); ++i)
    text += (text.empty() ? "" : ", ") + names[i];
  if (names.size() > kFewNamed) text += fmt::format(" and {} more", names.size() - kFewNamed);
  return text;
}

// The names of those that `wanted` holds for.
template <typename Of, typename Wanted, typename Name>
std::string NameThose(const std::vector<Of>& all, Wanted wanted, Name name) {
  std::vector<std::string> names;
  for (const Of& one : all) {
    if (wanted(one)) names.push_back(name(one));
  }
  return NameFew(names);
}

std::string SayRemains(const CloseOut& close, const Speaker& speaker) {
  return NameThose(
      close.complaints, [](const ComplaintAfter& c) { return !(c.after < kSettledBelow); },
      [&](const ComplaintAfter& c) {
        return fmt::format("\"{}\" ({})", speaker.Say(c.statement), ShowChance(c.after));
      });
}

bool AnyNotTried(const CloseOut& close) {
  return std::any_of(close.complaints.begin(), close.complaints.end(),
                     [](const ComplaintAfter& c) { return !(c.after < kSettledBelow) && !c.was_tried; });
}

std::string SayNotMended(const CloseOut& close, const Speaker& speaker) {
  std::vector<std::string> names;
  for (const FoundFault& fault : close.found) {
    if (!fault.mended) names.push_back(speaker.Say(fault.statement));
  }
  for (const FoundFault& fault : close.thought)
    names.push_back(
        fmt::format("{} (not found, but {})", speaker.Say(fault.statement), ShowChance(fault.chance)));
  return NameFew(names);
}

std::string SayNotReady(NotReady why, const CloseOut& close, const Speaker& speaker) {
  const auto statement = [&](const auto& of) { return speaker.Say(of.statement); };
  switch (why) {
    case NotReady::kNothingFound:
      return "No fault has been found that would explain the complaint.";
    case NotReady::kNoRoot:
      return fmt::format(
          "What brought this about has not been found: {}.",
          NameThose(
              close.found, [](const FoundFault& f) { return f.role == Role::kConsequence && !f.comes_of; },
              statement));
    case NotReady::kNotMended:
      return fmt::format("Not mended: {}.", SayNotMended(close, speaker));
    case NotReady::kPartNotRenewed:
      return fmt::format("To be renewed, by what was found or measured: {}.",
                         NameThose(
                             close.to_renew, [](const std::string&) { return true; },
                             [&](const std::string& part) { return speaker.SayName(part, "part"); }));
    case NotReady::kComplaintRemains:
      return fmt::format(
          "The complaint may be still there: {}.{}", SayRemains(close, speaker),
          AnyNotTried(close) ? " Try it as it came, and say under `tried` what that showed." : "");
    case NotReady::kUnexplained:
      return fmt::format("Nothing that is known explains this: {}.",
                         NameThose(
                             close.unexplained, [](const Unexplained&) { return true; }, statement));
    case NotReady::kTestDue:
      return fmt::format("Still to be tried: {}.",
                         NameThose(
                             close.tests, [](const DueTest& test) { return test.needed && !test.done; },
                             [&](const DueTest& test) { return speaker.Say(test.says); }));
    case NotReady::kNotExact:
      return "The chances could not be worked out exactly.";
  }
  return "";
}

void SayFound(const FoundFault& fault, const Speaker& speaker, Page& page) {
  std::string line = Capitalised(speaker.Say(fault.statement)) + ": ";
  if (fault.role == Role::kRoot || (fault.role == Role::kOpen && !fault.comes_of))
    line += fault.role == Role::kRoot ? "the root" : "root or consequence, which is open";
  else if (fault.comes_of)
    line += fmt::format("{} {}", fault.role == Role::kOpen ? "may follow from this:" : "follows from this:",
                        speaker.Say(*fault.comes_of));
  else
    line += "follows from something that was not found";
  page.Paragraph("   ", line + (fault.mended ? "; mended." : "; not mended."));
}

void SayComplaints(const CloseOut& close, const Speaker& speaker, Page& page) {
  if (close.complaints.empty()) return;
  page.Heading("Would the complaint be still there?");
  for (const ComplaintAfter& complaint : close.complaints) {
    page.Paragraph("   ",
                   fmt::format("{}: {} (as it came in {}).", Capitalised(speaker.Say(complaint.statement)),
                               ShowChance(complaint.after), ShowChance(complaint.before)));
  }
  page.Blank();
}

void SayTests(const CloseOut& close, const Speaker& speaker, Page& page) {
  page.Heading("Before it is given back");
  if (close.tests.empty()) page.Paragraph("   ", "The work that the case tells asks for no test.");
  std::vector<std::string> cautions;
  std::string told;
  for (const DueTest& test : close.tests) {
    std::string line =
        fmt::format("{}, {}.", Capitalised(speaker.Say(test.says)), speaker.SayAccess(test.access));
    if (test.id != told) line += " " + speaker.Say(test.how);  // of several alike once
    told = test.id;
    page.Paragraph(test.done ? " x " : " _ ", line);
    AddNames(test.cautions, cautions);
  }
  SayCautions(cautions, speaker, page);
  page.Blank();
}

}  // namespace

void SayCloseOut(const CloseOut& close, const CloseOutOptions& options, const Speaker& speaker, Page& page) {
  if (!close.begun) {
    if (options.found || options.tests) {
      page.Paragraph("", "Nothing was found or done yet: a case says so under `found`, `work` and `mended`.");
      page.Blank();
    }
    return;
  }
  if (close.not_ready.empty()) {
    page.Heading("Ready to close");
    page.Paragraph("   ",
                   "Everything that was complained of and seen is explained by what was found, and mended.");
  } else {
    page.Heading("Not ready to close");
    for (const NotReady why : close.not_ready) page.Paragraph(" · ", SayNotReady(why, close, speaker));
  }
  page.Blank();
  if (options.found) {
    page.Heading("What was found");
    if (close.found.empty()) page.Paragraph("   ", "The case names no fault under `found`.");
    for (const FoundFault& fault : close.found) SayFound(fault, speaker, page);
    page.Blank();
  }
  SayComplaints(close, speaker, page);
  if (options.tests) SayTests(close, speaker, page);
}

}  // namespace gearwhy
