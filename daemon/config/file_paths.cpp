#include "daemon/config/file_paths.hpp"

#include <filesystem>

namespace leeward::daemon {

std::string relative_to_file(const std::string& file, const std::string& path) {
  return (std::filesystem::path(file).parent_path() / path).lexically_normal().string();
}

std::string stem_of(const std::string& path) { return std::filesystem::path(path).stem().string(); }

}  // namespace leeward::daemon
