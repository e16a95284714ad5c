#pragma once

#include <string>

namespace leeward::daemon {

/// A path written in a file of ours is relative to that file.
[[nodiscard]] std::string relative_to_file(const std::string& file, const std::string& path);

/// "iso-9972" of "config/procedures/iso-9972.toml".
[[nodiscard]] std::string stem_of(const std::string& path);

}  // namespace leeward::daemon
