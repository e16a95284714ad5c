#include "daemon/api/status_handlers.hpp"

#include <nlohmann/json.hpp>

#include "daemon/api/access_handlers.hpp"
#include "daemon/api/problem.hpp"
#include "daemon/api/status_json.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/silence_text.hpp"

namespace leeward::daemon {
namespace {
constexpr double kTickAgeLimitS = 1;
constexpr std::uint64_t kLeastFreeBytes = 100'000'000;  ///< a run takes a few megabytes
}  // namespace

void get_status(const ApiContext& context, const ApiRequest&, const PathArgs&, const Reply& reply) {
  nlohmann::json status = status_json(*context.backend.snapshot(), context.backend.config());
  status["version"] = context.version;
  if (context.watchman_pid) status["watchman_pid"] = *context.watchman_pid;
  status["tick_age_s"] = context.backend.tick_age_s();
  const DeviceHealth health = context.backend.device_health();
  status["silence_stop"]["text"] =
      silence_text(context.backend.config().silence_stop, health.timeout_refused);
  const std::string& error = health.last_error;
  status["device_error"] = error.empty() ? nlohmann::json(nullptr) : nlohmann::json(error);
  if (context.desk != nullptr) status["helm"] = helm_json(context.desk->helm, steady_now_s());
  reply(json_response(200, status));
}

void get_readyz(const ApiContext& context, const ApiRequest&, const PathArgs&, const Reply& reply) {
  const SnapshotPtr snapshot = context.backend.snapshot();
  const bool is_ticking = context.backend.tick_age_s() < kTickAgeLimitS;
  const bool is_device_well = snapshot->sample.device == control::DeviceStatus::ok;
  const bool has_room = context.runs.free_bytes() >= kLeastFreeBytes;
  const bool is_ready = is_ticking && is_device_well && has_room && !snapshot->state.guard.trip.active();
  reply(json_response(is_ready ? 200 : 503, {{"ready", is_ready},
                                             {"ticking", is_ticking},
                                             {"device", name_of(snapshot->sample.device)},
                                             {"tripped", snapshot->state.guard.trip.active()},
                                             {"disk_has_room", has_room}}));
}

void get_healthz(const ApiContext& context, const ApiRequest&, const PathArgs&, const Reply& reply) {
  const SnapshotPtr snapshot = context.backend.snapshot();
  const double age_s = context.backend.tick_age_s();
  const bool is_alive = age_s < kTickAgeLimitS;
  reply(
      json_response(is_alive ? 200 : 503, {{"ok", is_alive && snapshot->recording != RecordingState::failed},
                                           {"ticking", is_alive},
                                           {"tick_age_s", age_s},
                                           {"device", name_of(snapshot->sample.device)},
                                           {"recording", snapshot->recording != RecordingState::failed}}));
}

}  // namespace leeward::daemon
