#pragma once
/// An empty folder of its own for each test.

#include <gtest/gtest.h>
#include <stdlib.h>

#include <filesystem>
#include <string>

namespace leeward::daemon {

class AccessFolder : public testing::Test {
 protected:
  AccessFolder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "leeward-access-XXXXXX").string();
    folder_ = ::mkdtemp(pattern.data());
  }
  ~AccessFolder() override { std::filesystem::remove_all(folder_); }
  [[nodiscard]] std::string path(const std::string& name) const { return (folder_ / name).string(); }

  std::filesystem::path folder_;
};

}  // namespace leeward::daemon
