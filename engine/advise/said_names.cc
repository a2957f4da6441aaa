#include "engine/advise/said_names.h"

#include <algorithm>
#include <set>

namespace gearwhy {

SaidNames::SaidNames(const std::vector<Statement>& findings, const Words& words, const SayValueOf& say_value,
                     const FactStore* facts, SaidWords& said_words)
    : words_(said_words) {
  std::map<std::string, std::map<Value, const Slot*>> values;
  for (const Statement& finding : findings) {
    const Word& word = *words.Find(finding.name);
    for (std::size_t i = 0; i < word.slots.size(); ++i) {
      if (!word.slots[i].dimension) values[word.slots[i].kind].emplace(finding.slots[i], &word.slots[i]);
    }
  }
  for (const auto& [name, of_kind] : values) {
    OfKind& kind = kinds_[name];
    for (const auto& [value, slot] : of_kind) {
      Add(kind, value, ShowValue(value));
      const std::string spoken = say_value(value, *slot);
      const std::size_t open = spoken.find(" ("), close = spoken.find(')');
      if (open == std::string::npos || close == std::string::npos || close < open) {
        Add(kind, value, spoken);
      } else {
        Add(kind, value, spoken.substr(0, open));
        Add(kind, value, spoken.substr(open + 2, close - open - 2));
      }
    }
  }
  for (const Sayings::Called& called : words.sayings.called) {
    const auto kind = kinds_.find(words.Find(called.fact)->slots[0].kind);
    if (facts == nullptr || kind == kinds_.end()) continue;
    for (const FactId fact : facts->Named(Sense::kFact, called.fact)) {
      const Value value = facts->Get(fact).statement.slots[0];
      if (!kind->second.by_value.contains(value)) continue;
      for (const std::string& text : called.names) Add(kind->second, value, text);
    }
  }
}

void SaidNames::Add(OfKind& kind, const Value& value, const std::string& text) {
  std::vector<int> words = words_.Learn(text);
  auto& names = kind.by_value[value];
  const bool tells = std::any_of(words.begin(), words.end(), [&](int word) { return !words_.IsSmall(word); });
  if (!tells || std::find(names.begin(), names.end(), words) != names.end()) return;
  for (const int word : std::set<int>(words.begin(), words.end())) ++kind.uses[word];
  kind.by_first[words[0]].push_back({words, value});
  // "The pump" is called "pump", too.
  names.push_back(words);
  const auto first =
      std::find_if(words.begin(), words.end(), [&](int word) { return !words_.IsSmall(word); });
  std::vector<int> bare(first, words.end());
  if (bare.size() < words.size() && bare.size() > 1) kind.by_first[bare[0]].push_back({bare, value});
}

std::vector<Mention> SaidNames::In(const std::vector<SaidWord>& said) const {
  std::vector<Mention> mentions;
  for (const auto& [name, kind] : kinds_) {
    const std::vector<Mention> more = OfOneKind(name, kind, said);
    mentions.insert(mentions.end(), more.begin(), more.end());
  }
  return mentions;
}

std::vector<Mention> SaidNames::OfOneKind(const std::string& name, const OfKind& kind,
                                          const std::vector<SaidWord>& said) const {
  std::vector<Mention> mentions;
  for (std::size_t i = 0; i < said.size(); ++i) {
    Mention mention{name, {}, i, i};
    const auto names = kind.by_first.find(said[i].word);
    if (names == kind.by_first.end()) continue;
    for (const Name& one : names->second) {
      const auto end = words_.EndOf(one.words, said, i);
      if (!end || *end < mention.end) continue;
      if (*end > mention.end) mention.values.clear();
      mention.end = *end;
      mention.values.push_back(one.value);
    }
    // "Three seconds" is no third gear.
    const bool counts = mention.end == i + 1 && mention.end < said.size() &&
                        words_.IsCounted(said[mention.end].word) && !said[mention.end].breaks;
    if (mention.values.empty() || counts) continue;
    std::sort(mention.values.begin(), mention.values.end());
    mention.values.erase(std::unique(mention.values.begin(), mention.values.end()), mention.values.end());
    if (!mentions.empty()) {
      bool joined = said[i].breaks, only_small = true;
      for (std::size_t k = mentions.back().end; k < i; ++k) {
        joined = joined || words_.IsJoin(said[k].word) || said[k].breaks;
        only_small = only_small && words_.IsSmall(said[k].word);
      }
      mention.listed = joined && only_small;
    }
    mentions.push_back(std::move(mention));
    i = mentions.back().end - 1;
  }
  return mentions;
}

double SaidNames::Share(const std::string& kind, const Value& value,
                        const std::vector<SaidWord>& said) const {
  const auto of_kind = kinds_.find(kind);
  if (of_kind == kinds_.end()) return 0;
  const auto names = of_kind->second.by_value.find(value);
  if (names == of_kind->second.by_value.end()) return 0;
  double best = 0;
  for (const std::vector<int>& words : names->second) {
    double all = 0, found = 0;
    for (const int word : words) {
      if (words_.IsSmall(word)) continue;
      const double weight = 1.0 / of_kind->second.uses.at(word);
      all += weight;
      const bool is_said =
          std::any_of(said.begin(), said.end(), [&](const SaidWord& s) { return s.word == word; });
      if (is_said) found += weight;
    }
    if (all > 0) best = std::max(best, found / all);
  }
  return best;
}

}  // namespace gearwhy
