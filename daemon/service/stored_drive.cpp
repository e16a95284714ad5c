#include "daemon/service/stored_drive.hpp"

#include <system_error>

#include "control/plant_watch.hpp"

namespace leeward::daemon {

StoredDrive use_stored_drive(const std::filesystem::path& runs, control::EngineConfig& engine) {
  const std::string_view fan = engine.fans[0].name.view();
  const std::filesystem::path path =
      runs.parent_path() / "drives" / found_drive_file_name(engine.rig_name.view(), fan);
  StoredDrive out{.path = path.string()};
  std::error_code error;
  const auto status = std::filesystem::symlink_status(path, error);
  if (status.type() == std::filesystem::file_type::not_found) return out;
  auto loaded = load_found_drive(out.path);
  if (!loaded) {
    out.text = "what is stored of the drive is left aside: " + to_text(loaded.errors);
    return out;
  }
  if (loaded.value->rig != engine.rig_name.view() || loaded.value->fan != fan) {
    out.text = out.path + ": is of another rig or fan and left aside";
    return out;
  }
  out.drive = std::move(loaded.value);
  out.text = "the drive is known from " + out.drive->found_at_utc + ": " + out.path;
  engine.regulator = control::regulator_told(engine.regulator, out.drive->found);
  engine.learns_drive = false;
  return out;
}

}  // namespace leeward::daemon
