// Commands: what the program can be asked to do, one file each. Every command returns the program's exit
// code.
#pragma once

#include <string>
#include <vector>

#include "cli/session.h"
#include "engine/render/text.h"

namespace gearwhy {

enum class Format { kText, kJson, kJsonl, kCsv, kDot };

struct RankArguments {
  BookOptions book;
  std::vector<std::string> cases;  // files, folders, or `-` for JSON lines on stdin
  Format format = Format::kText;
  bool details = false;
  bool brief = false;  // the verdict alone
  int suspects = 3;
  bool steady = false;        // how much the first suspect hangs on single numbers
  bool only_chances = false;  // where, and the suspects with their chances, without reasons
  int jobs = 0;               // how many cases are worked on at once; 0: as many as there are cores
  std::string resume;         // the file of JSON lines to go on with; empty: none
  bool progress = true;       // shown where there is a terminal for it
  bool summary = false;       // also where stderr is no terminal, and of one case
};
int RunRank(const RankArguments& arguments);

struct WhyArguments {
  BookOptions book;
  std::string case_path;
  std::string suspect;    // an id, or a number of the ranking; empty: the first
  std::string not_fault;  // `--not`
  bool network = false;
  bool brief = false;  // the verdict alone
  Format format = Format::kText;
};
int RunWhy(const WhyArguments& arguments);

struct NextArguments {
  BookOptions book;
  std::string case_path;
  int checks = 5;
  bool brief = false;  // the verdict alone
  bool moves = false;  // what each answer would change
  Format format = Format::kText;
};
int RunNext(const NextArguments& arguments);

struct BenchArguments {
  BookOptions book;
  std::string case_path;
  bool blank = false;  // the sheet to fill in
  BenchTextOptions show;
  Format format = Format::kText;
};
int RunBench(const BenchArguments& arguments);

struct SheetArguments {
  BookOptions book;
  std::string case_path;  // a case file, or a folder of them
  std::string out;        // a file, or of a folder of cases a folder; empty or `-`: the standard output
  bool blank = false;     // what is to be measured, with room to write
  std::string reader;     // `customer`, or empty: whoever mends it
};
int RunSheet(const SheetArguments& arguments);

struct AskArguments {
  BookOptions book;
  std::string case_path;  // empty, or of no file: a new case
  std::string unit;       // of a new case; empty: asked for
  std::string save_path;  // empty: `case_path`, or asked for
  bool json = false;      // a program answers
};
int RunAsk(const AskArguments& arguments);

struct RulesCheckArguments {
  BookOptions book;
  Format format = Format::kText;
};
int RunRulesCheck(const RulesCheckArguments& arguments);

struct RulesTestArguments {
  BookOptions book;
  std::vector<std::string> cases;  // empty: the shipped ones
  std::string changed_by;          // a shop's folder on top, whose part in it is told; empty: none
  bool coverage = false;           // also the entries that no case brings into play
};
int RunRulesTest(const RulesTestArguments& arguments);

struct RulesGapsArguments {
  BookOptions book;
  std::vector<std::string> cases;  // none: rules and decisions are not looked at
  Format format = Format::kText;
};
int RunRulesGaps(const RulesGapsArguments& arguments);

struct RulesListArguments {
  BookOptions book;
  std::string kind;     // a key of rulebook files; empty: how many there are of each
  bool layers = false;  // which folders are in force, instead
};
int RunRulesList(const RulesListArguments& arguments);

struct RulesShowArguments {
  BookOptions book;
  std::string id;
  std::vector<std::string> cases;  // in which it is looked for; empty: the shipped ones
};
int RunRulesShow(const RulesShowArguments& arguments);

struct RulesFindArguments {
  BookOptions book;
  std::string text;
  std::string unit;  // empty: the one in which it is understood best
};
int RunRulesFind(const RulesFindArguments& arguments);

struct RulesDiffArguments {
  BookOptions book;
  std::vector<std::string> cases;  // empty: the shipped ones
};
int RunRulesDiff(const RulesDiffArguments& arguments);

// `file`: "rulebook", "unit" or "case".
struct RulesSchemaArguments {
  std::string kind = "rulebook";  // or unit, case
  BookOptions book;
};
int RunRulesSchema(const RulesSchemaArguments& arguments);

struct NewArguments {
  BookOptions book;
  std::string kind;  // "case", "rule", "unit" or "shop"
  std::string path;  // of the file, with or without `.yaml`, or of the folder
  std::string like =
      "simpson-three-speed";  // a unit: of which a case is, or which a new one is begun as a copy of
};
int RunNew(const NewArguments& arguments);

struct UnitArguments {
  BookOptions book;
  std::string unit;  // a name, or the path of a file
  Format format = Format::kText;
  bool html = false;  // a page with pictures
};
int RunUnitShow(const UnitArguments& arguments);
int RunUnitCheck(const UnitArguments& arguments);

// What `gearwhy --version` prints.
std::string VersionText();

// Case files named on the command line: a folder stands for the YAML files below it, in order of their paths.
std::vector<std::string> ExpandCases(const std::vector<std::string>& named, Diagnostics& diagnostics);

}  // namespace gearwhy
