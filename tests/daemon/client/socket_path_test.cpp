#include "daemon/client/socket_path.hpp"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdlib>

namespace leeward::daemon {

TEST(DefaultSocketPath, PrefersTheServicesFolderThenTheUsersThenTmp) {
  ::setenv("RUNTIME_DIRECTORY", "/run/leeward:/run/other", 1);
  ::setenv("XDG_RUNTIME_DIR", "/run/user/1000", 1);
  const SocketPath service = default_socket_path();
  ::unsetenv("RUNTIME_DIRECTORY");
  const SocketPath user = default_socket_path();
  ::unsetenv("XDG_RUNTIME_DIR");
  const SocketPath tmp = default_socket_path();

  EXPECT_EQ(service.path, "/run/leeward/api.sock");
  EXPECT_EQ(user.path, "/run/user/1000/leeward/api.sock");
  EXPECT_EQ(tmp.path, "/tmp/leeward-" + std::to_string(::geteuid()) + "/api.sock");
  EXPECT_FALSE(user.is_shared_folder);
  EXPECT_TRUE(tmp.is_shared_folder);
}

}  // namespace leeward::daemon
