#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <deque>

#include <nlohmann/json.hpp>

#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/cli/sparkline.hpp"
#include "daemon/cli/status_text.hpp"
#include "daemon/cli/stop_signal.hpp"
#include "daemon/words/json.hpp"

namespace leeward::daemon {
namespace {
constexpr std::size_t kPlotWidth = 40;

/// The live line, drawn over itself on a terminal, one a second elsewhere.
class LiveView {
 public:
  void show_sample(const nlohmann::json& sample) {
    if (const auto it = sample.find("building_pressure_pa"); it != sample.end() && it->is_number())
      sizes_.push_back(std::abs(it->get<double>()));
    if (sizes_.size() > kPlotWidth) sizes_.pop_front();
    const double at_s = sample.value("engine_time_s", 0.0);
    if (!is_terminal_) {
      if (at_s - shown_s_ >= 1 || at_s < shown_s_) {
        print_text(live_line(sample));
        shown_s_ = at_s;
      }
      return;
    }
    std::fputs(("\r\033[K" + sparkline({sizes_.begin(), sizes_.end()}) + " " + live_line(sample)).c_str(),
               stdout);
    std::fflush(stdout);
  }

  void show_event(const nlohmann::json& event) {
    const auto text = event.find("text");
    if (text == event.end() || !text->is_string()) return;
    if (is_terminal_) std::fputs("\r\033[K", stdout);
    print_text(text->get<std::string>());
  }

 private:
  bool is_terminal_ = ::isatty(STDOUT_FILENO) == 1;
  std::deque<double> sizes_;
  double shown_s_ = -1;
};
}  // namespace

int run_command(const WatchCommand&, const CommonOptions& common) {
  const auto client = link_to(common.target);
  if (!client) return report_failure(common.json, client.error());
  watch_for_stop_signal();
  LiveView view;
  const auto followed = client->stream("/v1/stream", [&](const StreamEvent& event) {
    const auto data = parse_json(event.data);
    if (!data) return !stop_signal_came();
    if (common.json) {
      print_json({{"id", event.id}, {"event", event.event}, {"data", *data}});
    } else if (event.event == "sample") {
      view.show_sample(*data);
    } else {
      view.show_event(*data);
    }
    return !stop_signal_came();
  });
  if (stop_signal_came()) return exit_done;
  if (!followed) return report_failure(common.json, failure_of(followed.error()));
  return report_failure(common.json, {exit_no_daemon, "no_daemon", "the daemon has ended"});
}

}  // namespace leeward::daemon
