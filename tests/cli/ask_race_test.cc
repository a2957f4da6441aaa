// Two people answer at once, each in a `gearwhy ask` of their own: every answer of both must be found again,
// where the program says that it is.
#include <fmt/format.h>
#include <poll.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "tests/support/catch.h"
#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {
namespace {

// One fault, and a finding for each of these, so that either hand has its own to tell.
const std::vector<std::string> kSigns = {
    "alpha",   "bravo",   "charlie", "delta",   "echo",  "foxtrot", "golf",   "hotel",   "india",
    "juliett", "kilo",    "lima",    "mike",    "oscar", "papa",    "quebec", "romeo",   "sierra",
    "tango",   "uniform", "victor",  "whiskey", "xray",  "yankee",  "zulu",   "november"};

std::string BookOfSigns() {
  std::string events = "events:\n  broken: {type: fault, says: it is broken}\n";
  std::string charts = "chances:\n  - {id: breaks, fault: broken, chance: 5%}\ncharts:\n";
  for (const std::string& sign : kSigns) {
    events +=
        fmt::format("  {0}: {{type: finding, says: the {0} glows, says_absent: the {0} is dark}}\n", sign);
    charts += fmt::format(
        "  - {{id: {0}-glows, symptom: {0}, unexplained: 10%, causes: [{{cause: broken, how_often: "
        "20%}}]}}\n",
        sign);
  }
  return "rulebook: signs\nversion: 1\n" + events + charts;
}

// `gearwhy ask` with the ends of its input and output in our hands.
class Talk {
 public:
  Talk(const TemporaryFolder& folder, const std::string& case_path) {
    int in[2], out[2];
    REQUIRE(::pipe(in) == 0);
    REQUIRE(::pipe(out) == 0);
    child_ = ::fork();
    REQUIRE(child_ >= 0);
    if (child_ == 0) {
      ::dup2(in[0], STDIN_FILENO);
      ::dup2(out[1], STDOUT_FILENO);
      for (const int end : {in[0], in[1], out[0], out[1]}) ::close(end);
      if (::chdir(folder.path().c_str()) != 0) ::_exit(99);
      ::execl(GEARWHY_PROGRAM, GEARWHY_PROGRAM, "ask", case_path.c_str(), "--rules", "book", nullptr);
      ::_exit(98);
    }
    ::close(in[0]);
    ::close(out[1]);
    in_ = in[1];
    out_ = out[0];
  }
  ~Talk() {
    if (in_ >= 0) ::close(in_);
    ::close(out_);
    if (child_ > 0) {
      ::kill(child_, SIGKILL);
      ::waitpid(child_, nullptr, 0);
    }
  }
  Talk(const Talk&) = delete;
  Talk& operator=(const Talk&) = delete;

  void Say(const std::string& lines) {
    REQUIRE(::write(in_, lines.data(), lines.size()) == static_cast<ssize_t>(lines.size()));
  }
  void WaitFor(const std::string& wanted) {
    const auto deadline = std::chrono::steady_clock::now() + std::chrono::seconds(60);
    while (said_.find(wanted) == std::string::npos) {
      INFO("waiting for `" << wanted << "`, seen: " << said_);
      REQUIRE(std::chrono::steady_clock::now() < deadline);
      REQUIRE(ReadSome());
    }
  }
  // The exit code, once it has ended.
  int End() {
    ::close(in_);
    in_ = -1;
    while (ReadSome()) {
    }
    int status = 0;
    REQUIRE(::waitpid(child_, &status, 0) == child_);
    child_ = -1;
    return WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status);
  }
  const std::string& said() const { return said_; }

 private:
  bool ReadSome() {
    pollfd ready{out_, POLLIN, 0};
    if (::poll(&ready, 1, 60'000) <= 0) return false;
    char bytes[4096];
    const ssize_t n = ::read(out_, bytes, sizeof bytes);
    if (n <= 0) return false;
    said_.append(bytes, static_cast<std::size_t>(n));
    return true;
  }

  pid_t child_ = -1;
  int in_ = -1, out_ = -1;
  std::string said_;
};

bool Holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

TEST_CASE("of two interviews on one case file no answer is lost") {
  for (int round = 0; round < 3; ++round) {
    const TemporaryFolder folder;
    folder.Write("book/signs.yaml", BookOfSigns());
    folder.Write("shared.yaml", "case: shared\ntitle: Shared\ncomplaint:\n  - present: alpha\n");
    Talk first(folder, "shared.yaml"), second(folder, "shared.yaml");
    first.WaitFor("1 Save and leave.");
    second.WaitFor("1 Save and leave.");
    // Thirteen answers each, as fast as they are taken: every saving is a race.
    std::string odd, even;
    for (std::size_t i = 1; i < kSigns.size(); ++i)
      (i % 2 == 1 ? odd : even) += fmt::format("also the {} glows\n1\n", kSigns[i]);
    first.Say(odd + "leave\n");
    second.Say(even + "leave\n");
    CHECK(first.End() == 0);
    CHECK(second.End() == 0);
    INFO(first.said());
    INFO(second.said());
    CHECK(Holds(first.said(), "Saved in shared.yaml."));
    CHECK(Holds(second.said(), "Saved in shared.yaml."));
    CHECK((Holds(first.said(), "by another hand") || Holds(second.said(), "by another hand")));
    const std::string text = ReadAll(folder.path() / "shared.yaml");
    for (const std::string& sign : kSigns) {
      INFO(sign);
      CHECK(Holds(text, "present: " + sign + "\n"));
    }
    CHECK(folder.Count() == 2);
  }
}

TEST_CASE("of two interviews that begin a case of one name, each keeps its own and says where") {
  for (int round = 0; round < 5; ++round) {
    const TemporaryFolder folder;
    folder.Write("book/signs.yaml", BookOfSigns());
    Talk first(folder, "new.yaml"), second(folder, "new.yaml");
    const std::vector<std::pair<Talk*, std::string>> both = {{&first, "bravo"}, {&second, "zulu"}};
    for (const auto& [talk, sign] : both) {
      talk->WaitFor("What is the complaint?");
      talk->Say(fmt::format("the {} glows\n1\n", sign));
      talk->WaitFor("Is there another complaint?");
    }
    for (const auto& [talk, sign] : both) talk->Say("\nleave\n");
    int beside = 0;
    for (const auto& [talk, sign] : both) {
      CHECK(talk->End() == 0);
      INFO(talk->said());
      const bool moved = Holds(talk->said(), "Saved in new-2.yaml.");
      if (moved) {
        ++beside;
        CHECK(Holds(talk->said(), "Another hand has made `new.yaml` meanwhile; this case is kept in"));
      } else {
        CHECK(Holds(talk->said(), "Saved in new.yaml."));
      }
      CHECK(ReadAll(folder.path() / (moved ? "new-2.yaml" : "new.yaml")) ==
            fmt::format("case: {}\ntitle: \"The {} glows\"\ncomplaint:\n  - present: {}\n",
                        moved ? "new-2" : "new", sign, sign));
    }
    CHECK(beside == 1);
    CHECK(folder.Count() == 3);
  }
}

}  // namespace
}  // namespace gearwhy
