#pragma once
/// What an experiment found of a rig's drive, as a file: written by the daemon, read when it starts again.

#include <array>
#include <string>
#include <string_view>

#include "control/estimate/drive_found.hpp"
#include "daemon/config/file_error.hpp"
#include "daemon/config/rig_spec.hpp"

namespace leeward::daemon {

/// Version of the file: another one is refused, since its figures could mean something else.
inline constexpr int kFoundDriveFormat = 1;

/// Which rig the drive belongs to.
struct DriveOwner {
  std::string rig;
  std::string fan;
  std::string fan_serial;  ///< empty: not told
  std::string device;      ///< over which it is driven: a virtual rig may bear the name of a real one
  bool operator==(const DriveOwner&) const = default;
};

struct FoundDrive {
  DriveOwner owner;
  std::string restriction;   ///< that was fitted
  std::string found_at_utc;  ///< 2026-05-04T10:20:30Z
  std::string run_id;        ///< of the recording
  double quality_frac = 0;
  double misfit = 0;
  double highest_pa = 0;
  control::DriveFound found;
  bool operator==(const FoundDrive&) const = default;
};

/// A figure of the file and what it means.
struct DriveFigure {
  const char* key;    ///< with its unit
  const char* u_key;  ///< its standard uncertainty
  control::FoundFigure control::DriveFound::*member;
  control::FoundRange range;
  const char* unit;
  const char* meaning;
};

inline constexpr std::array kDriveFigures = std::to_array<DriveFigure>({
    {"slew_s", "slew_u_s", &control::DriveFound::slew_s, control::kSlewRange, "s", "from 0 to full speed"},
    {"lag_s", "lag_u_s", &control::DriveFound::lag_s, control::kDriveLagRange, "s", "lag of motor and wheel"},
    {"sensor_lag_s", "sensor_lag_u_s", &control::DriveFound::sensor_lag_s, control::kGaugeLagRange, "s",
     "lag of the building gauge and its tube"},
    {"signal_lag_s", "signal_lag_u_s", &control::DriveFound::signal_lag_s, control::kGaugeLagRange, "s",
     "lag of the fan-side gauge and its tube"},
    {"offset_frac", "offset_u_frac", &control::DriveFound::offset_frac, control::kOffsetRange, "",
     "demand below which the wheel stands"},
    {"scale", "scale_u", &control::DriveFound::scale, control::kScaleRange, "",
     "demand for the speed of the fan's curve, beyond that"},
});

/// `RIG--FAN.toml`: what is no letter, digit, point, dash or underscore becomes an underscore.
[[nodiscard]] std::string found_drive_file_name(std::string_view rig, std::string_view fan);

[[nodiscard]] DriveOwner drive_owner(const RigSpec& rig);

/// What tells the two rigs apart, with the key of the file; empty: they are the same. A serial counts where
/// both are told.
[[nodiscard]] std::string other_owner_text(const DriveOwner& found, const DriveOwner& now);

/// Reads back as the same figures.
[[nodiscard]] std::string found_drive_text(const FoundDrive& drive);

/// Errors   every key that is missing, not known or out of range, with its place; another format
[[nodiscard]] Loaded<FoundDrive> load_found_drive(const std::string& path);

}  // namespace leeward::daemon
