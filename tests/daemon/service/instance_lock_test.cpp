#include "daemon/service/instance_lock.hpp"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>

namespace leeward::daemon {

TEST(InstanceLock, ASecondOneIsBusyAndNamesThePid) {
  const std::string path = testing::TempDir() + "/leeward-lock-" + std::to_string(::getpid());
  {
    const auto first = InstanceLock::take(path);
    ASSERT_TRUE(first.has_value());

    const auto second = InstanceLock::take(path);

    ASSERT_FALSE(second.has_value());
    EXPECT_EQ(second.error().code, control::Errc::busy);
    EXPECT_NE(second.error().text.find(std::to_string(::getpid())), std::string::npos);
  }
  EXPECT_TRUE(InstanceLock::take(path).has_value());
  std::filesystem::remove(path + ".lock");
}

TEST(InstanceLock, AFolderThatIsNotThereIsAnIoError) {
  const auto lock = InstanceLock::take("/nonexistent/folder/api.sock");

  ASSERT_FALSE(lock.has_value());
  EXPECT_EQ(lock.error().code, control::Errc::io);
}

}  // namespace leeward::daemon
