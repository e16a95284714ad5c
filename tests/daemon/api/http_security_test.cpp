#include "daemon/api/http_security.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {

TEST(CheckHost, TakesAddressesAndOwnNamesOnly) {
  for (const char* host :
       {"localhost", "LOCALHOST:80", "127.0.0.1:8080", "192.168.1.4", "[::1]:80", "box.local"})
    EXPECT_FALSE(check_host(host, {"box.local"}).has_value()) << host;
  for (const char* host :
       {"", "evil.example", "127.0.0.1.evil.example", "localhost.evil.example", "[evil]"}) {
    const auto problem = check_host(host, {"box.local"});
    ASSERT_TRUE(problem.has_value()) << host;
    EXPECT_EQ(problem->status, 421) << host;
  }
}

TEST(CheckOrigin, TakesOnlyOurOwnPage) {
  EXPECT_FALSE(check_origin("", "box:80").has_value());
  EXPECT_FALSE(check_origin("http://BOX:80", "box:80").has_value());
  EXPECT_FALSE(check_origin("https://box:80", "box:80").has_value());
  for (const char* origin : {"http://evil.example", "null", "https://box", "http://box:81"})
    EXPECT_TRUE(check_origin(origin, "box:80").has_value()) << origin;
}

}  // namespace leeward::daemon
