#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "daemon/config/file_error.hpp"

namespace leeward::daemon {

enum class FileKind : std::uint8_t {
  unknown,
  rig,
  fan,
  procedure,
  house,
  building,
  target,
  population,
  drive
};

/// "rig file" and so on.
[[nodiscard]] const char* file_kind_text(FileKind kind);

struct CheckReport {
  FileKind kind = FileKind::unknown;
  std::vector<FileError> errors;
  std::vector<FileError> warnings;
};

/// Checks any file of ours, with the files that it names. What it is, its tables say. Opens nothing
/// else: no device, no socket, no lock.
[[nodiscard]] CheckReport check_file(const std::string& path);

}  // namespace leeward::daemon
