#include "engine/study/found_words.h"

#include <algorithm>

#include "engine/chain/chain.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

std::vector<FoundWord::Cause> CausesOf(const Diagnosis& unobserved, const Statement& statement) {
  std::vector<FoundWord::Cause> causes;
  const auto event = unobserved.ground.Find(statement);
  if (!event) return causes;
  const std::vector<GroundLink>& links = unobserved.ground.events[At(*event)].links;
  const std::vector<Cause>& of = unobserved.ground.network.events[At(*event)].causes;
  for (std::size_t i = 0; i < of.size(); ++i) {
    causes.push_back({unobserved.ground.events[At(of[i].event)].statement, of[i].p_how_often,
                      i < links.size() ? links[i].chart->id : ""});
  }
  std::stable_sort(causes.begin(), causes.end(),
                   [](const auto& a, const auto& b) { return a.how_often > b.how_often; });
  return causes;
}

std::vector<std::string> ChecksOf(const Diagnosis& unobserved, const Statement& statement) {
  std::vector<std::string> ids;
  for (const Check& check : unobserved.book->checks) {
    const bool names = std::any_of(check.tells.begin(), check.tells.end(),
                                   [&](const Pattern& tells) { return tells.name == statement.name; });
    if (!names) continue;
    bool tells_it = false;
    for (const Match& match : FindMatches(check.when, unobserved.Likeliest().store)) {
      tells_it |= std::any_of(check.tells.begin(), check.tells.end(),
                              [&](const Pattern& tells) { return Fill(tells, match.bindings) == statement; });
    }
    if (tells_it) ids.push_back(check.id);
  }
  return ids;
}

}  // namespace

std::vector<FoundWord> FindWords(std::string_view text, const Diagnosis& unobserved,
                                 const SayValueOf& say_value, int most) {
  std::vector<Statement> findings;
  for (const GroundEvent& event : unobserved.ground.events) {
    if (event.word->type == WordType::kFinding) findings.push_back(event.statement);
  }
  const WordsMatcher matcher(findings, unobserved.book->words, say_value, &unobserved.Likeliest().store);
  std::vector<FoundWord> found;
  for (const WordsMatch& match : matcher.Match(text, most).matches) {
    FoundWord word;
    word.statement = match.meant[0];
    word.of = match.meant.size();
    word.present = match.present;
    word.score = match.score;
    word.causes = CausesOf(unobserved, word.statement);
    word.checks = ChecksOf(unobserved, word.statement);
    found.push_back(std::move(word));
  }
  return found;
}

}  // namespace gearwhy
