#include "daemon/service/instance_lock.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <filesystem>

namespace leeward::daemon {
namespace {
using testing::HasSubstr;

LockSubject lock_subject() {
  return {testing::TempDir() + "/leeward-lock-" + std::to_string(::getpid()), "already does this",
          "do that instead"};
}
}  // namespace

TEST(InstanceLock, ASecondOneIsBusyAndSaysWhoHoldsItAndWhatToDo) {
  const auto first = InstanceLock::take(lock_subject(), "/run/a.sock");
  ASSERT_TRUE(first.has_value());

  const auto second = InstanceLock::take(lock_subject(), "/run/b.sock");

  ASSERT_FALSE(second.has_value());
  EXPECT_EQ(second.error().code, control::Errc::busy);
  const std::string pid = std::to_string(::getpid());
  EXPECT_EQ(second.error().text, "another daemon (pid " + pid +
                                     ", socket /run/a.sock) already does this: end that one first (kill " +
                                     pid + " ends it in order), or do that instead");
}

TEST(InstanceLock, IsFreeAgainAfterwardsAndLeavesNoFile) {
  {
    const auto first = InstanceLock::take(lock_subject(), "a");
    ASSERT_TRUE(first.has_value());
    EXPECT_TRUE(std::filesystem::exists(lock_subject().path));
  }
  EXPECT_FALSE(std::filesystem::exists(lock_subject().path));
  EXPECT_TRUE(InstanceLock::take(lock_subject(), "b").has_value());
}

TEST(InstanceLock, VanishesWithItsProcessThoughTheFileStays) {
  std::array<int, 2> ready{};
  ASSERT_EQ(::pipe(ready.data()), 0);
  const LockSubject subject = lock_subject();
  const pid_t child = ::fork();
  if (child == 0) {
    const auto lock = InstanceLock::take(subject, "a");
    const char word = lock ? 'y' : 'n';
    if (::write(ready[1], &word, 1) != 1) ::_exit(1);
    for (;;) ::pause();
  }
  char word = 0;
  ASSERT_EQ(::read(ready[0], &word, 1), 1);
  ASSERT_EQ(word, 'y');
  const auto while_it_lives = InstanceLock::take(subject, "b");

  ::kill(child, SIGKILL);
  ASSERT_EQ(::waitpid(child, nullptr, 0), child);
  ::close(ready[0]);
  ::close(ready[1]);

  ASSERT_FALSE(while_it_lives.has_value());
  EXPECT_THAT(while_it_lives.error().text, HasSubstr("pid " + std::to_string(child)));
  EXPECT_TRUE(std::filesystem::exists(subject.path));
  EXPECT_TRUE(InstanceLock::take(subject, "b").has_value());
}

TEST(InstanceLock, AFolderThatIsNotThereIsAnIoError) {
  const auto lock = InstanceLock::take({"/nonexistent/folder/x.lock", "", ""}, "a");

  ASSERT_FALSE(lock.has_value());
  EXPECT_EQ(lock.error().code, control::Errc::io);
}

}  // namespace leeward::daemon
