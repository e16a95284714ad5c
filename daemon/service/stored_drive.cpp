#include "daemon/service/stored_drive.hpp"

#include <sstream>
#include <system_error>

#include "control/plant_watch.hpp"
#include "daemon/service/drive_contrast.hpp"

namespace leeward::daemon {
namespace {

constexpr const char* kRemedy =
    "; the figures of the rig file hold. Learn anew with leeward rig-learn, which writes the file again, or "
    "remove it.";

/// Comments, so that what reads a recording's rig file reads the file that it was.
std::string as_comment(const std::string& text) {
  std::string out = "\n# What was found of the drive and holds in place of the [regulator] figures above:\n";
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) out += "# " + line + "\n";
  return out;
}

StoredDrive refused(StoredDrive stored, const std::string& why) {
  stored.is_refused = true;
  stored.text = "what is stored of the drive is refused: " + why + kRemedy;
  return stored;
}

}  // namespace

std::filesystem::path drives_folder(const RigSpec& rig, const std::filesystem::path& runs) {
  return (rig.recordings_directory.empty() ? runs.parent_path() : runs) / "drives";
}

StoredDrive use_stored_drive(const std::filesystem::path& runs, RigSpec& rig) {
  const DriveOwner owner = drive_owner(rig);
  const std::filesystem::path path = drives_folder(rig, runs) / found_drive_file_name(owner.rig, owner.fan);
  StoredDrive out{.path = path.string()};
  std::error_code error;
  const auto status = std::filesystem::symlink_status(path, error);
  if (status.type() == std::filesystem::file_type::not_found) return out;
  if (!rig.engine.learns_drive) {
    out.text = out.path + " is left aside: the rig file has no learn_drive = true in [rig]";
    return out;
  }
  auto loaded = load_found_drive(out.path);
  if (!loaded) return refused(std::move(out), to_text(loaded.errors));
  if (const std::string other = other_owner_text(loaded.value->owner, owner); !other.empty())
    return refused(std::move(out), out.path + ": " + other);
  out.drive = std::move(loaded.value);
  out.text = "the drive is known from " + out.drive->found_at_utc + ": " + out.path;
  out.warnings = drive_contrasts(rig.engine.regulator, out.drive->found);
  rig.engine.regulator = control::regulator_told(rig.engine.regulator, out.drive->found);
  rig.engine.learns_drive = false;  // the first run need not find it out
  rig.source_text += as_comment(found_drive_text(*out.drive));
  return out;
}

}  // namespace leeward::daemon
