// Whole interviews, as somebody has them who says the complaint and answers what is asked until it ends.
//
//   gearwhy_benchmark_talk [--draws N] [--unit NAME] [--seed N] [--moved 0|1] [--rules FOLDER] [--show N]
//
// A transmission is drawn (drawn_trouble.h), every unit in its first variant, and the interview itself
// (advise/interview.h) is told the complaint, where the phrases of tests/advise/ have it in people's own
// words, and answered from what was drawn, with the usual errors of each way of knowing, until it says where
// it has come to. Two worlds: the rulebook's own, and one in which every frequency has been moved any way by
// up to one step of the scale, anew for each draw.
//
// Told of each unit and world: questions and minutes until the end; whether the lead is a fault behind the
// complaint, or the second is; whether the unit came out, or was to come out by the last word, though no
// fault behind the complaint needs it, or was to stay in though one does, or that was left open; and
// milliseconds from an answer to the next question. `--show N` prints interview N.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <map>
#include <memory>
#include <numeric>
#include <random>
#include <string>
#include <vector>

#include "cli/session.h"
#include "engine/advise/interview.h"
#include "engine/api/interview_host.h"
#include "engine/model/needs.h"
#include "engine/render/interview_text.h"
#include "engine/study/moved_frequencies.h"
#include "engine/text/at.h"
#include "engine/text/at_once.h"
#include "tests/support/drawn_unit.h"
#include "tests/support/phrases.h"
#include "tests/support/quantile.h"

namespace gearwhy {
namespace {

constexpr int kMostQuestions = 80;

struct Options : DrawOptions {
  std::vector<bool> moved = {false, true};
  int show = -1;
};

// One unit, and the opened book that asks about it.
struct Shop : DrawnUnit {
  const Book* book = nullptr;
  // By finding, as "slips:D2": how people put it; the halves together.
  std::multimap<std::string, std::string> phrases;
};

// A finding as the phrases name it.
std::string ReadingOf(const Statement& statement) {
  std::string reading = statement.name;
  for (const Value& value : statement.slots) reading += ":" + ShowValue(value);
  return reading;
}

// Those of the unit that mean just one thing.
std::multimap<std::string, std::string> PhrasesOf(const std::string& unit) {
  std::multimap<std::string, std::string> phrases;
  for (const char* half : {"tuning", "held-out"}) {
    for (const auto& [of_unit, all] : ReadPhrases(half)) {
      for (const SaidPhrase& phrase : all) {
        if (of_unit != unit || phrase.meant.size() != 1) continue;
        for (const std::string& reading : phrase.meant[0]) phrases.emplace(reading, phrase.said);
      }
    }
  }
  return phrases;
}

struct Ended {
  int questions = 0;
  int after_seen = 0;  // questions put after a fault behind the complaint was seen
  double minutes = 0;
  // By question: how many checks and minutes are to come, itself among them; and the minutes before it.
  std::vector<double> checks_told, minutes_told, minutes_before;
  bool own_words = false;  // the complaint was said as somebody would, not as the rulebook says it
  bool settled = false;
  bool known = true;                   // something could be said of the chances
  bool named = false, second = false;  // the first suspect is behind the complaint; or the second is
  bool out = false, needed_out = false;
  bool open = false;                 // whether it must come out was left open at the end
  std::vector<double> milliseconds;  // by question
};

bool IsAstray(const Ended& ended) { return !ended.open && ended.out != ended.needed_out; }

class Player {
 public:
  Player(const Shop& shop, const Trouble& drawn, std::mt19937_64& random, bool show)
      : shop_(shop), drawn_(drawn), random_(random), show_(show) {}

  Ended Play() {
    Sources sources;
    const auto host = std::make_shared<const InterviewHost>(HostOf(*shop_.book, sources));
    InterviewText texts(shop_.book->rules(), sources, {});
    Interview talk = Interview::Begin(host, {"", shop_.unit, "drawn"});
    for (int n = 0; n < 20 * kMostQuestions && !talk.IsOver(); ++n) {
      Show(texts.Happened(talk.prompt()) + texts.Put(talk.prompt()).Whole());
      const PromptKind kind = talk.prompt().kind;
      if (kind == PromptKind::kEnd || ended_.questions >= kMostQuestions) break;
      const Reply reply = ReplyTo(talk.prompt());
      const auto before = std::chrono::steady_clock::now();
      talk = std::move(talk).Answer(reply);
      if (kind == PromptKind::kFinding || kind == PromptKind::kFindings || kind == PromptKind::kUnitOut)
        ended_.milliseconds.push_back(
            std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - before).count());
    }
    Conclude(talk);
    return ended_;
  }

 private:
  void Show(const std::string& text) const {
    if (show_) fmt::print("{}", text);
  }

  const Statement& Complaint() const { return shop_.ground.events[At(drawn_.complaint)].statement; }

  Reply Choose(int option) const {
    Show(fmt::format("> {}\n", option + 1));
    Reply reply;
    reply.chosen = {option};
    return reply;
  }
  Reply Pass() const {
    Show(">\n");
    return {};
  }
  Reply Type(const std::string& text) const {
    Show("> " + text + "\n");
    Reply reply;
    reply.kind = Reply::Kind::kText;
    reply.text = text;
    return reply;
  }

  // The complaint in somebody's words, where somebody's are known, else in the rulebook's.
  std::string Put(const Prompt& prompt) {
    const auto [first, last] = shop_.phrases.equal_range(ReadingOf(Complaint()));
    const auto known = static_cast<std::uint64_t>(std::distance(first, last));
    ended_.own_words = known > 0;
    if (ended_.own_words) return std::next(first, static_cast<std::ptrdiff_t>(random_() % known))->second;
    return Speaker(shop_.book->rules().words, prompt.unit, no_sources_).Say(Complaint());
  }

  Reply ReplyTo(const Prompt& prompt) {
    const auto option_that = [&](const auto& holds) {
      const auto it = std::find_if(prompt.options.begin(), prompt.options.end(), holds);
      return it == prompt.options.end() ? -1 : static_cast<int>(it - prompt.options.begin());
    };
    switch (prompt.kind) {
      case PromptKind::kVariant:
      case PromptKind::kVersion:
        return Choose(option_that([&](const Option& option) {  // "light", or one of the two of "light-early"
          return option.id == shop_.variant || shop_.variant.starts_with(option.id + "-") ||
                 shop_.variant.ends_with("-" + option.id);
        }));
      case PromptKind::kComplaint: {
        if (!prompt.options.empty()) return Pass();
        if (told_) return Type("list");
        told_ = true;
        return Type(Put(prompt));
      }
      case PromptKind::kList:
      case PromptKind::kMatches: {
        const int meant = option_that([&](const Option& option) {
          return option.statement ? *option.statement == Complaint() : option.id == Complaint().name;
        });
        return Choose(meant >= 0 ? meant : static_cast<int>(prompt.options.size()) - 1);
      }
      case PromptKind::kSlot: {
        const Word& word = *shop_.book->rules().words.Find(Complaint().name);
        const Value& value = Complaint().slots[At(word.SlotIndex(prompt.says))];
        return Choose(option_that([&](const Option& option) { return option.value == value; }));
      }
      case PromptKind::kMeant:
        return Choose(option_that([&](const Option& option) { return *option.statement == Complaint(); }));
      case PromptKind::kFinding:
      case PromptKind::kFindings:
        return Look(prompt);
      case PromptKind::kUnitOut:
        ended_.out = true;
        ended_.minutes += prompt.minutes;
        return Choose(0);
      case PromptKind::kUnit:
      case PromptKind::kName:
      case PromptKind::kHistory:
      case PromptKind::kQuantity:
        return Pass();
      default:
        fmt::print(stderr, "error: nobody has thought of prompt {}\n", static_cast<int>(prompt.kind));
        std::exit(1);
    }
  }

  Reply Look(const Prompt& prompt) {
    const NextCheck& check = prompt.question->check;
    const Trust& trust = *shop_.book->rules().words.FindTrust(check.trust);
    ++ended_.questions;
    ended_.checks_told.push_back(check.checks_to_cause);
    ended_.minutes_told.push_back(check.minutes_to_cause);
    ended_.minutes_before.push_back(ended_.minutes);
    ended_.after_seen += seen_;
    ended_.minutes += check.minutes;
    Reply reply;
    std::vector<Implied> known;
    for (std::size_t i = 0; i < check.findings.size(); ++i) {
      const auto event = shop_.ground.Find(check.findings[i].event);
      const bool is = event && drawn_.present[At(*event)];
      const ReportChances chances = ChancesOfReport(trust, event ? shop_.ground.common->Of(*event) : 0, true);
      if (Uniform(random_) >= (is ? chances.p_if_present : chances.p_if_absent)) continue;
      // Nobody says of a range without drive that it slips.
      const Statement& finding = check.findings[i].event;
      if (CannotTell(shop_.book->rules().words, finding, known)) continue;
      for (const Implied& one : ImpliedBy(shop_.book->rules(), finding)) known.push_back(one);
      reply.chosen.push_back(static_cast<int>(i));
      if (is && trust.direct) seen_ = seen_ || ShowsCause(*event);
    }
    if (reply.chosen.empty()) return Choose(static_cast<int>(check.findings.size()));
    std::string typed;
    for (const int option : reply.chosen) typed += fmt::format(" {}", option + 1);
    Show(">" + typed + "\n");
    return reply;
  }

  bool ShowsCause(int finding) const {
    for (const auto& of_check : shop_.sights.of_check) {
      for (const auto& [shown, fault] : of_check) {
        if (shown == finding && drawn_.behind[At(fault)]) return true;
      }
    }
    return false;
  }

  // Whether the unit is to come out, by what is said at the end.
  void TakeLastWord(const Standing& standing) {
    if (ended_.out) return;
    if (standing.kind == NextStep::Kind::kSettled) {
      ended_.out = standing.lead && standing.lead->needs_unit_out;
      for (const Suspect& suspect : standing.besides) ended_.out = ended_.out || suspect.needs_unit_out;
      return;
    }
    const PullAdvice advice = standing.pull.advice;
    ended_.out = advice == PullAdvice::kPull;
    ended_.open =
        advice == PullAdvice::kOpen || advice == PullAdvice::kLookFirst || advice == PullAdvice::kUnknown;
  }

  void Conclude(const Interview& talk) {
    if (talk.prompt().standing) {
      ended_.settled = talk.prompt().standing->kind == NextStep::Kind::kSettled;
      ended_.known = talk.prompt().standing->exactness.known;
      TakeLastWord(*talk.prompt().standing);
    }
    Reply ranking;
    ranking.kind = Reply::Kind::kWord;
    ranking.word = PlainWord::kRanking;
    const Interview asked = talk.Answer(ranking);
    for (const Happening& happening : asked.prompt().since) {
      const auto* ranked = std::get_if<Ranking>(&happening);
      if (ranked == nullptr) continue;
      int place = 0;
      for (const Suspect& suspect : ranked->report.suspects) {
        if (suspect.role == Role::kConsequence) continue;
        const auto event = shop_.ground.Find(suspect.statement);
        const bool behind = event && drawn_.behind[At(*event)];
        if (place == 0) ended_.named = behind;
        if (place == 1) ended_.second = behind && !ended_.named;
        if (++place == 2) break;
      }
    }
    for (std::size_t i = 0; i < drawn_.behind.size(); ++i)
      ended_.needed_out = ended_.needed_out || (drawn_.behind[i] && shop_.needs_unit_out[i]);
    if (!show_) return;
    fmt::print("-- the case:\n{}", talk.text());
    for (std::size_t i = 0; i < drawn_.behind.size(); ++i) {
      if (drawn_.behind[i]) fmt::print("-- behind: {}\n", shop_.ground.network.events[i].id);
    }
    fmt::print("-- {} questions, {} after it was seen; {:.0f} minutes; {}{}{}\n", ended_.questions,
               ended_.after_seen, ended_.minutes, ended_.settled ? "settled, " : "",
               ended_.named    ? "named"
               : ended_.second ? "second"
                               : "missed",
               !IsAstray(ended_) ? ""
               : ended_.out      ? ", out in vain"
                                 : ", left in wrongly");
  }

  const Shop& shop_;
  const Trouble& drawn_;
  std::mt19937_64& random_;
  const bool show_;
  const Sources no_sources_;
  bool told_ = false, seen_ = false;
  Ended ended_;
};

Ended PlayDraw(const Shop& shop, bool moved, std::uint64_t seed, bool show) {
  std::mt19937_64 draw(seed);
  std::mt19937_64 answers(draw());
  const Network world =
      moved ? MovedFrequencies(shop.book->rules(), draw(), HowFar::kUpToOneStep).Apply(shop.ground)
            : shop.ground.network;
  const Trouble drawn = DrawTrouble(world, shop.causes_first, shop.may_be_complaint, shop.sights, draw);
  return Player(shop, drawn, answers, show).Play();
}

void Print(const std::string& unit, bool moved, const std::vector<Ended>& all) {
  const double n = static_cast<double>(all.size());
  const auto share = [&](const auto& holds) {
    return 100 * static_cast<double>(std::count_if(all.begin(), all.end(), holds)) / n;
  };
  std::vector<double> questions, after, minutes, milliseconds;
  double sum = 0, asked = 0;
  for (const Ended& one : all) {
    questions.push_back(one.questions);
    after.push_back(one.after_seen);
    minutes.push_back(one.minutes);
    asked += one.questions;
    sum += one.minutes;
    milliseconds.insert(milliseconds.end(), one.milliseconds.begin(), one.milliseconds.end());
  }
  fmt::print("{}, {}: {} interviews, {:.0f}% of the complaints in people's own words\n", unit,
             moved ? "every frequency moved by up to one step" : "its own world", all.size(),
             share([](const Ended& one) { return one.own_words; }));
  fmt::print(
      "  questions       median {:.0f}, 95% {:.0f}, most {:.0f}; after the cause was seen: mean {:.1f}\n",
      Quantile(questions, 0.5), Quantile(questions, 0.95), Quantile(questions, 1),
      std::accumulate(after.begin(), after.end(), 0.0) / n);
  double still = 0, told = 0, minutes_still = 0, minutes_told = 0;
  for (const Ended& one : all) {
    for (std::size_t q = 0; q < one.checks_told.size(); ++q) {
      still += static_cast<double>(one.checks_told.size() - q) / asked;
      told += one.checks_told[q] / asked;
      minutes_still += (one.minutes - one.minutes_before[q]) / asked;
      minutes_told += one.minutes_told[q] / asked;
    }
  }
  fmt::print("  still to come   mean {:.1f} checks, told {:.1f}; {:.0f} minutes, told {:.0f}\n", still, told,
             minutes_still, minutes_told);
  fmt::print("  minutes         mean {:.1f}, median {:.0f}, 95% {:.0f}\n", sum / n, Quantile(minutes, 0.5),
             Quantile(minutes, 0.95));
  fmt::print("  cause           first {:.1f}%, second {:.1f}%; settled {:.1f}%, and first {:.1f}%\n",
             share([](const Ended& one) { return one.named; }),
             share([](const Ended& one) { return one.second; }),
             share([](const Ended& one) { return one.settled; }),
             share([](const Ended& one) { return one.settled && one.named; }));
  fmt::print("  nothing known   {:.1f}%\n", share([](const Ended& one) { return !one.known; }));
  fmt::print("  unit            out {:.1f}%, in vain {:.1f}%; left in wrongly {:.1f}%; open {:.1f}%\n",
             share([](const Ended& one) { return one.out; }),
             share([](const Ended& one) { return one.out && IsAstray(one); }),
             share([](const Ended& one) { return !one.out && IsAstray(one); }),
             share([](const Ended& one) { return one.open; }));
  fmt::print("  next question   median {:.0f}, 95% {:.0f}, most {:.0f} ms\n", Quantile(milliseconds, 0.5),
             Quantile(milliseconds, 0.95), Quantile(milliseconds, 1));
  std::fflush(stdout);
}

void RunUnit(const Session& session, const std::string& unit, const Options& options) {
  const Shop shop{MakeDrawnUnit(session, unit), &session.opened(), PhrasesOf(unit)};
  for (const bool moved : options.moved) {
    const auto seed_of = [&](int draw) {
      return options.seed * 1'000'003 + static_cast<std::uint64_t>(draw);
    };
    if (options.show >= 0) {
      PlayDraw(shop, moved, seed_of(options.show), true);
      continue;
    }
    std::vector<Ended> all(At(options.draws));
    AtOnce(all.size(),
           [&](std::size_t i) { all[i] = PlayDraw(shop, moved, seed_of(static_cast<int>(i)), false); });
    Print(unit, moved, all);
    fmt::print("  missed or astray:");
    for (std::size_t i = 0; i < all.size(); ++i) {
      const bool astray = IsAstray(all[i]);
      if (!all[i].named || astray || all[i].questions > 20)
        fmt::print(" {}{}{}", i,
                   all[i].named    ? ""
                   : all[i].second ? "s"
                                   : "m",
                   astray ? (all[i].out ? "v" : "l") : "");
    }
    fmt::print("\n");
  }
}

}  // namespace
}  // namespace gearwhy

int main(int argc, char** argv) {
  using namespace gearwhy;
  Options options;
  options.draws = 100;
  for (int i = 1; i + 1 < argc; i += 2) {
    const std::string flag = argv[i];
    options.Take(flag, argv[i + 1]);
    if (flag == "--moved") options.moved = {std::atoi(argv[i + 1]) != 0};
    if (flag == "--show") options.show = std::atoi(argv[i + 1]);
  }
  const auto session = Session::Open({options.rules, {}});
  if (session == nullptr) return 1;
  for (const std::string& unit : options.units.empty() ? session->shelf().Names() : options.units)
    RunUnit(*session, unit, options);
}
