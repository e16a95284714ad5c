#include "daemon/report/csv.hpp"

#include <array>
#include <charconv>
#include <cmath>

#include "daemon/words/names.hpp"
#include "daemon/words/plain_number.hpp"

namespace leeward::daemon {

namespace {

using control::Quality;
using control::Reading;
using control::Trace;

constexpr double kStampsPerSecond = 1e9;

/// One line, field by field.
class CsvLine {
 public:
  void text(std::string_view value) {
    separate();
    if (value.find_first_of(",\"\r\n") == std::string_view::npos) {
      line_ += value;
      return;
    }
    line_ += '"';
    for (const char c : value) {
      if (c == '"') line_ += '"';
      line_ += c;
    }
    line_ += '"';
  }
  void number(double value) {
    separate();
    if (!std::isfinite(value)) return;
    std::array<char, 40> digits{};
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), plain_number(value)).ptr;
    line_.append(digits.data(), end);
  }
  void number_if(bool known, double value) { known ? number(value) : empty(); }
  void reading(const Reading& r) { number_if(r.quality == Quality::good, r.value); }
  void whole(std::int64_t value) { text(std::to_string(value)); }
  void truth(bool value) { whole(value ? 1 : 0); }
  void empty() { separate(); }
  [[nodiscard]] std::string end() { return std::move(line_) + "\r\n"; }

 private:
  void separate() {
    if (!first_) line_ += ',';
    first_ = false;
  }
  std::string line_;
  bool first_ = true;
};

std::string samples_header(std::size_t fans) {
  CsvLine line;
  for (const char* name :
       {"seq", "time_s", "wall_unix_ms", "out_of_turn", "device", "phase", "direction",
        "building_pressure_pa", "induced_pressure_pa", "zero_flow_pa", "target_pa", "reference_pa",
        "demand_frac", "limited_by", "total_flow_m3_s", "indoor_c", "outdoor_c", "trip"})
    line.text(name);
  for (std::size_t i = 1; i <= fans; ++i)
    for (const char* name : {"_signal_pa", "_flow_m3_s", "_command", "_demand_frac", "_speed_frac"})
      line.text("fan" + std::to_string(i) + name);
  return line.end();
}

void put_fan(CsvLine& line, const RecordedTick& tick, std::size_t i) {
  line.reading(tick.sample.fans[i].signal_pa);
  line.number(tick.output.trace.flow_m3_s[i]);
  line.text(name_of(tick.output.command.fans[i].drive));
  line.number(tick.output.command.fans[i].demand_frac);
  line.reading(tick.sample.fans[i].speed_frac);
}

std::string samples_line(const RecordedTick& tick, std::size_t fans) {
  const Trace& trace = tick.output.trace;
  CsvLine line;
  line.whole(static_cast<std::int64_t>(tick.seq));
  line.number(static_cast<double>(tick.sample.stamp_ns) / kStampsPerSecond);
  line.whole(tick.sample.wall_unix_ms);
  line.truth(tick.sample.out_of_turn);
  line.text(name_of(tick.sample.device));
  line.text(name_of(trace.phase));
  line.text(name_of(trace.direction));
  line.reading(tick.sample.building_pressure_pa);
  // Signed like the building pressure; the trace holds the size along the direction.
  line.number_if(trace.has_zero_flow && trace.pressure_good,
                 control::signed_pressure(trace.direction, trace.induced_pa));
  line.number_if(trace.has_zero_flow, trace.zero_flow_pa);
  line.number(trace.target_pa);
  line.number(trace.reference_pa);
  line.number(trace.demand_frac);
  line.text(name_of(trace.limited_by));
  line.number(trace.total_flow_m3_s);
  line.reading(tick.sample.indoor_c);
  line.reading(tick.sample.outdoor_c);
  line.text(name_of(trace.trip));
  for (std::size_t i = 0; i < fans; ++i) put_fan(line, tick, i);
  return line.end();
}

void put_json_field(CsvLine& line, const nlohmann::json& value) {
  if (value.is_boolean()) {
    line.truth(value.get<bool>());
  } else if (value.is_number_integer()) {
    line.whole(value.get<std::int64_t>());
  } else if (value.is_number()) {
    line.number(value.get<double>());
  } else if (value.is_string()) {
    line.text(value.get_ref<const std::string&>());
  } else {
    line.empty();
  }
}

}  // namespace

control::Result<void> write_samples_csv(const RecordingReader& recording, const LineSink& sink) {
  const std::size_t fans = recording.fans();
  if (!sink(samples_header(fans))) return {};
  return recording.for_each_tick([&](const RecordedTick& tick) { return sink(samples_line(tick, fans)); });
}

std::string result_csv(const nlohmann::json& result) {
  constexpr std::array names{"direction",   "target_pa",      "induced_pa",      "measured_pa",
                             "flow_m3_h",   "flow_read_m3_h", "signal_pa",       "restriction",
                             "demand_frac", "settled",        "signal_in_range", "residual_frac"};
  CsvLine header;
  for (const char* name : names) header.text(name);
  std::string out = header.end();
  const auto stations = result.find("stations");
  if (stations == result.end()) return out;
  for (const nlohmann::json& station : *stations) {
    CsvLine line;
    for (const char* name : names)
      put_json_field(line, station.contains(name) ? station[name] : nlohmann::json());
    out += line.end();
  }
  return out;
}

}  // namespace leeward::daemon
