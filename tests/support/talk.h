// An interview without a terminal, for tests: what a person would type, and what they would see.
#pragma once

#include <fstream>
#include <map>
#include <memory>
#include <sstream>
#include <string>

#include "engine/advise/read_reply.h"
#include "engine/files/load_case.h"
#include "engine/render/interview_text.h"
#include "engine/text/yaml.h"
#include "tests/support/catch.h"

namespace gearwhy {

// What an interview asks of its host, for a book that is loaded. All of them must outlive it.
struct TalkBook {
  const Rulebook* book = nullptr;
  Sources* sources = nullptr;
  std::vector<std::string> units = {};
  std::function<const Unit*(const std::string&, Diagnostics&)> find_unit = {};
};

inline std::shared_ptr<const InterviewHost> TalkHost(const TalkBook& of) {
  auto host = std::make_shared<InterviewHost>();
  const auto known = std::make_shared<std::map<std::string, std::optional<UnitKnowledge>>>();
  const auto made =
      std::make_shared<std::map<std::pair<std::string, std::string>, std::shared_ptr<const Transmission>>>();
  host->book = of.book;
  host->sources = of.sources;
  host->units = of.units;
  host->find_unit = of.find_unit;
  host->read_case = [of](const std::string& name, const std::string& text,
                         Diagnostics& diagnostics) -> std::optional<Case> {
    const auto root = ParseYaml(*of.sources, of.sources->Add(name + ".yaml", text), diagnostics);
    if (!root) return std::nullopt;
    const FindCase no_cases = [](const std::string&, const Place&) { return std::nullopt; };
    const FindUnit find = [&](const std::string& unit, const Place&) {
      return of.find_unit(unit, diagnostics);
    };
    return LoadCase(*root, name, *of.book, find, no_cases, diagnostics);
  };
  host->diagnose = [of, known, made](const Case& c, Diagnostics& diagnostics) {
    auto& unit = (*known)[c.unit];
    if (!unit && !c.unit.empty()) unit = KnowUnit(*of.find_unit(c.unit, diagnostics), diagnostics);
    const Mixture mixture =
        MixtureOf(unit ? unit->unit : nullptr, {c.variant, c.version}, [&](const std::string& variant) {
          auto& transmission = (*made)[{c.unit, variant}];
          if (transmission == nullptr)
            transmission = MakeTransmission(*of.book, unit ? &*unit : nullptr, variant, diagnostics);
          return transmission;
        });
    return Diagnose(mixture, c, {}, diagnostics);
  };
  LetSpeak(*host);
  host->is_taken = [](const std::string& name) { return name == "taken"; };
  return host;
}

inline std::string GoldenText(const std::string& path) {
  std::ifstream file(GEARWHY_SOURCE_DIR "/tests/cli/golden/" + path);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

inline Reply Typed(const Interview& interview, const Rulebook& book, const std::string& line) {
  return ReadReply(line, interview.prompt(), book.words);
}

// The prompt, and all that the words show at it, as somebody sees it who has seen nothing before.
inline std::string Everything(const Interview& interview, const Rulebook& book, const Sources& sources) {
  const auto show = [&](const Interview& one) {
    Prompt prompt = one.prompt();
    prompt.again = false;
    return InterviewText(book, sources, {}).Put(prompt).Whole();
  };
  std::string text = interview.text() + "\n" + show(interview);
  for (const char* word : {"why", "ranking", "reason 1", "reason 2", "access", "correct"}) {
    const Interview asked = interview.Answer(Typed(interview, book, word));
    text += InterviewText(book, sources, {}).Happened(asked.prompt()) + show(asked);
  }
  return text;
}

}  // namespace gearwhy
