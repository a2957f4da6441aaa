#include "engine/explain/rank_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <numeric>
#include <set>

#include "engine/model/access.h"
#include "engine/model/policy.h"
#include "engine/text/at.h"
#include "engine/text/for_order.h"
#include "engine/text/sha256.h"

namespace gearwhy {
namespace {

// Numbers of the tree times the reports, for each variant that it may be: what lies beyond would take some
// seconds for its reasons.
constexpr double kReasonWork = 3e7;

// Indices of events that pass, likeliest first, ties by id. Events that no report bears on have no chance and
// are left out.
template <typename Pass>
std::vector<int> Likeliest(const Diagnosis& diagnosis, Pass pass) {
  std::vector<int> events;
  for (std::size_t i = 0; i < diagnosis.ground.events.size(); ++i) {
    if (pass(static_cast<int>(i)) && !std::isnan(diagnosis.chances.p_event[i]))
      events.push_back(static_cast<int>(i));
  }
  const auto& p = diagnosis.chances.p_event;
  const auto& ids = diagnosis.ground.network.events;
  std::sort(events.begin(), events.end(), [&](int a, int b) {
    if (ForOrder(p[At(a)]) != ForOrder(p[At(b)])) return p[At(a)] > p[At(b)];
    return ids[At(a)].id < ids[At(b)].id;
  });
  return events;
}

// How far a factor moves the odds, either way.
double Strength(double odds_factor) {
  return odds_factor > 0 ? std::abs(std::log(odds_factor)) : std::numeric_limits<double>::infinity();
}

std::vector<EvidenceItem> EvidenceFor(const Diagnosis& diagnosis, const Influence& influence, int event,
                                      Follows& follows) {
  std::vector<EvidenceItem> evidence;
  for (std::size_t r = 0; r < diagnosis.ground.reports.size(); ++r) {
    const double factor = influence.odds_factor[r][At(event)];
    const Report& report = diagnosis.ground.network.reports[r];
    const bool by_rivals = report.present == (factor < 1) && follows.From(event, report.event);
    if (Strength(factor) < (by_rivals ? kLeastOfRivals : kLeastStrength)) continue;
    evidence.push_back(DescribeReport(diagnosis, static_cast<int>(r)));
    evidence.back().odds_factor = factor;
    evidence.back().by_rivals = by_rivals;
  }
  std::stable_sort(evidence.begin(), evidence.end(), [](const EvidenceItem& a, const EvidenceItem& b) {
    return ForOrder(Strength(a.odds_factor)) > ForOrder(Strength(b.odds_factor));
  });
  return evidence;
}

std::vector<Contradiction> FindContradictions(const Diagnosis& diagnosis) {
  std::map<int, std::pair<int, int>> reported;  // by event: the first report of either kind
  for (std::size_t r = 0; r < diagnosis.ground.reports.size(); ++r) {
    const Report& report = diagnosis.ground.network.reports[r];
    auto& [present, absent] = reported.try_emplace(report.event, -1, -1).first->second;
    int& first = report.present ? present : absent;
    if (first < 0) first = static_cast<int>(r);
  }
  std::vector<Contradiction> contradictions;
  for (const auto& [event, reports] : reported) {
    const auto& [present, absent] = reports;
    if (present < 0 || absent < 0) continue;
    const int observation = diagnosis.ground.reports[At(present)].observation;
    Contradiction one{DescribeReport(diagnosis, present), DescribeReport(diagnosis, absent)};
    one.complaint = observation >= 0 && diagnosis.c->observations[At(observation)].complaint;
    one.chance = diagnosis.chances.p_event[At(event)];
    one.refuted = one.complaint && one.chance < kRefutedBelow;
    contradictions.push_back(std::move(one));
  }
  std::stable_partition(contradictions.begin(), contradictions.end(),
                        [](const Contradiction& one) { return one.complaint; });
  return contradictions;
}

void DescribeHead(const Diagnosis& diagnosis, const BookFile* unit_file, RankReport& report) {
  const Case& c = *diagnosis.c;
  report.case_id = c.id;
  report.title = c.title;
  report.unit = c.unit;
  report.variant = diagnosis.KnownVariant();
  report.which_variant = WhichVariantOf(diagnosis);
  report.book_title = diagnosis.book->title;
  report.book_version = diagnosis.book->version;
  report.files = diagnosis.book->files;
  if (unit_file != nullptr) report.files.push_back(*unit_file);
  std::string all;
  for (const BookFile& file : report.files) all += fmt::format("{}  {}\n", file.sha256, file.name);
  report.book_hash = Sha256Hex(all);
}

// One event as a suspect, but for what speaks for and against it.
Suspect DescribeSuspect(const Diagnosis& diagnosis, int event) {
  const GroundEvent& ground = diagnosis.ground.events[At(event)];
  Suspect suspect;
  suspect.event = event;
  suspect.fault = diagnosis.ground.network.events[At(event)].id;
  suspect.mode = ground.word->name;
  if (const std::string* part = PartOf(*ground.word, ground.statement)) suspect.part = *part;
  suspect.statement = ground.statement;
  suspect.chance = diagnosis.chances.p_event[At(event)];
  suspect.needs_unit_out = NeedsUnitOut(diagnosis.book->words, ground.repair);
  suspect.repair = ground.repair;
  if (!ground.only_in.empty()) suspect.only_in = diagnosis.VariantsOf(ground.only_in);
  suspect.role = RoleOf(diagnosis, event);
  suspect.place = PlaceOf(diagnosis, event);
  return suspect;
}

// Causes first, consequences apart: each with the likeliest cause in the list that can bring it about, or,
// where there is none, behind the causes.
void List(const Diagnosis& diagnosis, const RankOptions& options, Follows& follows,
          std::vector<Suspect>& suspects) {
  const auto& p = diagnosis.chances.p_event;
  std::vector<int> consequences;
  std::vector<int> faults = Likeliest(
      diagnosis, [&](int i) { return diagnosis.ground.events[At(i)].word->type == WordType::kFault; });
  const std::vector<char> spoken_for = SpokenFor(diagnosis, follows);
  std::stable_partition(faults.begin(), faults.end(), [&](int event) { return spoken_for[At(event)] != 0; });
  for (const int event : faults) {
    const int count = static_cast<int>(suspects.size());
    if (count >= 3 && p[At(event)] < options.least_chance) continue;
    if (RoleOf(diagnosis, event) == Role::kConsequence) {
      consequences.push_back(event);
    } else if (count < options.suspects) {
      suspects.push_back(DescribeSuspect(diagnosis, event));
    }
  }
  const std::size_t causes = suspects.size();
  for (const int event : consequences) {
    const auto cause = std::find_if(suspects.begin(), suspects.begin() + static_cast<std::ptrdiff_t>(causes),
                                    [&](const Suspect& one) { return follows.From(one.event, event); });
    const Suspect described = DescribeSuspect(diagnosis, event);
    if (cause != suspects.begin() + static_cast<std::ptrdiff_t>(causes)) {
      cause->follows.push_back({event, described.fault, described.statement, described.chance});
    } else if (static_cast<int>(suspects.size()) < options.suspects) {
      suspects.push_back(described);
    }
  }
}

// How many of the causes in each one's place are about as likely.
void CountAlike(std::vector<Suspect>& suspects) {
  for (Suspect& one : suspects) {
    one.alike = static_cast<int>(std::count_if(suspects.begin(), suspects.end(), [&](const Suspect& other) {
      return other.place == one.place && other.chance <= one.chance * kAlike &&
             one.chance <= other.chance * kAlike;
    }));
  }
}

}  // namespace

std::string_view RoleName(Role role) {
  switch (role) {
    case Role::kRoot:
      return "root";
    case Role::kConsequence:
      return "consequence";
    case Role::kOpen:
      return "open";
  }
  return "";
}

// A fault that nothing causes is a root. Otherwise it depends on whether, being present, it more likely came
// by itself.
std::vector<Unexplained> FindUnexplained(const Diagnosis& diagnosis) {
  std::vector<Unexplained> unexplained;
  std::set<std::string> seen;
  const auto add = [&](const Observation& observation, double chance_explained, bool known) {
    const std::string id = StatementId(observation.event);
    if (!observation.present || !seen.insert(id).second) return;
    unexplained.push_back(
        {id, observation.event, observation.complaint, chance_explained, known, observation.place});
  };
  for (const int index : diagnosis.ground.unknown_observations) {
    add(diagnosis.c->observations[At(index)], 0, false);
  }
  for (std::size_t r = 0; r < diagnosis.ground.reports.size(); ++r) {
    const int observation = diagnosis.ground.reports[r].observation;
    const int event = diagnosis.ground.network.reports[r].event;
    if (observation < 0 || diagnosis.ground.events[At(event)].word->type == WordType::kFault) continue;
    const double p_by_itself = diagnosis.chances.p_by_itself[At(event)];
    const bool commonplace = diagnosis.ground.network.events[At(event)].p_unexplained >= kCommonplace;
    if (p_by_itself >= kByItself && !commonplace)
      add(diagnosis.c->observations[At(observation)], 1 - p_by_itself, true);
  }
  std::stable_partition(unexplained.begin(), unexplained.end(),
                        [](const Unexplained& u) { return u.complaint; });
  return unexplained;
}

Role RoleOf(const Diagnosis& diagnosis, int event) {
  if (diagnosis.ground.network.events[At(event)].causes.empty()) return Role::kRoot;
  const double p = diagnosis.chances.p_event[At(event)];
  if (!(p > 0)) return Role::kOpen;
  const double share = diagnosis.chances.p_by_itself[At(event)] / p;
  return share >= kRootFrom ? Role::kRoot : share <= 1 - kRootFrom ? Role::kConsequence : Role::kOpen;
}

std::vector<char> SpokenFor(const Diagnosis& diagnosis, Follows& follows) {
  const Network& network = diagnosis.ground.network;
  std::vector<char> spoken_for(network.events.size(), diagnosis.ground.reports.empty());
  for (std::size_t i = 0; i < spoken_for.size(); ++i) {
    spoken_for[i] |= network.events[i].causes.empty() &&
                     OddsRoseBy(kRaisedFrom, network.events[i].p_unexplained, diagnosis.chances.p_event[i]);
  }
  for (const Report& report : network.reports) {
    if (!report.present) continue;
    spoken_for[At(report.event)] = 1;
    for (const auto& [event, way] : follows.Above(report.event)) spoken_for[At(event)] = 1;
  }
  return spoken_for;
}

WhichVariant WhichVariantOf(const Diagnosis& diagnosis) {
  WhichVariant which;
  const std::vector<double>& p_world = diagnosis.chances.p_world;
  for (std::size_t w = 0; w < p_world.size(); ++w) {
    which.may_be.push_back(
        {diagnosis.worlds[w].transmission->variant, p_world[w], diagnosis.ground.network.worlds[w]});
  }
  if (which.may_be.empty() || diagnosis.unit == nullptr) return which;
  std::vector<VariantSign> by_count;
  for (const Part& part : diagnosis.unit->parts) {
    VariantSign sign{part.id, {}, {}};
    for (const VariantChance& one : which.may_be) {
      if (std::count(part.variants.begin(), part.variants.end(), one.variant) > 0)
        sign.only_in.push_back(one.variant);
      if (const auto count = part.count.find(one.variant); count != part.count.end())
        sign.count.emplace_back(*count);
    }
    const bool by_being_there = !part.variants.empty() && sign.only_in.size() < which.may_be.size();
    const bool differs = std::any_of(sign.count.begin(), sign.count.end(), [&](const auto& entry) {
      return entry.second != sign.count.front().second;
    });
    if (by_being_there && !sign.only_in.empty()) {
      sign.count.clear();
      which.signs.push_back(std::move(sign));
    } else if (!by_being_there && differs) {
      sign.only_in.clear();
      by_count.push_back(std::move(sign));
    }
  }
  std::move(by_count.begin(), by_count.end(), std::back_inserter(which.signs));
  return which;
}

namespace {

void DescribeReading(const Diagnosis& diagnosis, const GroundReport& ground, EvidenceItem& item) {
  const JudgedReading& reading = diagnosis.worlds[At(ground.world)].readings[At(ground.reading)];
  const AgainstLimit& against = reading.limits[At(ground.limit)];
  const Instrument& first = diagnosis.book->instruments.at(reading.with.front());
  item.origin = {Origin::Kind::kReading, reading.measurement->fact, {}, reading.place, &first.says};
  item.reading =
      ReadingSaid{WithNumber(*diagnosis.book, reading, reading.places[against.worst].measured.value),
                  against.limit,
                  first.reads,
                  against.p_beyond,
                  against.stand,
                  reading.contradict};
}

}  // namespace

EvidenceItem DescribeReport(const Diagnosis& diagnosis, int report) {
  const GroundReport& ground = diagnosis.ground.reports[At(report)];
  const Report& seen = diagnosis.ground.network.reports[At(report)];
  EvidenceItem item;
  item.event = diagnosis.ground.network.events[At(seen.event)].id;
  item.statement = diagnosis.ground.events[At(seen.event)].statement;
  item.present = seen.present;
  if (ground.silence != nullptr) {
    item.origin = {
        Origin::Kind::kSilence, ground.silence->id, {}, ground.silence->place, &ground.silence->says};
  } else if (ground.observation >= 0) {
    const Observation& observation = diagnosis.c->observations[At(ground.observation)];
    item.origin = {Origin::Kind::kCase, observation.trust, observation.under, observation.place};
  } else {
    if (ground.reading >= 0) {
      DescribeReading(diagnosis, ground, item);
    } else {
      const Rule& rule = *diagnosis.worlds[At(ground.world)].proofs.Find(ground.fact)->rule;
      item.origin = {Origin::Kind::kRule, rule.id, {}, rule.place};
    }
    if (!ground.only_in.empty()) item.only_in = diagnosis.VariantsOf(ground.only_in);
    if (!ground.opposite_in.empty()) item.opposite_in = diagnosis.VariantsOf(ground.opposite_in);
  }
  return item;
}

// See RankReport::parts.
std::vector<PartDecision> PartsToSpeakOf(const Diagnosis& diagnosis, const std::vector<Suspect>& suspects) {
  std::vector<PartDecision> parts = DecideParts(diagnosis);
  const auto& words = diagnosis.book->words.words;
  const bool every_part = std::any_of(words.begin(), words.end(), [&](const auto& named) {
    return named.second.every_part && diagnosis.Likeliest().store.Named(Sense::kFact, named.first).size() > 0;
  });
  if (every_part) return parts;
  std::erase_if(parts, [&](const PartDecision& decision) {
    return !decision.by_case && !decision.lies_open &&
           std::none_of(suspects.begin(), suspects.end(),
                        [&](const Suspect& suspect) { return suspect.part == decision.part; });
  });
  return parts;
}

ExactnessNote NoteExactness(const Diagnosis& diagnosis) {
  const Exactness exactness = ExactnessOf(diagnosis);
  ExactnessNote note{exactness.exact, exactness.known, exactness.error, exactness.firm, {}};
  for (const int report : exactness.left_out) note.left_out.push_back(DescribeReport(diagnosis, report));
  return note;
}

Suspect MakeSuspect(const Diagnosis& diagnosis, const Influence& influence, int event) {
  Suspect suspect = DescribeSuspect(diagnosis, event);
  Follows follows(diagnosis.ground.network);
  suspect.evidence = EvidenceFor(diagnosis, influence, event, follows);
  return suspect;
}

RankReport MakeRankReport(const Diagnosis& diagnosis, const BookFile* unit_file, const BeliefLimits& limits,
                          const RankOptions& options) {
  const Chances& chances = diagnosis.chances;
  RankReport report;
  DescribeHead(diagnosis, unit_file, report);
  report.exactness = NoteExactness(diagnosis);
  report.possible = chances.possible;
  report.observations = static_cast<int>(diagnosis.c->observations.size());
  report.nothing_observed = diagnosis.ground.reports.empty();
  if (!report.exactness.known) return report;
  const double work = chances.entries * static_cast<double>(diagnosis.ground.reports.size());
  const auto possible =
      std::count_if(chances.p_world.begin(), chances.p_world.end(), [](double p) { return p > 0; });
  report.reasons_left_out =
      options.reasons && work > kReasonWork * static_cast<double>(std::max<std::ptrdiff_t>(1, possible));
  const bool reasons = options.reasons && !report.reasons_left_out;
  const auto& events = diagnosis.ground.events;
  Follows follows(diagnosis.ground.network);
  List(diagnosis, options, follows, report.suspects);
  CountAlike(report.suspects);
  std::vector<int> shown;
  for (const Suspect& suspect : report.suspects) shown.push_back(suspect.event);
  if (reasons && !shown.empty()) {
    const Influence influence = InfluenceOf(diagnosis, shown);
    for (Suspect& suspect : report.suspects)
      suspect.evidence = EvidenceFor(diagnosis, influence, suspect.event, follows);
  }
  if (options.reasons) {
    const std::vector<double> before = ChancesBefore(diagnosis, shown, limits);
    for (std::size_t i = 0; i < shown.size(); ++i) report.suspects[i].before = before[i];
  }
  int first_where = -1;
  for (const int event : Likeliest(diagnosis, [&](int i) { return events[At(i)].word->where; })) {
    const double chance = chances.p_event[At(event)];
    if (report.where.size() >= 3 && chance < options.least_chance) break;
    if (static_cast<int>(report.where.size()) >= options.suspects) break;
    if (report.where.empty()) first_where = event;
    report.where.push_back(
        {diagnosis.ground.network.events[At(event)].id, events[At(event)].statement, chance});
  }
  if (options.reasons) report.parts = PartsToSpeakOf(diagnosis, report.suspects);
  if (options.reasons && report.exactness.exact) report.accounts = MakePlaceAccounts(diagnosis, first_where);
  report.unexplained = FindUnexplained(diagnosis);
  report.contradictions = FindContradictions(diagnosis);
  return report;
}

}  // namespace gearwhy
