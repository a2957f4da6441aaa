#include "cli/line_reader.h"

#include <histedit.h>
#include <poll.h>
#include <unistd.h>

#include <cerrno>
#include <clocale>
#include <csignal>
#include <cstdio>
#include <cwchar>

#include "cli/session.h"
#include "cli/terminal.h"
#include "engine/text/safe_text.h"

namespace gearwhy {
namespace {

// What a signal leaves behind; looked at between two characters.
volatile std::sig_atomic_t g_interrupted = 0;
volatile std::sig_atomic_t g_hung_up = 0;
volatile std::sig_atomic_t g_stop_wanted = 0;
volatile std::sig_atomic_t g_resized = 0;

void Notice(int signal) {
  if (signal == SIGINT) g_interrupted = 1;
  if (signal == SIGHUP || signal == SIGTERM) g_hung_up = 1;
  if (signal == SIGTSTP) g_stop_wanted = 1;
  if (signal == SIGWINCH) g_resized = 1;
}

void ForgetSignals() {
  g_interrupted = 0;
  g_hung_up = 0;
  g_stop_wanted = 0;
  g_resized = 0;
}

constexpr int kSignals[] = {SIGINT, SIGHUP, SIGTERM, SIGTSTP, SIGWINCH};

// Waits until stdin has something, or a signal came. The signals are let in only while waiting, so that none
// slips by.
bool WaitForInput() {
  sigset_t blocked, before;
  sigemptyset(&blocked);
  for (const int signal : kSignals) sigaddset(&blocked, signal);
  sigprocmask(SIG_BLOCK, &blocked, &before);
  bool ready = false;
  if (g_interrupted == 0 && g_hung_up == 0 && g_stop_wanted == 0 && g_resized == 0) {
    pollfd stdin_now{STDIN_FILENO, POLLIN, 0};
    ready = ::ppoll(&stdin_now, 1, nullptr, &before) > 0;
  }
  sigprocmask(SIG_SETMASK, &before, nullptr);
  return ready;
}

const char* g_prompt = "";
char* Prompt(EditLine*) { return const_cast<char*>(g_prompt); }

// One character for the line editor. 0 at the end, -1 when a signal came.
int GetCharacter(EditLine* editor, wchar_t* character) {
  std::mbstate_t state{};
  for (;;) {
    if (!WaitForInput()) {
      if (g_interrupted != 0 || g_hung_up != 0) return -1;
      if (g_stop_wanted != 0) {  // Ctrl-Z: the terminal is handed back as it was, and taken again on return
        g_stop_wanted = 0;
        el_set(editor, EL_PREP_TERM, 0);
        ::kill(::getpid(), SIGSTOP);
        el_set(editor, EL_PREP_TERM, 1);
        el_set(editor, EL_REFRESH);
      }
      if (g_resized != 0) {
        g_resized = 0;
        el_resize(editor);
      }
      continue;
    }
    char byte = 0;
    const ssize_t n = ::read(STDIN_FILENO, &byte, 1);
    if (n < 0 && errno == EINTR) continue;
    if (n < 0 && errno == EIO) g_hung_up = 1;
    if (n <= 0) return n < 0 ? -1 : 0;
    const std::size_t used = std::mbrtowc(character, &byte, 1, &state);
    if (used == static_cast<std::size_t>(-2)) continue;  // more bytes belong to it
    if (used == static_cast<std::size_t>(-1)) {
      state = {};
      continue;
    }
    return 1;
  }
}

std::string Trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(" \t\r\n");
  if (first == std::string_view::npos) return "";
  return std::string(text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1));
}

}  // namespace

struct LineReader::Terminal {
  EditLine* editor = nullptr;
  History* history = nullptr;
  HistEvent event{};
  std::string prompt;
};

LineReader::LineReader(Of of) : of_(of) {
  ForgetSignals();
  struct sigaction action {};
  action.sa_handler = Notice;
  sigemptyset(&action.sa_mask);
  const bool at_terminal = of_ == Of::kPerson && ::isatty(STDIN_FILENO) != 0 && ::isatty(STDOUT_FILENO) != 0;
  for (const int signal : kSignals) {
    // Stopping and resizing are the line editor's business only.
    if (at_terminal || (signal != SIGTSTP && signal != SIGWINCH)) ::sigaction(signal, &action, nullptr);
  }
  if (!at_terminal) return;
  std::setlocale(LC_CTYPE, "");  // or the editor drops letters outside ASCII
  terminal_ = std::make_unique<Terminal>();
  terminal_->editor = el_init("gearwhy", stdin, stdout, stderr);
  terminal_->history = history_init();
  if (terminal_->editor == nullptr || terminal_->history == nullptr) {
    terminal_.reset();
    return;
  }
  history(terminal_->history, &terminal_->event, H_SETSIZE, 200);
  el_set(terminal_->editor, EL_PROMPT, Prompt);
  el_set(terminal_->editor, EL_EDITOR, "emacs");
  el_set(terminal_->editor, EL_SIGNAL, 0);
  el_set(terminal_->editor, EL_HIST, history, terminal_->history);
  el_set(terminal_->editor, EL_GETCFN, GetCharacter);
}

LineReader::~LineReader() {
  if (terminal_ != nullptr) {
    history_end(terminal_->history);
    el_end(terminal_->editor);
  }
  for (const int signal : kSignals) std::signal(signal, SIG_DFL);
}

ReadEnd LineReader::Read(const std::string& prompt, std::string* line) {
  line->clear();
  const auto end = [&] {
    if (g_hung_up != 0) return ReadEnd::kHungUp;
    if (of_ == Of::kPerson) WriteOut("\n");
    Flush();
    return g_interrupted != 0 ? ReadEnd::kInterrupted : ReadEnd::kEnd;
  };
  if (terminal_ != nullptr) {
    Flush();
    terminal_->prompt = prompt;
    g_prompt = terminal_->prompt.c_str();
    int count = 0;
    const char* text = el_gets(terminal_->editor, &count);
    if (text == nullptr || count <= 0) return end();
    *line = Trimmed(text);
    if (!line->empty()) history(terminal_->history, &terminal_->event, H_ENTER, text);
    return ReadEnd::kLine;
  }
  WriteOut(prompt);
  if (!Flush()) return ReadEnd::kEnd;  // nobody reads what is asked
  std::size_t newline;
  while ((newline = buffer_.find('\n')) == std::string::npos) {
    const bool ready = WaitForInput();
    g_stop_wanted = 0;
    g_resized = 0;
    if (!ready) {
      if (g_interrupted != 0 || g_hung_up != 0) return end();
      continue;
    }
    char bytes[4096];
    const ssize_t n = ::read(STDIN_FILENO, bytes, sizeof bytes);
    if (n < 0 && errno == EINTR) continue;
    if (n <= 0) {
      // The last line may lack its end; what came of a line before the input broke off is no answer.
      if (n < 0 || Trimmed(buffer_).empty()) return end();
      buffer_ += '\n';
      continue;
    }
    buffer_.append(bytes, static_cast<std::size_t>(n));
    if (buffer_.size() > (1u << 20)) return end();  // no answer is that long
  }
  *line = Trimmed(std::string_view(buffer_).substr(0, newline));
  buffer_.erase(0, newline + 1);
  if (of_ == Of::kPerson && ::isatty(STDIN_FILENO) == 0) WriteOut(SafeLine(*line) + "\n");
  return ReadEnd::kLine;
}

}  // namespace gearwhy
