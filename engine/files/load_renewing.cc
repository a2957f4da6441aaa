#include "engine/files/load_renewing.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/files/read_value.h"
#include "engine/text/near_names.h"
#include "engine/text/number.h"

namespace gearwhy {
namespace {

using enum Presence;

void LoadAgain(const YamlEntry& entry, Fields& fields, Rulebook& book, Diagnostics& diagnostics) {
  Again again;
  again.part_kind = entry.key;
  again.place = entry.key_place;
  const Scale& how_often = book.words.how_often;
  ReadChance(fields, "sound", kNeeded, again.p_sound,
             "How often a unit comes out again within its warranty for a part that was found sound and used "
             "again.",
             how_often);
  ReadChance(fields, "long_used", kOptional, again.p_long_used,
             "The same, where it has run long; as `sound` when left out.", how_often);
  ReadChance(fields, "renewed", kNeeded, again.p_renewed, "The same, where it was renewed.", how_often);
  ReadMinutes(fields, kNeeded, again.minutes, "How long renewing it takes while it lies open.");
  fields.Text("because", kNeeded, again.because, "Why it comes back for it, a sentence.");
  fields.Done();
  if (again.p_long_used && *again.p_long_used < again.p_sound) {
    diagnostics.Error(fields.PlaceOf("long_used"), "younger-with-use",
                      fmt::format("a part that has run long is not less likely to bring the unit out again: "
                                  "`long_used` is at least `sound`, {:.4g} in 100",
                                  again.p_sound * 100));
  }
  const auto [it, is_new] = book.renewing.again.emplace(entry.key, again);
  if (!is_new) ReportTwice(entry.key, entry.key_place, it->second.place, diagnostics);
}

// An amount of money: at least 0. What is read stands behind.
void CheckPrice(double price, const char* key, const Place& place, Diagnostics& diagnostics) {
  if (price < 0)
    diagnostics.Error(place, "negative-price", fmt::format("`{}` cannot cost less than nothing", key));
}

void ReadPrice(Fields& fields, const char* key, Presence presence, double& to, const char* help) {
  fields.Number(key, presence, to, help);
  CheckPrice(to, key, fields.PlaceOf(key), fields.diagnostics());
}

// What stands once in a rulebook, with a shop's own.
template <typename One>
void Keep(const char* key, One one, std::optional<One>& kept, Diagnostics& diagnostics) {
  if (kept)
    ReportTwice(key, one.place, kept->place, diagnostics);
  else
    kept = std::move(one);
}

void LoadComeBack(Fields& fields, Rulebook& book, Diagnostics& diagnostics) {
  ComeBack come_back;
  come_back.place = fields.place();
  ReadMinutes(
      fields, kNeeded, come_back.minutes,
      "What one coming back takes, besides the way to the part: taking it in, finding out, trying it.");
  fields.Done();
  Keep("come_back", come_back, book.renewing.come_back, diagnostics);
}

void LoadPrices(Fields& fields, Rulebook& book, Diagnostics& diagnostics) {
  Prices prices;
  prices.place = fields.place();
  ReadPrice(fields, "hour", kNeeded, prices.hour, "Of an hour's work.");
  ReadPrice(fields, "come_back", kOptional, prices.come_back,
            "Of one coming back, besides its work: a tow, a vehicle to lend.");
  for (const YamlEntry& entry : fields.Map("parts", kOptional, "number", "Of one part, by its kind.")) {
    std::string text, why;
    if (!ReadText(entry.value, fmt::format("the price of `{}`", entry.key), diagnostics, &text)) continue;
    const std::optional<double> price = ParseNumber(text, &why);
    if (price) {
      CheckPrice(*price, entry.key.c_str(), entry.value.place, diagnostics);
      prices.parts[entry.key] = {*price, entry.key_place};
    } else {
      diagnostics.Error(
          entry.value.place, "not-a-number",
          fmt::format("the price of `{}` should be a number, without a currency: {}", entry.key, why));
    }
  }
  fields.Done();
  Keep("prices", std::move(prices), book.renewing.prices, diagnostics);
}

}  // namespace

void LoadRenewing(Fields& file, Rulebook& book, Diagnostics& diagnostics) {
  for (auto& [entry, fields] :
       file.Named("again", kOptional, "renewal",
                  "How often a unit comes out again in its warranty for a part, by the kind of part."))
    LoadAgain(entry, fields, book, diagnostics);
  const auto one = [&](const char* key, const char* help, auto load) {
    const YamlNode* node = file.Value(key, kOptional, key, help);
    if (node == nullptr) return;
    Fields fields = file.Entry(key, *node, fmt::format("`{}`", key));
    load(fields, book, diagnostics);
  };
  one("come_back", "What it takes when a unit comes back.", LoadComeBack);
  one("prices", "What work and parts cost, in the shop's own money.", LoadPrices);
}

void CheckRenewing(const Rulebook& book, Diagnostics& diagnostics) {
  const Renewing& renewing = book.renewing;
  std::vector<std::string> repaired;
  for (const Repair& repair : book.repairs) repaired.push_back(repair.part_kind);
  for (const auto& [kind, again] : renewing.again) {
    if (std::find(repaired.begin(), repaired.end(), kind) != repaired.end()) continue;
    diagnostics.Error(again.place, "no-repair",
                      fmt::format("`repairs` does not say with which access a `{}` is renewed{}", kind,
                                  Hint(kind, repaired)));
  }
  if (!renewing.again.empty() && !renewing.come_back) {
    diagnostics.Error(renewing.again.begin()->second.place, "no-come-back",
                      "`again` is weighed against coming back; say what that takes, as in `come_back: "
                      "{minutes: 90}`");
  }
  if (!renewing.prices) return;
  for (const auto& [kind, price] : renewing.prices->parts) {
    if (renewing.again.contains(kind)) continue;
    diagnostics.Error(price.place, "needless-price",
                      fmt::format("`again` has no line for `{}`, so its price counts nowhere{}", kind,
                                  Hint(kind, NamesOf(renewing.again))));
  }
}

}  // namespace gearwhy
