#pragma once
/// Files for the tests of the loaders, in a folder of their own that goes away again.

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "daemon/config/file_error.hpp"

namespace leeward::daemon::config_test {

class TempFolder {
 public:
  TempFolder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "leeward-config-XXXXXX").string();
    path_ = ::mkdtemp(pattern.data());
  }
  TempFolder(const TempFolder&) = delete;
  TempFolder& operator=(const TempFolder&) = delete;
  ~TempFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  [[nodiscard]] std::string path(const std::string& name) const { return (path_ / name).string(); }
  /// @returns the path
  std::string write(const std::string& name, const std::string& text) const {
    const std::string file = path(name);
    std::filesystem::create_directories(std::filesystem::path(file).parent_path());
    std::filesystem::remove(file);  // a file system may flush what is written over, which takes its time
    std::ofstream(file, std::ios::binary) << text;
    return file;
  }

 private:
  std::filesystem::path path_;
};

inline std::string read_all(const std::string& path) {
  std::ostringstream out;
  out << std::ifstream(path, std::ios::binary).rdbuf();
  return out.str();
}

/// The text with its first `from` replaced; a test with a pattern that is not there would test nothing.
inline std::string with(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  if (at == std::string::npos) throw std::invalid_argument("no \"" + from + "\" in the text");
  return text.replace(at, from.size(), to);
}

/// Line, from 1, on which `what` first stands.
inline int line_of(const std::string& text, const std::string& what) {
  const std::size_t at = text.find(what);
  if (at == std::string::npos) throw std::invalid_argument("no \"" + what + "\" in the text");
  int line = 1;
  for (std::size_t i = 0; i < at; ++i) line += text[i] == '\n' ? 1 : 0;
  return line;
}

/// "line:key: text" of each, for comparison at a glance.
inline std::vector<std::string> brief(const std::vector<FileError>& errors) {
  std::vector<std::string> out;
  for (const FileError& e : errors) out.push_back(std::to_string(e.line) + ":" + e.key + ": " + e.text);
  return out;
}

}  // namespace leeward::daemon::config_test
