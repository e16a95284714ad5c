#pragma once
/// The terminal while the live view has it: drawn over in place, given back as it was however the program
/// ends.

#include <cstddef>
#include <string>
#include <vector>

#include "daemon/live_view/watch_screen.hpp"

namespace leeward::daemon {

struct TerminalSize {
  std::size_t width = 80;
  std::size_t height = 24;
};

/// Standard output is a terminal that can be drawn on.
[[nodiscard]] bool can_draw_on_output();
/// As LC_ALL, LC_CTYPE or LANG says.
[[nodiscard]] bool is_unicode_locale();

/// Lines as the escape sequences that draw them from the top, over what was there.
/// @param has_colour  false: only bold, faint and reverse
[[nodiscard]] std::string drawn(const std::vector<ScreenLine>& lines, bool has_colour);

/// Gives the terminal back; may be called in a signal handler.
void leave_terminal_screen();

/// One at a time. Ctrl-Z gives the terminal back until the program goes on.
class TerminalScreen {
 public:
  TerminalScreen();
  ~TerminalScreen();
  TerminalScreen(const TerminalScreen&) = delete;
  TerminalScreen& operator=(const TerminalScreen&) = delete;
  [[nodiscard]] TerminalSize size() const;
  /// Writes only what has changed since the last time.
  void show(const std::vector<ScreenLine>& lines);

 private:
  bool has_colour_;
  std::string shown_;
};

}  // namespace leeward::daemon
