// Edit distance by dynamic programming over prefixes (R. A. Wagner, M. J. Fischer, The string-to-string
// correction problem, Journal of the ACM 21, 1974, from memory), with the swap of neighbours added as in the
// optimal string alignment distance: no part of a string is edited twice.
#include "engine/text/near_names.h"

#include <algorithm>
#include <cstddef>
#include <vector>

#include "engine/text/ascii.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

constexpr std::size_t kLongestCompared = 200;  // longer names are nobody's slip of the pen

std::string Folded(std::string_view name) {
  std::string folded = Lower(name);
  std::replace(folded.begin(), folded.end(), '-', '_');
  return folded;
}

}  // namespace

int EditDistance(std::string_view a, std::string_view b) {
  // Row i holds the distances from the first i characters of a to every prefix of b.
  std::vector<int> before_last(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = static_cast<int>(j);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    before_last.swap(last);
    last.swap(row);
    row[0] = static_cast<int>(i);
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const int replace = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      row[j] = std::min({replace, last[j] + 1, row[j - 1] + 1});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        row[j] = std::min(row[j], before_last[j - 2] + 1);
      }
    }
  }
  return row[b.size()];
}

std::optional<std::string> NearestName(std::string_view wrong, std::span<const std::string> known) {
  if (wrong.size() > kLongestCompared) return std::nullopt;
  const std::string folded = Folded(wrong);
  const std::size_t limit = std::max<std::size_t>(1, folded.size() / 3);
  const std::string* best = nullptr;
  int best_distance = 0;
  for (const std::string& name : known) {
    const std::size_t longer = std::max(name.size(), folded.size());
    if (longer - std::min(name.size(), folded.size()) > limit) continue;
    const int distance = EditDistance(folded, Folded(name));
    // As many edits as characters is a different name altogether.
    if (static_cast<std::size_t>(distance) > limit || static_cast<std::size_t>(distance) >= longer) continue;
    if (!best || distance < best_distance || (distance == best_distance && name < *best)) {
      best = &name;
      best_distance = distance;
    }
  }
  if (!best) return std::nullopt;
  return *best;
}

namespace {

// Of too many names those that have most in common with it, by runs of letters and by edits, in the order in
// which they are known.
std::vector<std::string> LeastUnlike(std::string_view wrong, std::span<const std::string> known,
                                     std::size_t most) {
  if (known.size() <= most || wrong.size() > kLongestCompared)
    return {known.begin(), known.begin() + static_cast<std::ptrdiff_t>(std::min(known.size(), most))};
  const std::string folded = Folded(wrong);
  std::vector<std::pair<int, std::size_t>> unlike;
  for (std::size_t i = 0; i < known.size(); ++i) {
    const std::string name = Folded(known[i]);
    const int longer = static_cast<int>(std::max(name.size(), folded.size()));
    const bool has = !folded.empty() && name.find(folded) != std::string::npos;
    unlike.emplace_back(has ? 0 : 1000 * EditDistance(folded, name) / std::max(1, longer), i);
  }
  std::nth_element(unlike.begin(), unlike.begin() + static_cast<std::ptrdiff_t>(most), unlike.end());
  unlike.resize(most);
  std::sort(unlike.begin(), unlike.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
  std::vector<std::string> names;
  for (const auto& [how_unlike, i] : unlike) names.push_back(known[i]);
  return names;
}

}  // namespace

std::string Hint(std::string_view wrong, std::span<const std::string> known, int most) {
  if (const auto near = NearestName(wrong, known)) return "; did you mean " + InTicks(*near) + "?";
  if (known.empty() || most <= 0) return "";
  std::string hint = "; known are ";
  const std::vector<std::string> shown = LeastUnlike(wrong, known, static_cast<std::size_t>(most));
  for (std::size_t i = 0; i < shown.size(); ++i) hint += (i > 0 ? ", " : "") + InTicks(shown[i]);
  if (known.size() > shown.size()) hint += " and " + std::to_string(known.size() - shown.size()) + " more";
  return hint;
}

std::string SpokenHint(std::string_view wrong, std::span<const SpokenName> known, int most) {
  std::string said(wrong);
  std::replace_if(
      said.begin(), said.end(), [](char c) { return c == '_' || c == '-'; }, ' ');
  std::vector<std::string> names, spoken;
  for (const auto& [name, says] : known) {
    names.push_back(name);
    if (!says.empty()) spoken.push_back(says);
  }
  const auto near = NearestName(wrong, names) ? std::nullopt : NearestName(said, spoken);
  if (!near) return Hint(wrong, names, most);
  const auto meant =
      std::find_if(known.begin(), known.end(), [&](const SpokenName& one) { return one.second == *near; });
  return "; did you mean " + InTicks(meant->first) + ", " + SafeLine(*near) + "?";
}

}  // namespace gearwhy
