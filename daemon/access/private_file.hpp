#pragma once
/// Files that only this user may read: hashed tokens, the key that signs sessions.

#include <cstdint>
#include <string>
#include <string_view>

#include "control/result.hpp"

namespace leeward::daemon {

enum class PrivateFault : std::uint8_t {
  none,
  absent,
  unreadable,
  is_link,
  not_a_file,
  not_ours,
  open_to_others
};

struct PrivateFile {
  PrivateFault fault = PrivateFault::none;
  std::int64_t changed_ns = 0;  ///< with size and inode: has it been replaced since?
  std::int64_t size = 0;
  std::uint64_t inode = 0;
  bool operator==(const PrivateFile&) const = default;
};

[[nodiscard]] PrivateFile private_file_state(const std::string& path);
/// What is wrong and how to mend it.
[[nodiscard]] std::string private_fault_text(PrivateFault fault);

/// Whole or not at all: written beside, synced and moved into place, mode 0600. Makes the folder (0700).
/// Errors   io
[[nodiscard]] control::Result<void> write_private_file(const std::string& path, std::string_view text);

/// The first line of a private file.
/// Errors   io: not there or unreadable; conflict: not private
[[nodiscard]] control::Result<std::string> read_private_line(const std::string& path);

}  // namespace leeward::daemon
