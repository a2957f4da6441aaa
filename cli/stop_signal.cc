#include "cli/stop_signal.h"

#include <fcntl.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <cerrno>
#include <csignal>
#include <system_error>

namespace gearwhy {
namespace {

constexpr std::array kSignals = {SIGINT, SIGTERM, SIGHUP};

// What a signal leaves behind, and what may be touched by one: nothing that takes a lock.
std::atomic<int> g_came = 0;
static_assert(std::atomic<int>::is_always_lock_free);
int g_wake[2] = {-1, -1};

void Notice(int signal) {
  int none = 0;
  if (!g_came.compare_exchange_strong(none, signal)) ::_exit(128 + signal);
  const int before = errno;
  const char byte = 0;
  [[maybe_unused]] const auto written = ::write(g_wake[1], &byte, 1);
  errno = before;
}

}  // namespace

StopSignal::StopSignal() {
  if (::pipe2(g_wake, O_CLOEXEC | O_NONBLOCK) != 0)
    throw std::system_error(errno, std::generic_category(), "pipe");
  g_came = 0;
  struct sigaction action {};
  action.sa_handler = Notice;
  action.sa_flags = SA_RESTART;  // what is being written is written to its end
  sigemptyset(&action.sa_mask);
  for (const int signal : kSignals) {
    struct sigaction before {};
    ::sigaction(signal, nullptr, &before);
    if (before.sa_handler != SIG_IGN) ::sigaction(signal, &action, nullptr);
  }
}

StopSignal::~StopSignal() {
  for (const int signal : kSignals) {
    struct sigaction now {};
    ::sigaction(signal, nullptr, &now);
    if (now.sa_handler == Notice) std::signal(signal, SIG_DFL);
  }
  ::close(g_wake[0]);
  ::close(g_wake[1]);
}

bool StopSignal::Came() const { return g_came != 0; }
int StopSignal::exit_code() const { return 128 + g_came; }
int StopSignal::waker() const { return g_wake[0]; }

}  // namespace gearwhy
