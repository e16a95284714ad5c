#pragma once
/// The fingerprint by which a report and its recording are told to belong together.

#include <filesystem>
#include <string>

#include "control/result.hpp"

namespace leeward::daemon {

struct FileHash {
  std::string sha256;        ///< 64 hexadecimal digits
  bool has_journal = false;  ///< written data stand beside the file: it is open, or was not closed
};

/// Errors   io
[[nodiscard]] control::Result<FileHash> hash_recording(const std::filesystem::path& path);

}  // namespace leeward::daemon
