#include "daemon/api/metrics.hpp"

#include <cmath>

#include <prometheus/text_serializer.h>
#include <nlohmann/json.hpp>

#include "daemon/api/status_json.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {
namespace {
using prometheus::ClientMetric;
using prometheus::MetricFamily;
using prometheus::MetricType;

using MetricLabels = std::vector<std::pair<std::string, std::string>>;

/// The families of one scrape.
class MetricPage {
 public:
  void gauge(const char* name, const char* help, double value, const MetricLabels& labels = {}) {
    ClientMetric metric = labelled(labels);
    metric.gauge.value = value;
    add(name, help, MetricType::Gauge, std::move(metric));
  }
  void gauge_if_known(const char* name, const char* help, const nlohmann::json& value,
                      const MetricLabels& labels = {}) {
    if (value.is_number()) gauge(name, help, value.get<double>(), labels);
  }
  void counter(const char* name, const char* help, double value, const MetricLabels& labels = {}) {
    ClientMetric metric = labelled(labels);
    metric.counter.value = value;
    add(name, help, MetricType::Counter, std::move(metric));
  }
  void histogram(const char* name, const char* help, const TickLateness& lateness) {
    ClientMetric metric;
    std::uint64_t total = 0;
    for (std::size_t i = 0; i < lateness.counts.size(); ++i) {
      total += lateness.counts[i];
      const double bound = i < TickLateness::kBoundsS.size() ? TickLateness::kBoundsS[i] : INFINITY;
      metric.histogram.bucket.push_back({total, bound});
    }
    metric.histogram.sample_count = total;
    metric.histogram.sample_sum = lateness.sum_s;
    add(name, help, MetricType::Histogram, std::move(metric));
  }
  [[nodiscard]] std::string text() const { return prometheus::TextSerializer().Serialize(families_); }

 private:
  static ClientMetric labelled(const MetricLabels& labels) {
    ClientMetric metric;
    for (const auto& [name, value] : labels) metric.label.push_back({name, value});
    return metric;
  }
  void add(const char* name, const char* help, MetricType type, ClientMetric metric) {
    if (families_.empty() || families_.back().name != name) families_.push_back({name, help, type, {}});
    families_.back().metric.push_back(std::move(metric));
  }
  std::vector<MetricFamily> families_;
};

void add_pressures(MetricPage& page, const Snapshot& now) {
  page.gauge_if_known("leeward_building_pressure_pascals", "Indoor minus outdoor pressure.",
                      building_pressure_json(now));
  page.gauge_if_known("leeward_induced_pressure_pascals", "Building pressure less the zero-flow pressure.",
                      induced_pressure_json(now));
  page.gauge_if_known("leeward_target_pressure_pascals", "Size of the induced pressure that is wanted.",
                      target_json(now));
  if (std::isfinite(now.unrest_pa))
    page.gauge("leeward_building_pressure_unrest_pascals",
               "Standard deviation of the building pressure over the last 10 s.", now.unrest_pa);
}

void add_fans(MetricPage& page, const Snapshot& now, const control::EngineConfig& config) {
  const auto each = [&](const char* name, const char* help, const char* key) {
    for (std::size_t i = 0; i < config.fans.size(); ++i)
      page.gauge_if_known(name, help, fan_json(now, config, i)[key],
                          {{"fan", std::string(config.fans[i].name.view())}});
  };
  each("leeward_fan_demand_ratio", "What the fan is told to do, 0 to 1.", "demand_frac");
  each("leeward_fan_signal_pascals", "Fan-side signal.", "signal_pa");
  each("leeward_fan_flow_cubic_meters_per_second", "Flow by the fan's calibration.", "flow_m3_s");
  for (std::size_t i = 0; i < config.fans.size(); ++i)
    page.gauge("leeward_fan_enabled", "Whether the fan may turn.", now.outputs[i].enabled ? 1 : 0,
               {{"fan", std::string(config.fans[i].name.view())}});
}

void add_ticks(MetricPage& page, const Snapshot& now, const ApiContext& context) {
  page.counter("leeward_ticks_total", "Passes of the control thread.", static_cast<double>(now.ticks));
  page.counter("leeward_late_ticks_total", "Periods of the control thread that were missed.",
               static_cast<double>(now.late_ticks));
  page.counter("leeward_skipped_samples_total", "Samples that the device counted and we did not see.",
               static_cast<double>(now.skipped_samples));
  page.gauge("leeward_tick_age_seconds", "Since the control thread last passed.",
             context.backend.tick_age_s());
  page.gauge("leeward_sample_age_seconds", "Of the last sample with readings, by the engine's time.",
             static_cast<double>(now.state.now_ns - now.sample.stamp_ns) / 1e9);
  page.histogram("leeward_tick_lateness_seconds", "How late ticks begin.", now.lateness);
}

void add_device(MetricPage& page, const DeviceHealth& health) {
  page.gauge("leeward_device_connected", "Whether the device answers.", health.connected ? 1 : 0);
  page.counter("leeward_device_connections_total", "Connections made to the device.",
               static_cast<double>(health.connections));
  const char* name = "leeward_bus_errors_total";
  const char* help = "Requests to the device that went wrong, by kind.";
  const auto error = [&](const char* kind, std::uint64_t count) {
    page.counter(name, help, static_cast<double>(count), {{"kind", kind}});
  };
  error("no_answer", health.no_answers);
  error("bad_answer", health.bad_answers);
  error("refused", health.refusals);
  error("connection_lost", health.lost);
  error("connect_failed", health.failed_connects);
}

void add_state(MetricPage& page, const Snapshot& now) {
  for (const std::string_view phase : EnumNames<control::Phase>::kNames)
    page.gauge("leeward_phase", "1 for the phase that the daemon is in.",
               name_of(now.state.phase) == phase ? 1 : 0, {{"phase", std::string(phase)}});
  page.gauge("leeward_tripped", "Whether a trip waits to be cleared.", now.state.guard.trip.active() ? 1 : 0);
  page.gauge("leeward_open_asks", "Questions that wait for the crew.",
             static_cast<double>(now.state.asks.size()));
  page.gauge("leeward_recorder_backlog_ticks", "Handed to the recorder and not yet safe on disk.",
             static_cast<double>(now.recorder_backlog));
  page.gauge("leeward_recorder_failed", "Whether the recording in hand cannot be written.",
             now.recording == RecordingState::failed ? 1 : 0);
}

void add_callers(MetricPage& page, const AccessDesk& desk) {
  for (const auto& [reason, count] : desk.refused)
    page.counter("leeward_api_refused_total", "Requests that were not let in, by the reason.",
                 static_cast<double>(count), {{"reason", reason}});
}
}  // namespace

std::string metrics_text(const ApiContext& context) {
  const SnapshotPtr now = context.backend.snapshot();
  MetricPage page;
  page.gauge("leeward_build_info", "1, with the version as a label.", 1, {{"version", context.version}});
  add_state(page, *now);
  add_pressures(page, *now);
  add_fans(page, *now, context.backend.config());
  add_ticks(page, *now, context);
  add_device(page, context.backend.device_health());
  if (context.desk != nullptr) add_callers(page, *context.desk);
  return page.text();
}

void get_metrics(const ApiContext& context, const ApiRequest&, const PathArgs&, const Reply& reply) {
  ApiResponse response;
  response.content_type = "text/plain; version=0.0.4; charset=utf-8";
  response.body = metrics_text(context);
  reply(std::move(response));
}

}  // namespace leeward::daemon
