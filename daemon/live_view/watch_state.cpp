#include "daemon/live_view/watch_state.hpp"

#include <array>
#include <cmath>
#include <cstdio>

#include "daemon/report/loose_json.hpp"
#include "daemon/words/figures.hpp"
#include "daemon/words/json.hpp"

namespace leeward::daemon {
namespace {
constexpr std::size_t kMostEvents = 50;
constexpr double kRecent_s = 10;

double pressure_in(const nlohmann::json& sample) {
  const double induced_pa = number_at(sample, "induced_pressure_pa");
  return std::isfinite(induced_pa) ? induced_pa : number_at(sample, "building_pressure_pa");
}

void take_sample(WatchState& state, const nlohmann::json& sample) {
  const double at_s = number_at(sample, "engine_time_s");
  const double pa = pressure_in(sample);
  state.course.add(at_s, pa, number_at(sample, "target_pa"));
  if (!state.recent.empty() && at_s < state.recent.back().at_s) state.recent.clear();
  if (std::isfinite(pa)) state.recent.push_back({at_s, pa});
  while (!state.recent.empty() && state.recent.front().at_s < at_s - kRecent_s) state.recent.pop_front();
  state.status.update(sample);
}

std::string words_of_result(const nlohmann::json& result) {
  const double q50 = number_at(result, "q50_m3_h");
  if (!std::isfinite(q50)) return "result: no curve could be fitted";
  std::string text = "result: q50 " + figure_text(q50, "m3/h");
  if (const double low = number_at(result, "q50_m3_h_low"); std::isfinite(low))
    text += " (" + figure_text(low, "") + " to " + figure_text(number_at(result, "q50_m3_h_high"), "") + ")";
  return text;
}

std::string words_of(const std::string& name, const nlohmann::json& data) {
  if (name == "result") return words_of_result(data);
  if (name == "gap") return "some events were missed: " + text_at(data, "reason");
  if (name == "verdict") return {};
  if (name == "ask") {
    const std::string answer = text_at(data, "answer");
    const std::string state = text_at(data, "state");
    return (state == "open"       ? "asked: "
            : state == "answered" ? "answered " + answer + ": "
                                  : "no longer asked: ") +
           text_at(data, "text");
  }
  return text_at(data, "text");
}

/// A zero-flow pressure shifts what is read from then on; what stands before it is not comparable.
void note_run(WatchState& state, const std::string& name, const nlohmann::json& data) {
  if (name != "run" || text_at(data, "state") != "running") return;
  state.run_begin_s = number_at(data, "engine_time_s");
  state.course.clear();
}
}  // namespace

bool take_item(WatchState& state, const StreamEvent& item) {
  if (!item.id.empty()) state.last_event_id = item.id;
  const auto data = parse_json(item.data);
  if (!data || !data->is_object()) return false;
  if (item.event == "sample") {
    take_sample(state, *data);
    return false;
  }
  state.wants_status = true;
  note_run(state, item.event, *data);
  const std::string text = words_of(item.event, *data);
  if (text.empty()) return false;
  double at_s = number_at(*data, "engine_time_s");
  if (!std::isfinite(at_s)) at_s = number_at(state.status, "engine_time_s");
  state.events.push_back({at_s, text, item.event == "ask" && text_at(*data, "state") == "open"});
  if (state.events.size() > kMostEvents) state.events.pop_front();
  return true;
}

void take_status(WatchState& state, nlohmann::json status) {
  if (!status.is_object()) return;
  state.status = std::move(status);
  state.wants_status = false;
  const std::string wanted = text_at(object_at(state.status, "plan"), "procedure");
  if (text_at(state.procedure, "id") != wanted) state.procedure = nlohmann::json::object();
  if (running_run(state).empty()) state.run_begin_s = std::numeric_limits<double>::quiet_NaN();
}

void take_course(WatchState& state, const nlohmann::json& trace) {
  state.wants_course = false;
  const double begin_s = number_at(trace, "t0_engine_s");
  const nlohmann::json times = list_at(trace, "t_s");
  const nlohmann::json lows = list_at(trace, "induced_min_pa");
  const nlohmann::json highs = list_at(trace, "induced_max_pa");
  const nlohmann::json targets = list_at(trace, "target_pa");
  if (!std::isfinite(begin_s)) return;
  state.run_begin_s = begin_s;
  const auto number = [](const nlohmann::json& list, std::size_t i) {
    return i < list.size() && list[i].is_number() ? list[i].get<double>()
                                                  : std::numeric_limits<double>::quiet_NaN();
  };
  std::vector<CoursePoint> points;
  for (std::size_t i = 0; i < times.size(); ++i) {
    const CoursePoint point{begin_s + number(times, i), number(lows, i), number(highs, i),
                            number(targets, i)};
    if (std::isfinite(point.at_s) && std::isfinite(point.middle_pa())) points.push_back(point);
  }
  state.course.put_before(std::move(points));
}

std::string running_run(const WatchState& state) {
  return text_at(state.status, "run_state") == "running" ? text_at(state.status, "run_id") : std::string();
}

std::string event_line(const WatchState& state, const WatchedEvent& event) {
  const bool is_of_run = std::isfinite(state.run_begin_s) && event.at_s >= state.run_begin_s;
  const double since_s = event.at_s - (is_of_run ? state.run_begin_s : 0);
  if (!std::isfinite(since_s) || since_s < 0 || since_s > 1e8) return event.text;
  const auto seconds = static_cast<long>(since_s);
  std::array<char, 40> stamp{};
  std::snprintf(stamp.data(), stamp.size(), "%s%ld:%02ld ", is_of_run ? "+" : "", seconds / 60, seconds % 60);
  return stamp.data() + event.text;
}

}  // namespace leeward::daemon
