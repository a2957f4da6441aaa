#include "engine/api/gearwhy.h"

#include "engine/advise/next_report.h"
#include "engine/api/inside.h"
#include "engine/explain/why_report.h"
#include "engine/render/json.h"
#include "engine/render/text.h"

namespace gearwhy::api {

void Tell(const Diagnostics& diagnostics, const Sources& sources, Messages* messages) {
  if (messages == nullptr) return;
  for (const Diagnostic& one : diagnostics.Sorted()) {
    Message message;
    message.is_error = one.severity == Severity::kError;
    message.code = one.code;
    message.text = one.message;
    if (one.place.IsSomewhere()) {
      message.file = sources.Name(one.place.source);
      message.line = one.place.line;
      message.column = one.place.column;
    }
    Diagnostics alone;
    Diagnostic& copy = message.is_error ? alone.Error(one.place, one.code, one.message)
                                        : alone.Warning(one.place, one.code, one.message);
    copy.notes = one.notes;
    message.shown = RenderDiagnostics(alone, sources);
    messages->push_back(std::move(message));
  }
}

TextStyle StyleOf(int width) {
  TextStyle style;
  style.width = width;
  return style;
}

namespace {

RankOptions OptionsOf(const Wanted& wanted) {
  RankOptions options;
  options.suspects = wanted.suspects;
  options.reasons = wanted.reasons;
  return options;
}

}  // namespace

struct Case::Inside {
  Inside(std::shared_ptr<const Book::Inside> of, std::string text, const std::string& name)
      : book(std::move(of)), sources(&book->sources), source(sources.Add(name, std::move(text))) {}

  std::shared_ptr<const Book::Inside> book;
  Sources sources;
  int source;
  gearwhy::Case c;
};

struct Diagnosis::Inside {
  explicit Inside(std::shared_ptr<const Case::Inside> on) : c(std::move(on)) {}

  const BookFile* UnitFile() const { return c->book->book->units().FileOf(c->c.unit); }
  RankReport Report(const Wanted& wanted) const {
    return MakeRankReport(*diagnosis, UnitFile(), {}, OptionsOf(wanted));
  }
  LookNext Next(const Wanted& wanted, const RankReport& ranking) const {
    return wanted.checks > 0 ? FindLookNext(*diagnosis, ranking, wanted.checks) : LookNext{};
  }
  Speaker Voice() const { return Speaker(*diagnosis, c->sources); }
  std::optional<WhyReport> Why(const std::string& event) const;

  std::shared_ptr<const Case::Inside> c;
  std::optional<gearwhy::Diagnosis> diagnosis;
};

std::optional<WhyReport> Diagnosis::Inside::Why(const std::string& event) const {
  for (std::size_t i = 0; i < diagnosis->ground.events.size(); ++i) {
    if (diagnosis->ground.network.events[i].id != event) continue;
    const gearwhy::Diagnosis asked = WithChanceOf(*diagnosis, static_cast<int>(i));
    return MakeWhyReport(asked, static_cast<int>(i), asked.limits);
  }
  return std::nullopt;
}

const std::string& Case::name() const { return inside_->c.id; }
const std::string& Case::unit() const { return inside_->c.unit; }
const std::string& Case::variant() const { return inside_->c.variant; }

std::optional<Book> Book::Open(const std::vector<std::string>& folders, Messages* messages,
                               const std::string& cache_folder) {
  auto inside = std::make_shared<Inside>();
  Diagnostics diagnostics;
  std::vector<BookFolder> named;
  for (const std::string& folder : folders) named.push_back({folder, folder});
  if (named.empty()) diagnostics.Error({}, "no-rulebook", "no folder of a rulebook was named");
  if (!named.empty())
    inside->book = gearwhy::Book::Open(named, inside->sources, diagnostics, std::nullopt, cache_folder);
  Tell(diagnostics, inside->sources, messages);
  if (inside->book == nullptr) return std::nullopt;
  Book book;
  book.inside_ = std::move(inside);
  return book;
}

std::vector<std::string> Book::Units() const { return inside_->book->units().Names(); }

std::optional<Case> Book::ReadCase(const std::string& text, const std::string& name,
                                   Messages* messages) const {
  const auto inside = std::make_shared<Case::Inside>(inside_, text, name.empty() ? "(case)" : name);
  Diagnostics diagnostics;
  auto c = inside_->book->ReadCase(inside->sources, inside->source, name, "", diagnostics);
  Tell(diagnostics, inside->sources, messages);
  if (!c) return std::nullopt;
  inside->c = std::move(*c);
  inside->sources.FillIn(inside->source, "");
  Case read;
  read.inside_ = inside;
  return read;
}

std::optional<Diagnosis> Book::Diagnose(const Case& c, Messages* messages) const {
  auto inside = std::make_shared<Diagnosis::Inside>(c.inside_);
  Diagnostics diagnostics;
  inside->diagnosis = c.inside_->book->book->DiagnoseCase(c.inside_->c, {}, diagnostics);
  Tell(diagnostics, c.inside_->sources, messages);
  if (!inside->diagnosis) return std::nullopt;
  Diagnosis diagnosis;
  diagnosis.inside_ = std::move(inside);
  return diagnosis;
}

Ranking Diagnosis::Rank(const Wanted& wanted) const {
  const RankReport report = inside_->Report(wanted);
  const Speaker speaker = inside_->Voice();
  Ranking ranking;
  ranking.exact = report.exactness.exact;
  ranking.error = report.exactness.error;
  ranking.known = report.exactness.known;
  if (ranking.known) {
    for (const VariantChance& one : report.which_variant.may_be)
      ranking.variants.push_back({one.variant, speaker.SayName(one.variant, "variant"), one.chance});
  }
  for (const WherePlace& place : report.where)
    ranking.where.push_back({place.state, speaker.Say(place.statement), place.chance});
  for (const gearwhy::Suspect& one : report.suspects) {
    const auto role = one.role == Role::kRoot          ? Suspect::Role::kRoot
                      : one.role == Role::kConsequence ? Suspect::Role::kConsequence
                                                       : Suspect::Role::kOpen;
    ranking.suspects.push_back(
        {one.fault, one.part, speaker.Say(one.statement), one.chance, one.before, one.needs_unit_out, role});
  }
  const LookNext next = inside_->Next(wanted, report);
  if (next.outcome) ranking.outcome = {next.outcome->nothing(), next.outcome->others(), next.outcome->marked};
  for (const NextCheck& check : next.checks)
    ranking.checks.push_back({check.key, speaker.Say(check.says), check.minutes, check.needs_unit_out});
  return ranking;
}

std::string Diagnosis::RankText(const Wanted& wanted, int width) const {
  const RankReport report = inside_->Report(wanted);
  return gearwhy::RankText(report, inside_->Next(wanted, report), inside_->Voice(), StyleOf(width));
}

std::string Diagnosis::RankJson(const Wanted& wanted) const {
  const RankReport report = inside_->Report(wanted);
  return gearwhy::RankJson(report, inside_->Next(wanted, report), inside_->Voice(), -1);
}

std::optional<std::string> Diagnosis::WhyText(const std::string& event, int width) const {
  const auto report = inside_->Why(event);
  if (!report) return std::nullopt;
  return gearwhy::WhyText(*report, inside_->Voice(), StyleOf(width));
}

std::optional<std::string> Diagnosis::WhyJson(const std::string& event) const {
  const auto report = inside_->Why(event);
  if (!report) return std::nullopt;
  return gearwhy::WhyJson(*report, inside_->Voice(), -1);
}

std::string Diagnosis::NextText(int checks, int width) const {
  return gearwhy::NextText(MakeNextReport(*inside_->diagnosis, checks), false, inside_->Voice(),
                           StyleOf(width));
}

std::string Diagnosis::NextJson(int checks) const {
  return gearwhy::NextJson(MakeNextReport(*inside_->diagnosis, checks), inside_->Voice(), -1);
}

}  // namespace gearwhy::api
