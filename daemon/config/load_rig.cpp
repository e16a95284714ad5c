#include "daemon/config/load_rig.hpp"

#include "daemon/config/file_paths.hpp"
#include "daemon/config/identity_keys.hpp"
#include "daemon/config/load_fan.hpp"
#include "daemon/config/number_keys.hpp"
#include "daemon/config/parse_toml.hpp"
#include "daemon/config/read_device.hpp"
#include "daemon/config/rig_keys.hpp"

namespace leeward::daemon {
namespace {

using control::RegulatorLaw;
using control::SilenceStop;

constexpr NumberRange kSampleRate{1, 50, "Hz"};
constexpr IntegerRange kTcpPort{0, 65535, ""};
constexpr std::size_t kLongestPath = 1000;
/// sun_path of a unix socket, without its closing zero.
constexpr std::size_t kLongestSocketPath = 107;
constexpr double kRoomAboveCeilingPa = 20;

constexpr std::array kLaws =
    std::to_array<Choice<RegulatorLaw>>({{"model", RegulatorLaw::model}, {"plain", RegulatorLaw::plain}});
constexpr std::array kSilenceStops =
    std::to_array<Choice<SilenceStop>>({{"none", SilenceStop::none},
                                        {"device-timeout", SilenceStop::device_timeout},
                                        {"watchdog-relay", SilenceStop::watchdog_relay}});

void read_rig_table(TableReader& file, control::EngineConfig& engine) {
  auto table = file.table("rig", Need::required);
  if (!table) return;
  table->text("name", engine.rig_name, Need::required);
  table->number("sample_hz", engine.sample_hz, kSampleRate);
  table->boolean("learn_drive", engine.learns_drive);
  table->choice<SilenceStop>("silence_stop", engine.silence_stop, kSilenceStops);
  (void)read_identity(*table);
  table->finish();
}

void read_fans(TableReader& file, RigSpec& rig) {
  for (TableReader& entry : file.tables("fan", control::kMaxFans, Need::required)) {
    const auto fan = read_fan_entry(entry, entry.findings().file);
    std::string serial = read_identity(entry);
    if (rig.engine.fans.empty()) rig.fan_serial = std::move(serial);
    entry.finish();
    // A fan that could not be read still counts: the channels of its number are no mistake.
    rig.engine.fans.push_back(fan.value_or(control::FanSpec{}));
  }
}

void read_limits(TableReader& file, control::EngineConfig& engine) {
  auto table = file.table("limits");
  if (!table) return;
  read_numbers(*table, engine.limits, kLimitKeys);
  read_numbers(*table, engine, kEngineLimitKeys);
  if (engine.limits.sensor_range_pa < engine.limits.building_pressure_max_pa + kRoomAboveCeilingPa)
    table->conclude("sensor_range_pa",
                    "must be at least 20 Pa above building_pressure_max_pa, or an "
                    "over-pressure could not be told from a fault of the gauge");
  if (engine.look_round_pa > engine.limits.building_pressure_max_pa)
    table->conclude("look_round_pa", "must not be above building_pressure_max_pa");
  table->finish();
}

bool read_path(TableReader& table, const char* key, std::string& out, std::size_t longest) {
  std::string path;
  if (!table.text(key, path, longest)) return false;
  out = relative_to_file(table.findings().file, path);
  return true;
}

void read_listen(TableReader& file, ListenSpec& listen) {
  auto table = file.table("listen");
  if (!table) return;
  if (read_path(*table, "socket", listen.socket_path, kLongestPath) &&
      listen.socket_path.size() > kLongestSocketPath)
    table->error("socket", "the whole path must be at most 107 bytes, has " +
                               std::to_string(listen.socket_path.size()));
  table->text("tcp_host", listen.tcp_host, 253);
  table->integer("tcp_port", listen.tcp_port, kTcpPort);
  read_path(*table, "token_file", listen.token_file, kLongestPath);
  table->texts("names", listen.names, 253, 10);
  table->finish();
}

void read_recorder(TableReader& file, RigSpec& rig) {
  auto table = file.table("recorder");
  if (!table) return;
  read_path(*table, "directory", rig.recordings_directory, kLongestPath);
  table->number("resume_within_s", rig.resume_within_s, kResumeWithin);
  table->finish();
}

RigSpec read_rig(const TomlNode& root, Findings& findings) {
  RigSpec rig;
  TableReader file(root, "", findings);
  read_rig_table(file, rig.engine);
  read_fans(file, rig);
  read_limits(file, rig.engine);
  read_regulator(file, rig.engine.regulator);
  read_device(file, rig);
  read_listen(file, rig.listen);
  read_recorder(file, rig);
  file.finish();
  return rig;
}

}  // namespace

void read_regulator(TableReader& file, control::RegulatorSpec& regulator) {
  auto table = file.table("regulator");
  if (!table) return;
  read_numbers(*table, regulator, kRegulatorKeys);
  table->choice<RegulatorLaw>("law", regulator.law, kLaws);
  if (regulator.tuned_kc_frac_per_pa > 0 && !(regulator.tuned_pa > 0 && regulator.tuned_ti_s > 0))
    table->conclude("tuned_kc_frac_per_pa",
                    "needs tuned_pa and tuned_ti_s beside it: the pressure at which it was found, and its "
                    "integral time");
  table->finish();
}

Loaded<RigSpec> load_rig(const std::string& path) {
  Findings findings(path);
  RigSpec rig;
  if (auto file = parse_toml_file(path, findings)) {
    rig = read_rig(file->root, findings);
    rig.source_text = std::move(file->text);
  }
  return loaded(std::move(rig), std::move(findings));
}

}  // namespace leeward::daemon
