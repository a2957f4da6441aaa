// The order of looks: against every order of independent inspections (Kadane & Simon 1977, Kalagnanam &
// Henrion 1988: least cost in the order of p/c), and access that is paid once.
#include "engine/advise/confirm.h"

#include <algorithm>
#include <numeric>
#include <random>

#include "engine/model/access.h"
#include "tests/support/catch.h"
#include "tests/support/garage.h"

namespace gearwhy {
namespace {

// By event: faults and their findings take turns.
std::vector<double> Blame(const Garage& garage, const std::vector<double>& p) {
  std::vector<double> blame(garage.network.events.size(), 0);
  for (std::size_t i = 0; i < p.size(); ++i) blame[2 * i] = p[i];
  return blame;
}

TEST_CASE("looks without access go in the order of chance over minutes, the best of all orders") {
  std::mt19937 random(7);
  for (int trial = 0; trial < 100; ++trial) {
    Garage garage;
    const int count = 2 + static_cast<int>(random() % 5);
    std::vector<double> p, c;
    for (int i = 0; i < count; ++i) {
      c.push_back(1 + static_cast<double>(random() % 60));
      p.push_back(1 + static_cast<double>(random() % 100));
      garage.AddFault(0.01, c.back());
    }
    const double total = std::accumulate(p.begin(), p.end(), 0.0);
    for (double& one : p) one /= total;
    std::vector<int> order(static_cast<std::size_t>(count));
    std::iota(order.begin(), order.end(), 0);
    double least = 1e9;
    do {
      double minutes = 0;
      double left = 1;
      for (const int i : order) {
        minutes += left * c[static_cast<std::size_t>(i)];
        left -= p[static_cast<std::size_t>(i)];
      }
      least = std::min(least, minutes);
    } while (std::next_permutation(order.begin(), order.end()));
    const Confirmation confirmation(garage.words, garage.network, garage.checks);
    const Confirmation::Plan plan = confirmation.Make(Blame(garage, p), confirmation.Open({}));
    REQUIRE(plan.any);
    INFO("trial " << trial);
    CHECK(plan.minutes == Approx(least).epsilon(1e-3));  // blame below a thousandth is not looked for
    std::vector<int> best(static_cast<std::size_t>(count));
    std::iota(best.begin(), best.end(), 0);
    const auto rate = [&](int i) { return p[static_cast<std::size_t>(i)] / c[static_cast<std::size_t>(i)]; };
    const int first =
        *std::max_element(best.begin(), best.end(), [&](int a, int b) { return rate(a) < rate(b); });
    CHECK(rate(static_cast<int>(plan.check)) == Approx(rate(first)));
  }
}

TEST_CASE("what a step opens of another branch is not paid again") {
  Garage garage;
  garage.AddAccess("pan", "with the pan off", "car", 30);
  garage.AddAccess("body", "with the body out", "pan", 20);
  garage.AddAccess("opened", "with it opened", "car", 100);
  garage.words.access["opened"].opens = {"body"};
  garage.AddFault(0.01, 5, "opened");
  garage.AddFault(0.01, 2, "body");
  const Confirmation confirmation(garage.words, garage.network, garage.checks);
  // Opened already: the two looks in the order of 0.9/5 and 0.1/2, and no minute for pan or body.
  const auto plan = confirmation.Make(Blame(garage, {0.9, 0.1}), confirmation.Open({"opened"}));
  CHECK(plan.minutes == Approx(5 + 0.1 * 2).epsilon(1e-3));
  // From outside the body is reached by itself for 50; once it is opened, nothing is paid for it.
  CHECK(confirmation.Make(Blame(garage, {0.9, 0.1}), confirmation.Open({})).minutes ==
        Approx(105 + 0.1 * 2).epsilon(1e-3));
  CHECK(confirmation.Make(Blame(garage, {0, 1}), confirmation.Open({})).minutes == Approx(52).epsilon(1e-3));
  const std::set<std::string> open = OpenAccess(garage.words, {"opened"});
  CHECK(open == std::set<std::string>{"body", "car", "opened", "pan"});
  CHECK(MinutesToReach(garage.words, "body", open) == 0);
}

TEST_CASE("access is paid once, and opening up pays by all that lies behind it") {
  Garage garage;
  garage.AddAccess("pan", "with the pan off", "car", 30);
  garage.AddFault(0.01, 10);        // 0.3 for 10 minutes
  garage.AddFault(0.01, 2, "pan");  // 0.4 and 0.3 for 2 minutes each, behind 30
  garage.AddFault(0.01, 2, "pan");
  const Confirmation confirmation(garage.words, garage.network, garage.checks);
  // Rates: 0.3/10 = 0.03 against (0.4 + 0.3)/34 = 0.0206: the car first, then the pan.
  const auto plan = confirmation.Make(Blame(garage, {0.3, 0.4, 0.3}), confirmation.Open({}));
  CHECK(plan.check == 0);
  CHECK(plan.minutes == Approx(10 + 0.7 * 32 + 0.3 * 2));
  // With the pan off already the looks behind it come first.
  const auto opened = confirmation.Make(Blame(garage, {0.3, 0.4, 0.3}), confirmation.Open({"pan"}));
  CHECK(opened.check == 1);
  CHECK(opened.minutes == Approx(2 + 0.6 * 2 + 0.3 * 10));
}

TEST_CASE("what is as common as ever is not to blame") {
  Network network;
  network.events.push_back({"background", EventType::kFault, 0.2, {}});
  network.events.push_back({"suspect", EventType::kFault, 0.01, {}});
  const std::vector<double> blame = BlameOf(network, {0.2, 0.505});
  CHECK(blame[0] == 0);
  CHECK(blame[1] == Approx(0.5));
}

}  // namespace
}  // namespace gearwhy
