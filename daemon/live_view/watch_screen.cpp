#include "daemon/live_view/watch_screen.hpp"

#include <algorithm>

#include "daemon/live_view/screen_text.hpp"
#include "daemon/live_view/staircase_plot.hpp"
#include "daemon/live_view/watch_facts.hpp"
#include "daemon/report/loose_json.hpp"

namespace leeward::daemon {
namespace {
constexpr std::size_t kLeastPlot = 6;
constexpr std::size_t kMostEventLines = 4;

/// Lines of the screen, filled from the top.
class Page {
 public:
  Page(std::size_t width, std::size_t height, bool is_faint)
      : width_(width), height_(height), is_faint_(is_faint) {}
  [[nodiscard]] std::size_t room() const { return height_ - lines_.size(); }
  void add(const std::string& text, Look look) {
    if (room() == 0) return;
    lines_.push_back({cut_to(harmless(text), width_), is_faint_ && look != Look::alert ? Look::faint : look});
  }
  void add_wrapped(const std::string& text, Look look, std::size_t most) {
    for (const std::string& line : lines_of(harmless(text), width_, std::min(most, room()))) add(line, look);
  }
  std::vector<ScreenLine> take() { return std::move(lines_); }

 private:
  std::size_t width_;
  std::size_t height_;
  bool is_faint_;
  std::vector<ScreenLine> lines_;
};

std::string headline(const WatchState& state) {
  const std::string sentence = text_at(state.status, "sentence");
  return sentence.empty() ? "Nothing has been heard yet" : sentence;
}

void add_alerts(Page& page, const WatchState& state, const ScreenStyle& style) {
  if (!state.lost_since.empty())
    page.add_wrapped("NO CONTACT since " + state.lost_since +
                         ": what stands here is from then, the fan may do otherwise. Trying again.",
                     Look::alert, 3);
  const nlohmann::json trip = object_at(state.status, "trip");
  if (!trip.empty()) {
    page.add_wrapped("TRIPPED: " + text_at(trip, "text"), Look::alert, 3);
    page.add_wrapped("> once its cause is mended: leeward clear-trip" + style.target_options, Look::alert, 2);
  }
  if (const std::string device = text_at(state.status, "device"); !device.empty() && device != "ok")
    page.add_wrapped("The device is " + device + ".", Look::alert, 1);
}

std::vector<std::string> ask_lines(const WatchState& state, std::size_t width, const ScreenStyle& style) {
  const nlohmann::json asks = list_at(state.status, "asks");
  if (asks.empty()) return {};
  const nlohmann::json& ask = asks.front();
  const std::string more =
      asks.size() > 1 ? " (" + std::to_string(asks.size() - 1) + " more wait)" : std::string();
  std::vector<std::string> out = lines_of(harmless("ASKED: " + text_at(ask, "text")), width, 3);
  std::string answers;
  for (const nlohmann::json& answer : list_at(ask, "answers"))
    if (answer.is_string()) answers += (answers.empty() ? "" : "|") + answer.get<std::string>();
  const std::string how =
      "> leeward answer " + text_at(ask, "id") + " " + answers + style.target_options + more;
  for (const std::string& line : lines_of(harmless(how), width, 2)) out.push_back(line);
  return out;
}

std::string footer(const WatchState& state, std::size_t width) {
  const std::string full = running_run(state).empty()
                               ? "Ctrl-C leaves this view. leeward stop stops the fan."
                               : "Ctrl-C leaves, the run goes on. leeward stop stops the fan.";
  return full.size() <= width ? full : "Ctrl-C leaves. leeward stop: fan off.";
}

/// What is asked stands in its own place.
std::vector<std::string> lines_of_events(const WatchState& state, std::size_t most) {
  std::vector<std::string> lines;
  for (auto event = state.events.rbegin(); event != state.events.rend() && lines.size() < most; ++event)
    if (!event->is_open_ask) lines.push_back(event_line(state, *event));
  std::reverse(lines.begin(), lines.end());
  return lines;
}
}  // namespace

std::vector<ScreenLine> watch_screen(const WatchState& state, std::size_t width, std::size_t height,
                                     const ScreenStyle& style) {
  Page page(width, height, !state.lost_since.empty());
  page.add_wrapped(headline(state), Look::strong, 2);
  add_alerts(page, state, style);
  const std::vector<std::string> asks = ask_lines(state, width, style);
  const std::size_t kept = std::min(page.room(), asks.size() + 1);  // of the asks and the footer
  const std::vector<std::string> facts = fact_lines(state, width);
  for (std::size_t i = 0; i < facts.size() && page.room() > kept; ++i) page.add(facts[i], Look::plain);
  const std::size_t free = page.room() - std::min(page.room(), kept);
  const bool has_plot = free >= kLeastPlot && !state.course.empty();
  const std::vector<std::string> events =
      lines_of_events(state, has_plot ? std::min(kMostEventLines, (free - kLeastPlot + 1) / 2) : free);
  if (has_plot)
    for (const std::string& line : staircase_plot(state, width, free - events.size(), style.is_unicode))
      page.add(line, Look::plain);
  for (const std::string& line : events)
    if (page.room() > kept) page.add(line, Look::faint);
  for (const std::string& line : asks)
    if (page.room() > 0) page.add(line, Look::asked);
  if (page.room() > 0) page.add(footer(state, width), Look::faint);
  return page.take();
}

}  // namespace leeward::daemon
