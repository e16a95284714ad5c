#include "daemon/live_view/terminal_screen.hpp"

#include <signal.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <cerrno>
#include <cstdlib>
#include <string_view>

namespace leeward::daemon {
namespace {
// Other screen, no cursor, no line breaks of the terminal's own; and back.
constexpr std::string_view kEnter = "\033[?1049h\033[?25l\033[?7l\033[2J";
constexpr std::string_view kLeave = "\033[0m\033[?7h\033[?25h\033[?1049l";

// Signal handlers reach these, so they are plain and global.
termios g_before{};
volatile sig_atomic_t g_has_before = 0;
volatile sig_atomic_t g_is_entered = 0;
volatile sig_atomic_t g_must_redraw = 0;

void put_all(std::string_view text) {
  while (!text.empty()) {
    const ssize_t n = ::write(STDOUT_FILENO, text.data(), text.size());
    if (n < 0 && errno == EINTR) continue;
    if (n <= 0) return;
    text.remove_prefix(static_cast<std::size_t>(n));
  }
}

/// Typed letters would stand in the picture. In the background the terminal is not ours to set.
void quieten_keys() {
  if (::tcgetpgrp(STDIN_FILENO) != ::getpgrp() || ::tcgetattr(STDIN_FILENO, &g_before) != 0) return;
  g_has_before = 1;
  termios quiet = g_before;
  quiet.c_lflag &= ~static_cast<tcflag_t>(ECHO);
  ::tcsetattr(STDIN_FILENO, TCSANOW, &quiet);
}

void enter_screen() {
  quieten_keys();
  put_all(kEnter);
  g_is_entered = 1;
}

void handle(int number, void (*handler)(int), int flags) {
  struct sigaction action {};
  action.sa_handler = handler;
  action.sa_flags = flags;
  ::sigaction(number, &action, nullptr);
}

/// Lets the signal do its usual work, here and now.
void deliver(int number) {
  sigset_t only{};
  sigset_t before{};
  ::sigemptyset(&only);
  ::sigaddset(&only, number);
  handle(number, SIG_DFL, 0);
  ::raise(number);
  ::sigprocmask(SIG_UNBLOCK, &only, &before);
  ::sigprocmask(SIG_SETMASK, &before, nullptr);
}

extern "C" void leeward_screen_suspended(int number) {
  const int error = errno;
  leave_terminal_screen();
  deliver(number);
  // From here on the program has been told to go on.
  handle(number, leeward_screen_suspended, SA_RESTART);
  enter_screen();
  g_must_redraw = 1;
  errno = error;
}

extern "C" void leeward_screen_killed(int number) {
  leave_terminal_screen();
  deliver(number);
}

bool is_set(const char* name) {
  const char* value = std::getenv(name);
  return value != nullptr && *value != '\0';
}

const char* escape_of(Look look, bool has_colour) {
  switch (look) {
    case Look::strong:
      return "\033[1m";
    case Look::faint:
      return "\033[2m";
    case Look::asked:
      return has_colour ? "\033[1;36m" : "\033[1m";
    case Look::alert:
      return has_colour ? "\033[1;7;31m" : "\033[1;7m";
    default:
      return "";
  }
}
}  // namespace

bool can_draw_on_output() {
  const char* kind = std::getenv("TERM");
  return ::isatty(STDOUT_FILENO) == 1 && kind != nullptr && std::string_view(kind) != "dumb";
}

bool is_unicode_locale() {
  for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
    if (!is_set(name)) continue;
    std::string value = std::getenv(name);
    std::transform(value.begin(), value.end(), value.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return value.find("utf-8") != std::string::npos || value.find("utf8") != std::string::npos;
  }
  return false;
}

void leave_terminal_screen() {
  if (g_is_entered == 0) return;
  g_is_entered = 0;
  put_all(kLeave);
  // TCSAFLUSH: what was typed meanwhile was meant for nobody.
  if (g_has_before != 0) ::tcsetattr(STDIN_FILENO, TCSAFLUSH, &g_before);
  g_has_before = 0;
}

std::string drawn(const std::vector<ScreenLine>& lines, bool has_colour) {
  std::string out = lines.empty() ? "\033[H\033[J" : "\033[H";
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const std::string_view look = escape_of(lines[i].look, has_colour);
    if (i > 0) out += "\r\n";
    // Cleared before it is written: after a full line the cursor stands on its last letter.
    out += i + 1 < lines.size() ? "\033[K" : "\033[J";
    out += std::string(look) + lines[i].text + (look.empty() ? "" : "\033[0m");
  }
  return out;
}

TerminalScreen::TerminalScreen() : has_colour_(!is_set("NO_COLOR")) {
  handle(SIGTSTP, leeward_screen_suspended, SA_RESTART);
  handle(SIGHUP, leeward_screen_killed, 0);
  handle(SIGQUIT, leeward_screen_killed, 0);
  enter_screen();
}

TerminalScreen::~TerminalScreen() {
  leave_terminal_screen();
  for (const int number : {SIGTSTP, SIGHUP, SIGQUIT}) handle(number, SIG_DFL, 0);
}

TerminalSize TerminalScreen::size() const {
  winsize size{};
  if (::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0 || size.ws_row == 0) return {};
  return {size.ws_col, size.ws_row};
}

void TerminalScreen::show(const std::vector<ScreenLine>& lines) {
  const bool must_redraw = g_must_redraw != 0;
  g_must_redraw = 0;
  std::string frame = drawn(lines, has_colour_);
  if (frame == shown_ && !must_redraw) return;
  put_all(frame);
  shown_ = std::move(frame);
}

}  // namespace leeward::daemon
