#include <chrono>
#include <ctime>
#include <memory>
#include <optional>

#include <nlohmann/json.hpp>

#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/cli/stop_signal.hpp"
#include "daemon/cli/target_options.hpp"
#include "daemon/live_view/terminal_screen.hpp"
#include "daemon/live_view/watch_screen.hpp"
#include "daemon/live_view/watch_state.hpp"
#include "daemon/report/loose_json.hpp"
#include "daemon/words/json.hpp"

namespace leeward::daemon {
namespace {
using WatchClock = std::chrono::steady_clock;
/// Readings come several times a second, so this long without a word is a lost contact.
constexpr std::chrono::seconds kSilence{3};
constexpr std::chrono::seconds kCallPatience{2};
constexpr std::chrono::seconds kStreamPatience{10};
constexpr std::chrono::milliseconds kFrame{150};
constexpr std::chrono::milliseconds kRetry{700};
/// A person sees that the contact is lost; a script shall not wait for ever.
constexpr std::chrono::seconds kScriptPatience{30};

enum class WatchMode { screen, lines, json };

std::string time_of_day() {
  const std::time_t now = std::time(nullptr);
  std::tm parts{};
  std::array<char, 16> text{};
  if (localtime_r(&now, &parts) == nullptr) return {};
  return {text.data(), std::strftime(text.data(), text.size(), "%H:%M:%S", &parts)};
}

/// Follows the stream through every loss of contact, and keeps the view in step with it.
class Watch {
 public:
  Watch(HttpClient client, WatchMode mode, ScreenStyle style)
      : stream_client_(client), client_(std::move(client)), mode_(mode), style_(std::move(style)) {
    stream_client_.set_timeout(kStreamPatience);
    client_.set_timeout(kCallPatience);
    // The screen also shows what happened before; who reads line by line begins now.
    if (mode_ == WatchMode::screen) state_.last_event_id = "0";
  }

  /// @returns nothing when the person has left
  std::optional<Failure> follow() {
    if (auto failure = first_look()) return failure;
    if (mode_ == WatchMode::screen) screen_.emplace();
    while (!stop_signal_came()) {
      const auto followed = stream_client_.stream(
          "/v1/stream", [this](const StreamEvent& item) { return take(item); }, state_.last_event_id,
          [this] { return tick(); });
      if (stop_signal_came()) break;
      if (!followed && followed.error().field == "status") return refusal();
      lose_contact();
      for (const auto until = WatchClock::now() + kRetry; WatchClock::now() < until && tick();) pause();
      if (mode_ != WatchMode::screen && WatchClock::now() - heard_ > kScriptPatience)
        return Failure{exit_no_daemon, "no_daemon", "no contact since " + state_.lost_since,
                       "see whether the daemon runs: leeward status" + style_.target_options};
    }
    return std::nullopt;
  }

  [[nodiscard]] bool is_run_on() const { return !running_run(state_).empty(); }

 private:
  static void pause() {
    const timespec slice{0, 50'000'000};
    ::nanosleep(&slice, nullptr);  // a signal cuts it short
  }

  /// Where nobody is there from the first, that is the answer.
  std::optional<Failure> first_look() {
    auto status = call(client_, "GET", "/v1/status");
    if (!status) return status.error();
    take_status(state_, std::move(*status));
    state_.wants_course = is_run_on();
    heard_ = WatchClock::now();
    if (mode_ == WatchMode::lines) print_text(text_at(state_.status, "sentence"));
    return std::nullopt;
  }

  /// The stream was refused: the same question to a plain answer says why.
  Failure refusal() {
    const auto status = call(client_, "GET", "/v1/status");
    if (!status) return status.error();
    return {exit_failed, "refused", "the daemon refuses the stream", "too many watch it already: end one"};
  }

  bool take(const StreamEvent& item) {
    heard_ = WatchClock::now();
    const bool was_lost = !state_.lost_since.empty();
    state_.lost_since.clear();
    if (was_lost) {
      state_.wants_status = true;
      state_.wants_course = is_run_on();
      if (mode_ != WatchMode::screen) print_progress("contact again at " + time_of_day());
    }
    // Asked to begin at the very beginning, the daemon says that this is gone. Nobody has missed it.
    if (item.event == "gap" && state_.last_event_id == "0") return tick();
    if (mode_ == WatchMode::json) print_item(item);
    const bool is_told = take_item(state_, item);
    if (mode_ == WatchMode::lines && is_told) print_text(event_line(state_, state_.events.back()));
    if (item.event == "gap") state_.wants_course = is_run_on();
    return tick();
  }

  static void print_item(const StreamEvent& item) {
    if (auto data = parse_json(item.data))
      print_json({{"id", item.id}, {"event", item.event}, {"data", std::move(*data)}});
  }

  void lose_contact() {
    if (!state_.lost_since.empty()) return;
    state_.lost_since = time_of_day();
    if (mode_ != WatchMode::screen)
      print_progress("no contact since " + state_.lost_since + ", trying again");
  }

  /// @returns false when it is time to leave
  bool tick() {
    if (stop_signal_came()) return false;
    const auto now = WatchClock::now();
    if (now - heard_ > kSilence) lose_contact();
    if (!screen_ || now - drawn_ < kFrame) return true;
    drawn_ = now;
    if (state_.lost_since.empty()) ask_for_more();
    const TerminalSize size = screen_->size();
    screen_->show(watch_screen(state_, size.width, size.height, style_));
    return true;
  }

  /// What no event carries.
  void ask_for_more() {
    if (std::exchange(state_.wants_status, false))
      if (auto status = call(client_, "GET", "/v1/status")) take_status(state_, std::move(*status));
    const std::string procedure = text_at(object_at(state_.status, "plan"), "procedure");
    if (state_.procedure.empty() && !procedure.empty() && procedure != unknown_procedure_) {
      unknown_procedure_ = procedure;  // one that was posted with its run is in no list
      if (auto answer = call(client_, "GET", "/v1/procedures/" + procedure))
        state_.procedure = std::move(*answer);
    }
    if (!std::exchange(state_.wants_course, false) || !is_run_on()) return;
    if (auto trace = call(client_, "GET", "/v1/runs/" + running_run(state_) + "/trace"))
      take_course(state_, *trace);
  }

  HttpClient stream_client_;
  HttpClient client_;
  WatchMode mode_;
  ScreenStyle style_;
  WatchState state_;
  std::string unknown_procedure_;
  std::optional<TerminalScreen> screen_;
  WatchClock::time_point heard_{};
  WatchClock::time_point drawn_{};
};
}  // namespace

int run_command(const WatchCommand&, const CommonOptions& common) {
  auto client = link_to(common.target);
  if (!client) return report_failure(common.json, client.error());
  watch_for_stop_signal(leave_terminal_screen);
  const WatchMode mode = common.json            ? WatchMode::json
                         : can_draw_on_output() ? WatchMode::screen
                                                : WatchMode::lines;
  std::optional<Failure> failure;
  bool is_run_on = false;
  {
    Watch watch(std::move(*client), mode, {is_unicode_locale(), target_options(common.target)});
    failure = watch.follow();
    is_run_on = watch.is_run_on();
  }
  if (failure) return report_failure(common.json, *failure);
  if (mode != WatchMode::json)
    print_progress((is_run_on ? "The run goes on without this view" : "Nothing was changed by leaving") +
                   std::string("; leeward stop") + target_options(common.target) + " stops the fan.");
  return exit_done;
}

}  // namespace leeward::daemon
