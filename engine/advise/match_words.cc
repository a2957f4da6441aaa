#include "engine/advise/match_words.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>
#include <set>

#include "engine/model/policy.h"

namespace gearwhy {
namespace {

// What words weigh that tell little, next to 1 for one that a single finding uses.
constexpr double kWeightOfSmall = 0.03;
constexpr double kWeightOfNot = 0.6;
constexpr double kWeightOfUnknown = 0.2;
constexpr double kWeightOfMention = 0.8;  // of a thing that the finding has no slot for
constexpr double kWeightOfHow = 0.15;     // how it comes, beside what comes
constexpr std::size_t kMostTogether = 4;  // neighbouring parts of a text that may say one thing
constexpr std::size_t kLongestText = 500;
constexpr double kDeniedPrecision = 0.75;  // of a phrase that is denied, how much must be said
constexpr double kCostOfPart = 0.15;       // what a further part must be worth

bool TellsHow(const Word& word) {
  return std::any_of(word.needs.begin(), word.needs.end(), [](const Need& need) { return need.present; });
}

// A sentence without its slots in braces.
std::string WithoutSlots(const std::string& text) {
  std::string rest;
  bool inside = false;
  for (const char c : text) {
    inside = (inside || c == '{') && c != '}';
    if (!inside && c != '}') rest += c;
  }
  return rest;
}

bool Has(const std::vector<Value>& values, const Value& value) {
  return std::binary_search(values.begin(), values.end(), value);
}

}  // namespace

WordsMatcher::WordsMatcher(const std::vector<Statement>& findings, const Words& words,
                           const SayValueOf& say_value, const FactStore* facts)
    : vocabulary_(words), words_(words.sayings), names_(findings, words, say_value, facts, words_) {
  std::map<std::string, std::vector<const Statement*>> by_word;
  for (const Statement& finding : findings) by_word[finding.name].push_back(&finding);
  for (auto& [name, statements] : by_word) {
    const Word& word = *words.Find(name);
    Finding finding{&word, std::move(statements), PhrasesOf(word), {}, TellsHow(word)};
    finding.before_slot = WordsBeforeSlots(word);
    findings_.push_back(std::move(finding));
  }
  std::vector<int> uses(At(words_.size()), 0);
  for (const Finding& finding : findings_) {
    std::set<int> once;
    for (const Phrase& phrase : finding.phrases) {
      if (phrase.present) once.insert(phrase.words.begin(), phrase.words.end());
    }
    for (const int word : once) ++uses[At(word)];
  }
  const auto all = static_cast<double>(findings_.size());
  for (int word = 0; word < words_.size(); ++word) {
    const int n = uses[At(word)];
    weights_.push_back(words_.IsSmall(word)      ? kWeightOfSmall
                       : word == SaidWords::kNot ? kWeightOfNot
                       : n == 0                  ? kWeightOfUnknown
                                                 : std::log(1 + all / n) / std::log(1 + all));
  }
}

std::vector<WordsMatcher::Phrase> WordsMatcher::PhrasesOf(const Word& word) {
  std::vector<Phrase> phrases;
  const auto add = [&](const std::string& text, bool present, double bonus) {
    Phrase phrase{words_.Learn(WithoutSlots(text)), present, bonus};
    phrase.denies =
        std::find(phrase.words.begin(), phrase.words.end(), SaidWords::kNot) != phrase.words.end();
    phrase.denies_thing = phrase.denies && text.find('{') != std::string::npos &&
                          std::all_of(phrase.words.begin(), phrase.words.end(),
                                      [&](int one) { return one == SaidWords::kNot || words_.IsSmall(one); });
    if (!phrase.words.empty()) phrases.push_back(std::move(phrase));
  };
  add(word.says, true, word.ask.empty() ? 0 : 0.05);
  for (const std::string& ask : word.ask) add(ask, true, 0.06);
  if (!word.says_absent.empty()) add(word.says_absent, false, -0.06);
  for (const std::string& ask : word.ask_absent) add(ask, false, 0.02);
  return phrases;
}

// The words that stand before a slot, and before no other, in the sentences and phrases: "into" before `to`.
std::vector<std::set<int>> WordsMatcher::WordsBeforeSlots(const Word& word) {
  std::vector<std::set<int>> before(word.slots.size());
  std::vector<std::string> texts = word.ask;
  texts.push_back(word.says);
  for (const std::string& text : texts) {
    for (std::size_t i = 0; i < word.slots.size(); ++i) {
      const std::size_t at = text.find("{" + word.slots[i].name + "}");
      if (at == std::string::npos) continue;
      const std::vector<int> words = words_.Learn(text.substr(0, at));
      if (!words.empty()) before[i].insert(words.back());
    }
  }
  for (std::size_t i = 0; i < before.size(); ++i) {
    for (std::size_t k = i + 1; k < before.size(); ++k) {
      const std::set<int> of_one = before[i];
      std::erase_if(before[i], [&](int one) { return before[k].contains(one); });
      std::erase_if(before[k], [&](int one) { return of_one.contains(one); });
    }
  }
  return before;
}

double WordsMatcher::Weight(int word) const { return word < 0 ? kWeightOfUnknown : weights_[At(word)]; }

WordsMatcher::Part WordsMatcher::PartOf(const Part& whole, std::size_t begin, std::size_t end) const {
  Part part;
  part.said.assign(whole.said.begin() + static_cast<std::ptrdiff_t>(begin),
                   whole.said.begin() + static_cast<std::ptrdiff_t>(end));
  for (Mention mention : whole.mentions) {
    if (mention.begin < begin || mention.end > end) continue;
    mention.begin -= begin;
    mention.end -= begin;
    part.mentions.push_back(std::move(mention));
  }
  return part;
}

// The slot that the word before a mention names: "into third".
std::optional<std::size_t> WordsMatcher::NamedSlot(const Finding& finding, const Part& part,
                                                   const Mention& mention,
                                                   const std::vector<std::size_t>& of) const {
  for (std::size_t back = 1; back <= 2 && back <= mention.begin; ++back) {
    for (const std::size_t slot : of) {
      if (finding.before_slot[slot].contains(part.said[mention.begin - back].word)) return slot;
    }
  }
  return std::nullopt;
}

// How well what is mentioned of one kind fills its slots `of` in the statement: nothing where it does not.
std::optional<double> WordsMatcher::FillsSlots(const Finding& finding, const Part& part,
                                               const Statement& statement, const std::vector<std::size_t>& of,
                                               const std::vector<const Mention*>& mentions) const {
  bool fits = false;
  double how = 1;
  if (of.size() == 1) {
    for (std::size_t m = 0; m < mentions.size(); ++m) {
      fits = fits || Has(mentions[m]->values, statement.slots[of[0]]);
      // "Second to third" is one thing that happens between the two.
      if (m > 0 && !mentions[m]->listed) how = 0.75;
    }
  } else if (mentions.size() == 1) {
    const auto slot = NamedSlot(finding, part, *mentions[0], of);
    for (const std::size_t one : of)
      fits = fits || ((!slot || *slot == one) && Has(mentions[0]->values, statement.slots[one]));
    how = 0.97;
  } else {
    for (std::size_t m = 0; m + 1 < mentions.size(); ++m) {
      fits = fits || (Has(mentions[m]->values, statement.slots[of[0]]) &&
                      Has(mentions[m + 1]->values, statement.slots[of[1]]));
    }
  }
  return fits ? std::optional(how) : std::nullopt;
}

// What is mentioned fills the slots of its kind, in their order. A finding whose slots it cannot fill is not
// meant.
WordsMatcher::Fit WordsMatcher::FitOf(const Finding& finding, const Part& part) const {
  const std::vector<Slot>& slots = finding.word->slots;
  std::map<std::string, std::vector<std::size_t>> slots_of;
  for (std::size_t i = 0; i < slots.size(); ++i) slots_of[slots[i].kind].push_back(i);
  std::map<std::string, std::vector<const Mention*>> mentions_of;
  for (const Mention& mention : part.mentions) {
    if (slots_of.contains(mention.kind)) mentions_of[mention.kind].push_back(&mention);
  }
  Fit best;
  best.used.assign(part.said.size(), false);
  best.all_said = !slots.empty() && std::all_of(slots_of.begin(), slots_of.end(), [&](const auto& one) {
    return mentions_of.contains(one.first) && mentions_of.at(one.first).size() >= one.second.size();
  });
  for (const auto& [kind, mentions] : mentions_of) {
    for (const Mention* mention : mentions)
      for (std::size_t i = mention->begin; i < mention->end; ++i) best.used[i] = true;
  }
  const double share = 1.0 / static_cast<double>(std::max<std::size_t>(1, slots_of.size()));
  for (const Statement* statement : finding.statements) {
    double quality = slots.empty() ? 1 : 0;
    for (const auto& [kind, of] : slots_of) {
      const auto found = mentions_of.find(kind);
      if (found == mentions_of.end()) {
        double named = 0;
        for (const std::size_t slot : of)
          named = std::max(named, names_.Share(kind, statement->slots[slot], part.said));
        quality += share * (named >= 0.5 ? 0.97 + 0.02 * named : 0.97);
        continue;
      }
      const auto how = FillsSlots(finding, part, *statement, of, found->second);
      if (!how) {
        quality = -1;
        break;
      }
      quality += share * *how;
    }
    if (quality <= 0 || quality < best.quality - 1e-9) continue;
    if (quality > best.quality + 1e-9) best.statements.clear();
    best.quality = std::max(best.quality, quality);
    best.statements.push_back(statement);
  }
  return best;
}

// What of the text is the phrase's, and whether a denial denies it. `used`: words that fill slots.
WordsMatcher::Heard WordsMatcher::Hear(const Phrase& phrase, const std::vector<SaidWord>& said,
                                       const std::vector<bool>& used) const {
  Heard heard;
  heard.hit.resize(said.size());
  const auto in_phrase = [&](int word) {
    return std::find(phrase.words.begin(), phrase.words.end(), word) != phrase.words.end();
  };
  for (std::size_t i = 0; i < said.size(); ++i) {
    heard.hit[i] = said[i].word >= 0 && in_phrase(said[i].word);
    heard.is_said =
        heard.is_said || (heard.hit[i] && !words_.IsSmall(said[i].word) && said[i].word != SaidWords::kNot);
  }
  // "No reverse": a denial beside a thing.
  for (std::size_t i = 0; i < said.size() && phrase.denies_thing; ++i) {
    if (said[i].word != SaidWords::kNot) continue;
    std::size_t next = i + 1, before = i;
    while (next < said.size() && words_.IsSmall(said[next].word) && !used[next]) ++next;
    while (before > 0 && words_.IsSmall(said[before - 1].word) && !used[before - 1]) --before;
    heard.is_said = heard.is_said || (next < said.size() && used[next]) || (before > 0 && used[before - 1]);
  }
  if (!heard.is_said) return heard;
  // A denial that is none of the phrase's own denies what the next word that counts tells of: the phrase, or
  // a thing.
  for (std::size_t i = 0; i < said.size() && !phrase.denies; ++i) {
    if (said[i].word != SaidWords::kNot) continue;
    std::size_t next = i + 1;
    while (next < said.size() && words_.IsSmall(said[next].word)) ++next;
    heard.has_denial = true;
    if (next < said.size() && heard.hit[next] && !used[next]) heard.denied = heard.hit[i] = true;
  }
  return heard;
}

// The phrase that fits best. `used`: words that fill slots; `light`: words that tell how it comes.
WordsMatcher::Scored WordsMatcher::Score(const Finding& finding, const Part& part,
                                         const std::vector<bool>& used,
                                         const std::vector<bool>& light) const {
  const std::vector<SaidWord>& said = part.said;
  std::vector<bool> mentioned(said.size(), false);
  for (const Mention& mention : part.mentions)
    for (std::size_t i = mention.begin; i < mention.end; ++i) mentioned[i] = true;
  const bool has_not =
      std::any_of(said.begin(), said.end(), [](const SaidWord& s) { return s.word == SaidWords::kNot; });
  Scored best;
  for (const Phrase& phrase : finding.phrases) {
    const Heard heard = Hear(phrase, said, used);
    if (!heard.is_said) continue;
    double covered = 0, missed = 0, content = 0;
    for (std::size_t i = 0; i < said.size(); ++i) {
      const double weight = Weight(said[i].word);
      if (heard.hit[i]) {
        if (!used[i]) covered += weight * said[i].sure;
        if (!used[i]) missed += weight * (1 - said[i].sure);
        content += weight;
      } else if (!used[i]) {
        missed += mentioned[i] ? std::min(weight, kWeightOfMention)
                  : light[i]   ? weight * kWeightOfHow
                               : weight;
      }
    }
    double whole = 0, found = 0;
    for (const int word : phrase.words) {
      const double weight = Weight(word);
      whole += weight;
      const bool is_there =
          std::any_of(said.begin(), said.end(), [&](const SaidWord& s) { return s.word == word; });
      if (is_there) found += weight;
    }
    if (content <= 0 || whole <= 0) continue;
    const double recall = covered > 0 ? covered / (covered + missed) : 0, precision = found / whole;
    double score = 0.6 * recall + 0.35 * precision + phrase.bonus;
    if (phrase.denies && !has_not) score -= 0.25;
    if (heard.has_denial && !finding.tells_how) score -= heard.denied ? 0.04 : 0.1;
    if (heard.denied && precision < kDeniedPrecision) continue;
    if (score <= best.score) continue;
    best = {score, phrase.present != heard.denied, heard.hit, precision};
  }
  return best;
}

// What tells of another finding how it comes; the words that do are `light`.
std::vector<WordsMatcher::Candidate> WordsMatcher::HowItComes(const Part& part,
                                                              std::vector<bool>& light) const {
  const std::size_t n = part.said.size();
  std::vector<Candidate> how;
  for (const Finding& finding : findings_) {
    if (!finding.tells_how) continue;
    Fit fit = FitOf(finding, part);
    if (fit.statements.empty()) continue;
    Scored scored = Score(finding, part, fit.used, std::vector<bool>(n, true));
    if (scored.precision < 0.75 || !scored.present) continue;
    for (std::size_t i = 0; i < n; ++i) light[i] = light[i] || scored.covered[i];
    scored.score *= fit.quality;
    how.push_back({&finding, std::move(fit), std::move(scored)});
  }
  std::stable_sort(how.begin(), how.end(), IsBetter);
  return how;
}

std::optional<WordsMatcher::Candidate> WordsMatcher::CandidateOf(const Finding& finding, const Part& part,
                                                                 const std::vector<bool>& light) const {
  Candidate one{&finding, FitOf(finding, part), {}};
  if (one.fit.statements.empty()) return std::nullopt;
  one.scored = Score(finding, part, one.fit.used, light);
  one.scored.score *= one.fit.quality;
  // That something is not so is told of a thing that is named.
  if (!one.scored.present && !one.fit.all_said && !finding.word->slots.empty()) return std::nullopt;
  if (one.scored.score < kLeastScore) return std::nullopt;
  return one;
}

WordsMatcher::PartMatches WordsMatcher::MatchPart(const Part& part) const {
  PartMatches result;
  const std::size_t n = part.said.size();
  const std::vector<bool> none(n, false);
  std::vector<bool> light = none;
  const std::vector<Candidate> how = HowItComes(part, light);
  double weight = 0, rest = 0;
  for (std::size_t i = 0; i < n; ++i) {
    weight += Weight(part.said[i].word);
    if (!light[i]) rest += Weight(part.said[i].word);
  }
  for (const Mention& mention : part.mentions)
    for (std::size_t i = mention.begin; i < mention.end; ++i)
      rest -= light[i] ? 0 : Weight(part.said[i].word);
  const bool only_how = rest < kLeastScore;
  std::vector<Candidate> plain;
  for (const Finding& finding : findings_) {
    if (finding.tells_how && !only_how) continue;
    if (auto one = CandidateOf(finding, part, only_how ? none : light)) plain.push_back(std::move(*one));
  }
  std::stable_sort(plain.begin(), plain.end(), IsBetter);
  const auto keep = [&](const Candidate& one) {
    WordsMatch match{one.finding->word->name, {}, one.scored.present, one.fit.all_said, one.scored.score};
    for (const Statement* statement : one.fit.statements) match.meant.push_back(*statement);
    result.matches.push_back(std::move(match));
  };
  if (plain.empty()) return result;
  result.likeliest = 1;
  keep(plain[0]);
  result.worth = plain[0].scored.score * weight;
  // Each word tells one how, and none that the finding itself is told by.
  std::vector<bool> told = plain[0].scored.covered;
  for (const Candidate& one : how) {
    if (only_how) break;
    bool tells = false;
    for (std::size_t i = 0; i < n; ++i) {
      const bool counts = one.scored.covered[i] && !words_.IsSmall(part.said[i].word);
      tells = tells || (counts && !told[i]);
    }
    if (!tells) continue;
    for (std::size_t i = 0; i < n; ++i) told[i] = told[i] || one.scored.covered[i];
    keep(one);
    ++result.likeliest;
  }
  for (std::size_t i = 1; i < plain.size(); ++i) {
    // What is far behind the best only makes the list longer.
    if (plain[i].scored.score >= kLeastOfBest * plain[0].scored.score) keep(plain[i]);
  }
  return result;
}

// Where the text falls apart into parts that are best understood each by itself: the beginnings, and the end.
std::vector<std::size_t> WordsMatcher::Cuts(const Part& whole) const {
  // Pieces between joins and commas; one that only names things, or tells nothing, belongs to its neighbour.
  std::vector<std::size_t> begins = {0};
  std::vector<bool> mentioned(whole.said.size(), false);
  for (const Mention& mention : whole.mentions)
    for (std::size_t i = mention.begin; i < mention.end; ++i) mentioned[i] = true;
  const auto tells = [&](std::size_t begin, std::size_t end) {
    bool names = false, denies = false;
    for (std::size_t i = begin; i < end; ++i) {
      const int word = whole.said[i].word;
      names = names || mentioned[i];
      denies = denies || word == SaidWords::kNot;
      if (!mentioned[i] && word != SaidWords::kNot && !words_.IsSmall(word)) return true;
    }
    return names && denies;
  };
  std::size_t begin = 0;
  for (std::size_t i = 1; i < whole.said.size(); ++i) {
    if (!(whole.said[i].breaks || words_.IsJoin(whole.said[i].word)) || !tells(begin, i) ||
        !tells(i, whole.said.size()))
      continue;
    // A piece that only names things is one more of the list before it.
    std::size_t next = i + 1;
    while (next < whole.said.size() && !(whole.said[next].breaks || words_.IsJoin(whole.said[next].word)))
      ++next;
    if (!tells(i, next)) continue;
    begins.push_back(i);
    begin = i;
  }
  begins.push_back(whole.said.size());
  const std::size_t pieces = begins.size() - 1;
  if (pieces == 1) return begins;
  std::vector<double> best(pieces + 1, -std::numeric_limits<double>::infinity());
  std::vector<std::size_t> from(pieces + 1, 0);
  best[0] = 0;
  for (std::size_t end = 1; end <= pieces; ++end) {
    for (std::size_t start = end - std::min(end, kMostTogether); start < end; ++start) {
      const double worth = MatchPart(PartOf(whole, begins[start], begins[end])).worth;
      const double sum = best[start] + worth - (worth > 0 ? kCostOfPart : 0);
      if (sum <= best[end] + 1e-9) continue;
      best[end] = sum;
      from[end] = start;
    }
  }
  std::vector<std::size_t> cuts = {whole.said.size()};
  for (std::size_t end = pieces; end > 0; end = from[end]) cuts.push_back(begins[from[end]]);
  std::reverse(cuts.begin(), cuts.end());
  return cuts;
}

Understood WordsMatcher::Match(std::string_view text, int most) const {
  text = text.substr(0, kLongestText);
  Understood understood;
  Part whole;
  whole.said = words_.Hear(text);
  whole.mentions = names_.In(whole.said);
  if (whole.said.empty()) return understood;
  std::vector<WordsMatch> others;
  const auto add = [&](std::vector<WordsMatch>& to, WordsMatch match) {
    const auto same = [&](const WordsMatch& other) {
      return other.word == match.word && other.meant == match.meant && other.present == match.present;
    };
    const bool is_there = std::any_of(understood.matches.begin(), understood.matches.end(), same) ||
                          std::any_of(to.begin(), to.end(), same);
    if (!is_there) to.push_back(std::move(match));
  };
  const std::vector<std::size_t> cuts = Cuts(whole);
  for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
    const Part part = PartOf(whole, cuts[i], cuts[i + 1]);
    PartMatches matches = MatchPart(part);
    const auto said = [&] {
      const std::size_t begin = part.said.front().begin;
      return std::string(text.substr(begin, part.said.back().end - begin));
    };
    if (matches.matches.empty()) {
      understood.not_understood.push_back(said());
      continue;
    }
    const bool sure = matches.matches[0].score >= kSureScore;
    if (!sure) understood.not_understood.push_back(said());
    for (int k = 0; k < std::ssize(matches.matches); ++k)
      add(sure && k < matches.likeliest ? understood.matches : others, std::move(matches.matches[At(k)]));
  }
  understood.likeliest = static_cast<int>(understood.matches.size());
  std::stable_sort(others.begin(), others.end(),
                   [](const WordsMatch& a, const WordsMatch& b) { return a.score > b.score; });
  for (WordsMatch& match : others) add(understood.matches, std::move(match));
  if (std::ssize(understood.matches) > most) understood.matches.resize(At(most));
  understood.likeliest = std::min(understood.likeliest, most);
  return understood;
}

std::vector<Value> WordsMatcher::NamedValues(std::string_view text, const std::string& kind) const {
  std::set<Value> values;
  for (const Mention& mention : names_.In(words_.Hear(text.substr(0, kLongestText)))) {
    if (mention.kind == kind) values.insert(mention.values.begin(), mention.values.end());
  }
  return {values.begin(), values.end()};
}

std::vector<Statement> WordsMatcher::Named(std::string_view text,
                                           const std::vector<Statement>& statements) const {
  std::vector<Statement> named;
  if (statements.empty()) return named;
  Part part;
  part.said = words_.Hear(text.substr(0, kLongestText));
  part.mentions = names_.In(part.said);
  const auto finding = std::find_if(findings_.begin(), findings_.end(),
                                    [&](const Finding& one) { return one.word->name == statements[0].name; });
  if (finding == findings_.end()) return named;
  Finding some = *finding;
  some.statements.clear();
  for (const Statement& statement : statements) some.statements.push_back(&statement);
  const Fit fit = FitOf(some, part);
  if (std::none_of(fit.used.begin(), fit.used.end(), [](bool used) { return used; })) return named;
  for (const Statement* statement : fit.statements) named.push_back(*statement);
  return named;
}

}  // namespace gearwhy
