#include "daemon/config/found_drive.hpp"

#include <cctype>

#include "daemon/config/parse_toml.hpp"
#include "daemon/config/toml_reader.hpp"

namespace leeward::daemon {
namespace {

constexpr std::size_t kLongestNameBytes = 500;
constexpr IntegerRange kFormats{1, 1'000'000, ""};
constexpr NumberRange kUncertainty{0, 1000, ""};
constexpr NumberRange kQuality{0, 1, ""};
constexpr NumberRange kMisfit{0, 1e6, ""};
constexpr NumberRange kHighestPressure{0, 1000, "Pa"};

std::string plain_name(std::string_view text) {
  std::string out;
  for (const char c : text) {
    const bool is_plain =
        std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '.' || c == '-' || c == '_';
    out += is_plain ? c : '_';
  }
  return out;
}

std::string text_line(const char* key, std::string_view value) {
  std::string out = std::string(key) + " = \"";
  for (const char c : value) {
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + "\"\n";
}

std::string number_line(const char* key, double value, std::string_view comment = {}) {
  std::string line = std::string(key) + " = " + number_text(value);
  if (!comment.empty()) {
    line.resize(std::max<std::size_t>(line.size(), 36), ' ');
    line += " # " + std::string(comment);
  }
  return line + "\n";
}

void read_figures(TableReader& table, control::DriveFound& found) {
  for (const DriveFigure& f : kDriveFigures) {
    control::FoundFigure& figure = found.*f.member;
    table.number(f.key, figure.value, {f.range.low, f.range.high, f.unit}, Need::required);
    table.number(f.u_key, figure.u, kUncertainty, Need::required);
  }
  found.known = true;
}

/// What another version wrote may lack keys and have others: only the format is told of.
bool is_of_this_format(TableReader& table) {
  int format = kFoundDriveFormat;
  if (!table.integer("format", format, kFormats, Need::required) || format == kFoundDriveFormat) return true;
  table.error("format", "is " + std::to_string(format) + ", this version reads format " +
                            std::to_string(kFoundDriveFormat));
  return false;
}

FoundDrive read_found_drive(const TomlNode& root, Findings& findings) {
  FoundDrive drive;
  TableReader file(root, "", findings);
  if (auto table = file.table("drive", Need::required)) {
    if (!is_of_this_format(*table)) return drive;
    table->text("rig", drive.owner.rig, kLongestNameBytes, Need::required);
    table->text("fan", drive.owner.fan, kLongestNameBytes, Need::required);
    table->text("fan_serial", drive.owner.fan_serial, kLongestNameBytes);
    table->text("device", drive.owner.device, kLongestNameBytes, Need::required);
    table->text("restriction", drive.restriction, kLongestNameBytes, Need::required);
    table->text("found_at_utc", drive.found_at_utc, kLongestNameBytes, Need::required);
    table->text("run_id", drive.run_id, kLongestNameBytes, Need::required);
    table->number("quality_frac", drive.quality_frac, kQuality, Need::required);
    table->number("misfit", drive.misfit, kMisfit, Need::required);
    table->number("highest_pa", drive.highest_pa, kHighestPressure, Need::required);
    read_figures(*table, drive.found);
    table->finish();
  }
  file.finish();
  return drive;
}

}  // namespace

std::string found_drive_file_name(std::string_view rig, std::string_view fan) {
  return plain_name(rig) + "--" + plain_name(fan) + ".toml";
}

DriveOwner drive_owner(const RigSpec& rig) {
  DriveOwner owner;
  owner.rig = std::string(rig.engine.rig_name.view());
  if (!rig.engine.fans.empty()) owner.fan = std::string(rig.engine.fans[0].name.view());
  owner.fan_serial = rig.fan_serial;
  owner.device = rig.device == DeviceKind::simulated
                     ? "simulated " + std::string(rig.simulated.house.name.view())
                     : "modbus-tcp " + rig.modbus.host + ":" + std::to_string(rig.modbus.port) + " unit " +
                           std::to_string(rig.modbus.unit);
  return owner;
}

std::string other_owner_text(const DriveOwner& found, const DriveOwner& now) {
  const auto differs = [](const char* key, const std::string& theirs, const std::string& ours) {
    return std::string("drive.") + key + " is \"" + theirs + "\", the rig file's is \"" + ours + "\"";
  };
  if (found.rig != now.rig) return differs("rig", found.rig, now.rig);
  if (found.fan != now.fan) return differs("fan", found.fan, now.fan);
  if (!found.fan_serial.empty() && !now.fan_serial.empty() && found.fan_serial != now.fan_serial)
    return differs("fan_serial", found.fan_serial, now.fan_serial);
  return found.device == now.device ? std::string() : differs("device", found.device, now.device);
}

std::string found_drive_text(const FoundDrive& drive) {
  const DriveOwner& owner = drive.owner;
  std::string out =
      "# What an experiment found of this drive. Written by leeward; rig-learn writes it anew.\n[drive]\n";
  out += "format = " + std::to_string(kFoundDriveFormat) + "\n" + text_line("rig", owner.rig) +
         text_line("fan", owner.fan);
  if (!owner.fan_serial.empty()) out += text_line("fan_serial", owner.fan_serial);
  out += text_line("device", owner.device) + text_line("restriction", drive.restriction) +
         text_line("found_at_utc", drive.found_at_utc) + text_line("run_id", drive.run_id);
  out += number_line("quality_frac", drive.quality_frac, "how much the readings say, 0 to 1") +
         number_line("misfit", drive.misfit, "residuals over the noise, 1 where all is understood") +
         number_line("highest_pa", drive.highest_pa, "Pa: highest induced pressure");
  for (const DriveFigure& f : kDriveFigures) {
    const control::FoundFigure& figure = drive.found.*f.member;
    out += number_line(f.key, figure.value, f.meaning);
    out += number_line(f.u_key, figure.u, "its standard uncertainty");
  }
  return out;
}

Loaded<FoundDrive> load_found_drive(const std::string& path) {
  Findings findings(path);
  FoundDrive drive;
  if (const auto file = parse_toml_file(path, findings)) drive = read_found_drive(file->root, findings);
  return loaded(std::move(drive), std::move(findings));
}

}  // namespace leeward::daemon
