// What somebody said, as the statements it may mean, with what brings them about and which checks tell them.
#include <fmt/format.h>

#include <algorithm>

#include "engine/files/case_text.h"
#include "engine/render/rules_text.h"
#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr int kCauses = 3;  // that are shown

std::string Written(const FoundWord& found, const Words& words) {
  const std::string statement = StatementYaml(found.statement, words);
  const bool has_slots = statement.find(": ") != std::string::npos;
  return fmt::format("- {}: {}", found.present ? "present" : "absent",
                     has_slots ? "{" + statement + "}" : statement);
}

}  // namespace

std::string FoundText(const std::vector<FoundWord>& all, const Unit* unit, const Rulebook& book,
                      const Speaker& speaker, const TextStyle& style) {
  Page page(style);
  if (unit != nullptr)
    page.Aside("", fmt::format("In {}; other units have ranges of their own.", unit->name));
  for (const FoundWord& found : all) {
    page.Heading(Written(found, book.words));
    const std::string more =
        found.of > 1 ? fmt::format(" So are {} more, each in its place.", found.of - 1) : "";
    page.Paragraph("    ", AsSentence(speaker.Say(found.statement, found.present)) + more);
    for (int i = 0; i < kCauses && At(i) < found.causes.size(); ++i) {
      const FoundWord::Cause& cause = found.causes[At(i)];
      page.Pair("    by  ", AsSentence(speaker.Say(cause.statement)),
                fmt::format("{} ({})", ShowChance(cause.how_often), cause.chart));
    }
    if (found.causes.size() > kCauses)
      page.Paragraph("        ", fmt::format("{} more: gearwhy rules show {}", found.causes.size() - kCauses,
                                             found.causes[0].chart));
    std::string checks;
    for (const std::string& id : found.checks) checks += (checks.empty() ? "" : ", ") + id;
    page.Paragraph("    told by  ", checks.empty() ? "no check" : checks);
  }
  return page.text();
}

}  // namespace gearwhy
