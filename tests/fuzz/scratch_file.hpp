#pragma once
/// A folder in memory with one file that is written anew for each execution, for what reads by path.

#include <fcntl.h>
#include <stdlib.h>
#include <unistd.h>

#include <filesystem>
#include <string>

#include "tests/fuzz/bytes.hpp"
#include "tests/fuzz/require.hpp"

namespace leeward::fuzz {

class ScratchFile {
 public:
  explicit ScratchFile(const std::string& name) {
    const std::filesystem::path memory = "/dev/shm";
    std::error_code ignored;
    const bool has_memory = std::filesystem::is_directory(memory, ignored);
    std::string pattern =
        ((has_memory ? memory : std::filesystem::temp_directory_path()) / "leeward-fuzz-XXXXXX").string();
    require(::mkdtemp(pattern.data()) != nullptr, "a scratch folder can be made");
    folder_ = pattern;
    path_ = folder_ / "input" / name;
    std::filesystem::create_directory(folder_ / "input");
    fd_ = ::open(path_.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
    require(fd_ >= 0, "a scratch file can be opened");
  }
  ~ScratchFile() {
    ::close(fd_);
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
  }
  ScratchFile(const ScratchFile&) = delete;
  ScratchFile& operator=(const ScratchFile&) = delete;

  void write(Bytes bytes) const {
    const auto size = static_cast<::ssize_t>(bytes.size());
    require(::pwrite(fd_, bytes.data(), bytes.size(), 0) == size && ::ftruncate(fd_, size) == 0,
            "a scratch file can be written");
  }
  void write_at(std::size_t at, Bytes bytes) const {
    require(::pwrite(fd_, bytes.data(), bytes.size(), static_cast<::off_t>(at)) ==
                static_cast<::ssize_t>(bytes.size()),
            "a scratch file can be written");
  }
  void cut(std::size_t size) const {
    require(::ftruncate(fd_, static_cast<::off_t>(size)) == 0, "a scratch file can be cut");
  }
  [[nodiscard]] std::string path() const { return path_.string(); }
  [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }

 private:
  std::filesystem::path folder_;
  std::filesystem::path path_;
  int fd_ = -1;
};

}  // namespace leeward::fuzz
