#include "daemon/api/event_json.hpp"

#include <cmath>

#include "daemon/api/result_of.hpp"
#include "daemon/api/status_json.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/sentences.hpp"

namespace leeward::daemon {
namespace {
using control::Event;
using control::EventKind;
using nlohmann::json;

constexpr double kNsPerS = 1e9;

template <NamedEnum E>
std::string_view word(std::int64_t number) {
  return name_of(static_cast<E>(number));
}

/// What every event carries.
json base(const Event& event, const Snapshot& now, const control::EngineConfig& config) {
  return {{"kind", name_of(event.kind)},
          {"engine_time_s", static_cast<double>(now.state.now_ns) / kNsPerS},
          {"run_id", now.run_id.empty() ? json(nullptr) : json(now.run_id)},
          {"text", event_text(event, config, now.state.run)}};
}

const control::Ask* find_ask(const Snapshot* snapshot, std::int64_t id) {
  if (snapshot == nullptr) return nullptr;
  for (const control::Ask& ask : snapshot->state.asks)
    if (ask.id == id) return &ask;
  return nullptr;
}

StreamMessage ask_message(const Event& event, json data, const Snapshot& now, const Snapshot* before,
                          const control::EngineConfig& config) {
  data["id"] = std::to_string(event.a);
  data["state"] = event.kind == EventKind::ask_opened     ? "open"
                  : event.kind == EventKind::ask_answered ? "answered"
                                                          : "withdrawn";
  if (event.kind == EventKind::ask_answered) data["answer"] = word<control::Answer>(event.b);
  const control::Ask* ask = find_ask(&now, event.a);
  if (ask == nullptr) ask = find_ask(before, event.a);
  if (ask != nullptr) data.update(ask_json(*ask, now.state.run, config));
  return {"ask", std::move(data)};
}

StreamMessage station_message(const Event& event, json data) {
  data["station"] = event.a + 1;
  const bool is_begun = event.kind == EventKind::station_begun;
  data["state"] = is_begun ? "begun" : event.kind == EventKind::station_done ? "done" : "unreachable";
  if (event.kind == EventKind::station_done) {
    data["induced_pa"] = event.x;
    data["flow_m3_s"] = event.y;
  } else {
    data["target_pa"] = event.x;
  }
  if (event.kind == EventKind::station_unreachable) data["highest_pa"] = event.y;
  return {"station", std::move(data)};
}

void add_result(std::vector<StreamMessage>& out, const Snapshot& now, const control::EngineConfig& config) {
  json result = result_of(now, config);
  if (result.contains("verdicts"))
    for (const json& verdict : result["verdicts"]) out.push_back({"verdict", verdict});
  out.push_back({"result", std::move(result)});
}

void add_event(std::vector<StreamMessage>& out, const Event& event, const Snapshot& now,
               const Snapshot* before, const control::EngineConfig& config) {
  json data = base(event, now, config);
  switch (event.kind) {
    case EventKind::phase_changed:
      data["phase"] = word<control::Phase>(event.a);
      data["from"] = word<control::Phase>(event.b);
      return out.push_back({"phase", std::move(data)});
    case EventKind::run_started:
    case EventKind::run_ended:
      data["state"] = event.kind == EventKind::run_started ? "running" : word<control::RunState>(event.a);
      return out.push_back({"run", std::move(data)});
    case EventKind::ask_opened:
    case EventKind::ask_answered:
    case EventKind::ask_withdrawn:
      return out.push_back(ask_message(event, std::move(data), now, before, config));
    case EventKind::station_begun:
    case EventKind::station_done:
    case EventKind::station_unreachable:
      return out.push_back(station_message(event, std::move(data)));
    case EventKind::baseline_taken:
      data["when"] = event.a == 0 ? "before" : "after";
      data["mean_pa"] = event.x;
      data["mean_se_pa"] = event.y;
      return out.push_back({"baseline", std::move(data)});
    case EventKind::tripped:
    case EventKind::trip_cleared:
      data["state"] = event.kind == EventKind::tripped ? "tripped" : "cleared";
      data["cause"] = word<control::TripCause>(event.a);
      if (const json trip = trip_json(now); trip.is_object()) data.update(trip);
      return out.push_back({"trip", std::move(data)});
    case EventKind::result_ready:
      return add_result(out, now, config);
    default:
      data["a"] = event.a;
      data["b"] = event.b;
      data["x"] = event.x;
      data["y"] = event.y;
      return out.push_back({"note", std::move(data)});
  }
}

/// Known only when that of every fan is.
json total_flow_json(const json& fans) {
  double total_m3_s = 0;
  for (const json& fan : fans) {
    if (!fan["flow_m3_s"].is_number()) return nullptr;
    total_m3_s += fan["flow_m3_s"].get<double>();
  }
  return total_m3_s;
}

StreamMessage sample_message(const Snapshot& now, const control::EngineConfig& config) {
  json fans = json::array();
  for (std::size_t fan = 0; fan < config.fans.size(); ++fan) fans.push_back(fan_json(now, config, fan));
  json total_flow = total_flow_json(fans);
  return {"sample",
          {{"engine_time_s", static_cast<double>(now.sample.stamp_ns) / kNsPerS},
           {"phase", name_of(now.state.phase)},
           {"sentence", sentence_of(now)},
           {"building_pressure_pa", building_pressure_json(now)},
           {"induced_pressure_pa", induced_pressure_json(now)},
           {"target_pa", target_json(now)},
           {"reference_pa", now.trace.reference_pa},
           {"fans", std::move(fans)},
           {"flow_m3_s", std::move(total_flow)},
           {"unrest_pa", std::isfinite(now.unrest_pa) ? json(now.unrest_pa) : json(nullptr)},
           {"countdown_s", countdown_json(now)},
           {"phase_left_s", phase_left_json(now)},
           {"run_left_s", run_left_json(now)},
           {"presence", presence_json(now)},
           {"estimates", estimates_json(now)},
           {"device", name_of(now.sample.device)}}};
}
}  // namespace

std::vector<StreamMessage> messages_of(const Snapshot& snapshot, const control::Events& events,
                                       const Snapshot* before, const control::EngineConfig& config) {
  std::vector<StreamMessage> out;
  for (const Event& event : events) add_event(out, event, snapshot, before, config);
  const bool has_new_readings = before == nullptr || snapshot.sample.stamp_ns != before->sample.stamp_ns;
  if (has_new_readings) out.push_back(sample_message(snapshot, config));
  return out;
}

}  // namespace leeward::daemon
