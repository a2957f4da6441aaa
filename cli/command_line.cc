#include "cli/command_line.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <sstream>

#include "cli/command_table.h"
#include "cli/commands.h"
#include "cli/config.h"
#include "engine/text/ascii.h"
#include "engine/text/near_names.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

// Which books the commands open; where the command line does not say, the environment and the config file do.
class Books {
 public:
  void Add(CLI::App& command, BookOptions& book) {
    command.add_option("--rules", book.rules, "Use the rulebook in this folder instead of the shipped one")
        ->type_name("DIR");
    CLI::Option* shop =
        command.add_option("--shop", book.shop,
                           "Lay the shop's own rules in this folder over the rulebook; again for "
                           "more folders, each over those before it");
    shop->type_name("DIR")->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
    shop->allow_extra_args(false);  // one folder each time: what follows is a case
    CLI::Option* none = command.add_flag("--no-shop");
    none->description("Leave out the shop that the environment or the config file names");
    none->excludes(shop);
    CLI::Option* no_cache = command.add_flag("--no-cache");
    no_cache->description("Read the rulebook from its files, and keep nothing of it for the next run");
    all_.push_back({&command, &book, none, no_cache});
  }

  // Of the command that was chosen. False after setting `why`: the config file is wrong.
  bool Complete(std::string* why) {
    for (const One& one : all_) {
      if (!one.command->parsed()) continue;
      const std::optional<Config> config = ReadConfig(why);
      if (!config) return false;
      if (one.book->shop.empty() && one.none->count() == 0) one.book->shop = config->shop;
      if (one.book->rules.empty()) one.book->rules = config->rules;
      if (one.no_cache->count() == 0) one.book->cache_folder = CacheFolder();
    }
    return true;
  }

 private:
  struct One {
    CLI::App* command;
    BookOptions* book;
    CLI::Option* none;
    CLI::Option* no_cache;
  };

  std::vector<One> all_;
};

// `formats`: those that the command has, the first when none is said.
void AddFormat(CLI::App& command, Format& format, const std::vector<Format>& formats) {
  static const std::map<Format, std::string> kNames = {{Format::kText, "text"},
                                                       {Format::kJson, "json"},
                                                       {Format::kJsonl, "jsonl"},
                                                       {Format::kCsv, "csv"},
                                                       {Format::kDot, "dot"}};
  std::map<std::string, Format> known;
  std::string named, choices;
  for (const Format one : formats) {
    known.emplace(kNames.at(one), one);
    named += (named.empty() ? "" : one == formats.back() ? " or " : ", ") + kNames.at(one);
    choices += (choices.empty() ? "" : "|") + kNames.at(one);
  }
  command
      .add_option("--format", format,
                  known.contains("jsonl") ? "How to answer; jsonl is one line a case"
                  : known.contains("csv") ? "How to answer; csv is the list of parts"
                  : known.contains("dot") ? "How to answer; dot is a graph for Graphviz"
                                          : "How to answer")
      ->type_name(choices)
      ->transform(CLI::Transformer(known).description(""))
      ->check([named](const std::string& value) {
        // The transformer has turned a known name into its number.
        return value.size() == 1 && IsDigit(value[0])
                   ? std::string()
                   : fmt::format("there is no format `{}`; say {}", SafeLine(value), named);
      });
}

void AddColour(CLI::App& command) {
  static const std::map<std::string, Emphasis> kWhen = {
      {"auto", Emphasis::kAuto}, {"always", Emphasis::kAlways}, {"never", Emphasis::kNever}};
  command
      .add_option_function<std::string>(
          "--color", [](const std::string& when) { WantEmphasis(kWhen.at(when)); },
          "Show bold and dim text; auto is where a terminal shows it")
      ->type_name("auto|always|never")
      ->check([](const std::string& when) {
        return kWhen.contains(when)
                   ? std::string()
                   : fmt::format("`--color` is auto, always or never, not {}", InTicks(when));
      });
}

// What the help shows of a command and of those below it, as data.
CommandWord TableOf(const CLI::Option& option) {
  CommandWord word;
  const bool is_operand = option.get_positional();
  for (const std::string& name : option.get_snames()) word.names.push_back("-" + name);
  for (const std::string& name : option.get_lnames()) word.names.push_back("--" + name);
  if (is_operand) word.names = {option.get_name(true)};
  const std::string named = option.get_type_name();
  const std::string type = named.substr(0, named.find(':'));  // behind it, what is checked of it
  const bool takes = option.get_items_expected_max() > 0;
  if (takes && (!is_operand || type.find('|') != std::string::npos)) word.value = type;
  word.help = option.get_description();
  word.required = option.get_required();
  word.repeats = option.get_items_expected_max() > 1;
  return word;
}

Command TableOf(const CLI::App& app) {
  Command command = {app.get_name(), app.get_description(), app.get_footer(), {}, {}, {}};
  for (const CLI::Option* option : app.get_options()) {
    if (!option->get_group().empty())
      (option->get_positional() ? command.operands : command.options).push_back(TableOf(*option));
  }
  for (const CLI::App* one :
       app.get_subcommands([](const CLI::App* sub) { return !sub->get_group().empty(); }))
    command.commands.push_back(TableOf(*one));
  return command;
}

constexpr Format kText = Format::kText, kJson = Format::kJson;

// What the command line may say, and what it then calls.
struct Program {
  CLI::App app{
      "Finds why an automatic transmission failed: ranks the parts that may have, with chances and reasons.",
      "gearwhy"};
  RankArguments rank;
  AskArguments ask;
  WhyArguments why;
  NextArguments next;
  BenchArguments bench;
  SheetArguments sheet;
  RulesCheckArguments rules_check;
  RulesTestArguments rules_test;
  RulesGapsArguments rules_gaps;
  RulesListArguments rules_list;
  RulesShowArguments rules_show;
  RulesFindArguments rules_find;
  RulesDiffArguments rules_diff;
  RulesSchemaArguments rules_schema;
  UnitArguments unit;
  NewArguments begun;
  std::string manual_folder;
  std::vector<std::string> typed;
  Books books;
  std::function<int()> chosen;

  Program() {
    app.require_subcommand(1);
    app.set_version_flag("--version", VersionText, "Print the version, the rulebook in force, and its hash");
    app.footer("Exit codes: 0 done, 1 the input has errors, 2 the command line is wrong, 3 internal error.");
    AddRank();
    AddAsk();
    AddWhy();
    AddNext();
    AddBench();
    AddSheet();
    AddRules();
    AddUnit();
    AddNew();
    AddColour(app);
    for (CLI::App* command : app.get_subcommands({})) {
      const std::vector<CLI::App*> below = command->get_subcommands({});
      for (CLI::App* one : below) AddColour(*one);
      if (below.empty()) AddColour(*command);
    }
    AddAbout();
  }

  void AddRank() {
    CLI::App* command =
        app.add_subcommand("rank", "Rank the suspects of one case, several, or a folder of them");
    command
        ->add_option("CASE", rank.cases,
                     "Case files, folders of them, or - for JSON lines on the standard input")
        ->required();
    CLI::Option* details = command->add_flag("--details", rank.details,
                                             "Show every suspect and all that speaks for and against it");
    CLI::Option* brief =
        command->add_flag("--brief", rank.brief, "Show only what the case comes to, in five lines");
    command->add_option("--suspects", rank.suspects, "How many suspects to show (3)")
        ->check(CLI::Range(1, 1000))
        ->type_name("N");
    CLI::Option* steady = command->add_flag(
        "--steady", rank.steady, "Show how much the first suspect hangs on single numbers of the rulebook");
    command
        ->add_option_function<std::string>(
            "--only", [this](const std::string&) { rank.only_chances = true; },
            "chances: where it is and the suspects with their chances, without reasons and checks; far "
            "quicker")
        ->type_name("PART")
        ->excludes(details)
        ->excludes(brief)
        ->excludes(steady)
        ->check([](const std::string& part) {
          return part == "chances"
                     ? std::string()
                     : fmt::format("there is no part `{}` of an answer; say chances", SafeLine(part));
        });
    AddBatch(*command);
    AddFormat(*command, rank.format, {kText, kJson, Format::kJsonl});
    books.Add(*command, rank.book);
    command->callback([this] { chosen = [this] { return RunRank(rank); }; });
  }

  // How many cases are answered.
  void AddBatch(CLI::App& command) {
    command.add_option("--jobs", rank.jobs, "How many cases to work on at once; as many as there are cores")
        ->check(CLI::Range(1, 1024))
        ->type_name("N");
    command
        .add_option("--resume", rank.resume,
                    "Write the answers into this file, behind those of an earlier run, and leave out what "
                    "these answer; with --format jsonl")
        ->type_name("FILE");
    command.add_flag("--summary", rank.summary,
                     "Say at the end how many cases were answered; done anyway at a terminal");
    command.add_flag_callback(
        "--no-progress", [this] { rank.progress = false; },
        "Do not show at a terminal how many cases are done");
  }

  void AddAsk() {
    CLI::App* command = app.add_subcommand(
        "ask", "Ask what to look at, one question after the other, and rank after each answer");
    command->add_option("CASE", ask.case_path, "A case file to go on with, or the name of a new one");
    command->add_option("--unit", ask.unit, "The unit of a new case; asked for when left out")
        ->type_name("UNIT");
    command->add_option("--save", ask.save_path, "Keep the case in this new file")->type_name("FILE");
    command->add_flag("--json", ask.json, "Be answered by a program: one JSON object a line, both ways");
    books.Add(*command, ask.book);
    command->callback([this] { chosen = [this] { return RunAsk(ask); }; });
  }

  void AddWhy() {
    CLI::App* command = app.add_subcommand("why", "Show the chain of reasoning behind a suspect");
    command->add_option("CASE", why.case_path, "A case file")->required();
    command->add_option("SUSPECT", why.suspect,
                        "A suspect by its number in the ranking, or a fault or state, as in "
                        "lip_cracked:E.piston; the first suspect when left out");
    command->add_flag("--brief", why.brief, "Show only what the case comes to, in five lines");
    command->add_option("--not", why.not_fault, "Say why this fault is not suspected")->type_name("FAULT");
    command->add_flag("--network", why.network,
                      "Write the network of causes as JSON, with what was observed");
    AddFormat(*command, why.format, {kText, kJson, Format::kDot});
    books.Add(*command, why.book);
    command->callback([this] { chosen = [this] { return RunWhy(why); }; });
  }

  void AddNext() {
    CLI::App* command =
        app.add_subcommand("next", "Show the best next checks of a case, and whether the unit must come out");
    command->add_option("CASE", next.case_path, "A case file")->required();
    command->add_flag("--moves", next.moves, "Show what each answer of each check would change");
    command->add_flag("--brief", next.brief, "Show only what the case comes to, in five lines");
    command->add_option("--checks", next.checks, "How many checks to show (5)")
        ->check(CLI::Range(1, 100))
        ->type_name("N");
    AddFormat(*command, next.format, {kText, kJson});
    books.Add(*command, next.book);
    command->callback([this] { chosen = [this] { return RunNext(next); }; });
  }

  void AddBench() {
    CLI::App* command = app.add_subcommand(
        "bench", "Show what the readings of a case say, what becomes of each part, and what to measure");
    command->add_option("CASE", bench.case_path, "A case file")->required();
    command->add_flag("--blank", bench.blank,
                      "Write the sheet to fill in: all that is to be measured, with limits");
    command->add_flag("--parts", bench.show.parts, "Show every part, also those that go by their kind alone");
    command->add_flag("--packs", bench.show.packs,
                      "Show the ring for every pack, not only for those measured as built");
    command->add_flag("--due", bench.show.due, "Show all that has not been measured yet");
    command->add_flag("--capacity", bench.show.capacity,
                      "Show how much torque each element carries, and what falls on it");
    command->add_flag("--renew", bench.show.renew,
                      "Show of every part that lies open whether it is worth renewing");
    command->add_flag("--close", bench.show.close.found,
                      "Show what was found, what is its root and what follows from it");
    command->add_flag("--tests", bench.show.close.tests, "Show what is tried before the unit is given back");
    AddFormat(*command, bench.format, {kText, kJson, Format::kCsv});
    books.Add(*command, bench.book);
    command->callback([this] { chosen = [this] { return RunBench(bench); }; });
  }

  void AddSheet() {
    CLI::App* command = app.add_subcommand(
        "sheet", "Write a case as a page to print and to read on a phone, with pictures (HTML)");
    command
        ->add_option("CASE", sheet.case_path,
                     "A case file, or a folder of them for a page each with an index")
        ->required();
    command
        ->add_option(
            "-o,--output", sheet.out,
            "Write this file, or for a folder of cases this folder; - or left out: the standard output")
        ->type_name("FILE");
    CLI::Option* blank =
        command->add_flag("--blank", sheet.blank, "Write what is to be measured, with room for the readings");
    command->add_option("--for", sheet.reader, "customer: half a page without the trade's words")
        ->type_name("READER")
        ->excludes(blank)
        ->check([](const std::string& reader) {
          return reader == "customer"
                     ? std::string()
                     : fmt::format("there is no sheet for `{}`; say customer", SafeLine(reader));
        });
    books.Add(*command, sheet.book);
    command->callback([this] { chosen = [this] { return RunSheet(sheet); }; });
  }

  void AddRules() {
    CLI::App* command = app.add_subcommand("rules", "For people who write rules");
    command->require_subcommand(1);
    CLI::App* check = command->add_subcommand(
        "check", "Report everything that is wrong with a rulebook, and what is most likely a slip");
    AddFormat(*check, rules_check.format, {kText, kJson});
    books.Add(*check, rules_check.book);
    check->callback([this] { chosen = [this] { return RunRulesCheck(rules_check); }; });
    CLI::App* test = command->add_subcommand("test", "Compare cases with what they expect");
    test->add_option("CASE", rules_test.cases,
                     "Case files or folders of them; the shipped cases when left out");
    test->add_option("--changed-by", rules_test.changed_by,
                     "Tell which cases this shop's folder breaks or mends, and by which of its entries")
        ->type_name("DIR");
    test->add_flag("--coverage", rules_test.coverage, "List the entries that no case brings into play");
    books.Add(*test, rules_test.book);
    test->callback([this] { chosen = [this] { return RunRulesTest(rules_test); }; });
    CLI::App* gaps = command->add_subcommand(
        "gaps", "List what can never matter: faults nothing reveals, checks that tell nothing");
    gaps->add_option("CASE", rules_gaps.cases,
                     "Case files or folders of them, to list the rules that none of them needs");
    AddFormat(*gaps, rules_gaps.format, {kText, kJson});
    books.Add(*gaps, rules_gaps.book);
    gaps->callback([this] { chosen = [this] { return RunRulesGaps(rules_gaps); }; });
    AddReading(*command);
    CLI::App* schema = command->add_subcommand(
        "schema",
        "Print what a file may hold, with the names in force, as a JSON Schema (draft-07) for editors");
    schema
        ->add_option("KIND", rules_schema.kind,
                     "rulebook, unit or case: the kind of file; rulebook when left out")
        ->type_name("rulebook|unit|case")
        ->check([](const std::string& kind) {
          return kind == "rulebook" || kind == "unit" || kind == "case"
                     ? std::string()
                     : fmt::format("there is no schema of `{}`; say rulebook, unit or case", SafeLine(kind));
        });
    books.Add(*schema, rules_schema.book);
    schema->callback([this] { chosen = [this] { return RunRulesSchema(rules_schema); }; });
  }

  // What looks at a rulebook without judging it.
  void AddReading(CLI::App& rules) {
    CLI::App* find = rules.add_subcommand(
        "find",
        "Find how something is written: what it is called, what brings it about, which checks tell it");
    find->add_option("TEXT", rules_find.text, "What somebody says, as in \"slips in third\"")->required();
    find->add_option("--unit", rules_find.unit,
                     "In this unit; the one in which it is understood best when left out")
        ->type_name("UNIT");
    books.Add(*find, rules_find.book);
    find->callback([this] { chosen = [this] { return RunRulesFind(rules_find); }; });
    CLI::App* list = rules.add_subcommand("list", "List the entries of a rulebook");
    list->add_option("KIND", rules_list.kind,
                     "A key of rulebook files, as charts; how many of each when left out");
    list->add_flag("--layers", rules_list.layers,
                   "List the folders in force, and what each adds and changes");
    books.Add(*list, rules_list.book);
    list->callback([this] { chosen = [this] { return RunRulesList(rules_list); }; });
    CLI::App* show =
        rules.add_subcommand("show", "Show one entry in sentences, what uses it, and the cases it counts in");
    show->add_option("ID", rules_show.id, "The id or the name of an entry")->required();
    show->add_option("CASE", rules_show.cases,
                     "Case files or folders of them; the shipped cases when left out");
    books.Add(*show, rules_show.book);
    show->callback([this] { chosen = [this] { return RunRulesShow(rules_show); }; });
    CLI::App* diff = rules.add_subcommand(
        "diff", "Show what a shop's folders change, and how the rankings of cases move by it");
    diff->add_option("CASE", rules_diff.cases,
                     "Case files or folders of them; the shipped cases when left out");
    books.Add(*diff, rules_diff.book);
    diff->callback([this] { chosen = [this] { return RunRulesDiff(rules_diff); }; });
  }

  void AddUnit() {
    CLI::App* command = app.add_subcommand("unit", "Look at a unit: its gears, elements and ranges");
    command->require_subcommand(1);
    CLI::App* show =
        command->add_subcommand("show", "Show ratios, apply chart, torques and what each failure does");
    show->add_option("UNIT", unit.unit, "The name of a unit, or a unit file")->required();
    AddFormat(*show, unit.format, {kText, kJson});
    show->add_flag("--html", unit.html, "Write a page with pictures, to print and to read on a phone");
    books.Add(*show, unit.book);
    show->callback([this] { chosen = [this] { return RunUnitShow(unit); }; });
    CLI::App* check = command->add_subcommand("check", "Report what is wrong with a unit file");
    check->add_option("UNIT", unit.unit, "The name of a unit, or a unit file")->required();
    books.Add(*check, unit.book);
    check->callback([this] { chosen = [this] { return RunUnitCheck(unit); }; });
  }

  // For what is made of the table of commands; not for people, and so in no group that the help shows.
  void AddAbout() {
    CLI::App* manual = app.add_subcommand("manual", "Write a manual page of each command into a folder");
    manual->group("")->add_option("DIR", manual_folder, "A folder that is there")->required();
    manual->callback([this] { chosen = [this] { return RunManual(TableOf(app), manual_folder); }; });
    CLI::App* complete = app.add_subcommand("complete", "List what the last of these words may become");
    complete->group("")->add_option("WORD", typed, "What was typed behind the program's name");
    complete->callback([this] { chosen = [this] { return RunComplete(TableOf(app), typed); }; });
  }

  void AddNew() {
    CLI::App* command =
        app.add_subcommand("new", "Write a commented start of a case, a rule, a unit or a shop's folder");
    command->require_subcommand(1);
    const auto add = [&](const std::string& kind, const char* says, const char* named, const char* help) {
      CLI::App* one = command->add_subcommand(kind, says);
      one->add_option(named, begun.path, help)->required();
      if (kind == "case")
        one->add_option("--unit", begun.like, "The unit it is about (simpson-three-speed)")
            ->type_name("UNIT");
      if (kind == "unit")
        one->add_option("--like", begun.like, "The unit it is begun as a copy of (simpson-three-speed)")
            ->type_name("UNIT");
      if (kind != "shop") books.Add(*one, begun.book);
      one->callback([this, kind] {
        begun.kind = kind;
        chosen = [this] { return RunNew(begun); };
      });
    };
    add("case", "A case, to be filled in", "FILE", "The file to write; its name is that of the case");
    add("rule", "A fault with all that belongs to it, for a shop's folder", "FILE",
        "The file to write; the names in it are made of its name");
    add("unit", "A unit, begun as a copy of another", "FILE",
        "The file to write, in the folder `units`; its name is that of the unit");
    add("shop", "A folder for what a shop says otherwise", "DIR", "The folder to make");
  }
};

// A mistyped command gets the nearest that there is.
std::string CommandHint(CLI::App& app, int argc, char** argv) {
  CLI::App* level = &app;
  for (int i = 1; i < argc; ++i) {
    const std::string word = argv[i];
    if (word.starts_with('-')) break;
    CLI::App* next = nullptr;
    std::vector<std::string> names;
    for (CLI::App* command : level->get_subcommands([](CLI::App*) { return true; })) {
      names.push_back(command->get_name());
      if (command->get_name() == word) next = command;
    }
    if (names.empty()) break;
    if (next == nullptr) return fmt::format("there is no command `{}`{}", SafeLine(word), Hint(word, names));
    level = next;
  }
  return "";
}

}  // namespace

int RunCommandLine(int argc, char** argv) {
  Program program;
  if (argc <= 1) {
    WriteOut(program.app.help());
    return Finish(kDone);
  }
  try {
    program.app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) {  // help or version
      std::ostringstream asked;
      program.app.exit(error, asked, asked);
      WriteOut(asked.str());
      return Finish(kDone);
    }
    const std::string hint = CommandHint(program.app, argc, argv);
    WriteErr(fmt::format("error: {} [command-line]\nSee gearwhy --help.\n",
                         hint.empty() ? SafeLine(error.what()) : hint));
    return kBadCommand;
  }
  if (std::string why; !program.books.Complete(&why)) {
    WriteErr(fmt::format("error: {} [config]\n", why));
    return kInputErrors;
  }
  return program.chosen();
}

}  // namespace gearwhy
