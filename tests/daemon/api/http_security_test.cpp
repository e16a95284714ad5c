#include "daemon/api/http_security.hpp"

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <filesystem>
#include <fstream>

namespace leeward::daemon {
namespace {
std::string make_token_file(const std::string& content, mode_t mode) {
  const std::string path = testing::TempDir() + "/leeward-token-" + std::to_string(::getpid());
  std::filesystem::remove(path);
  std::ofstream(path) << content;
  ::chmod(path.c_str(), mode);
  return path;
}
}  // namespace

TEST(SameSecret, TellsEveryDifference) {
  EXPECT_TRUE(same_secret("abc", "abc"));
  EXPECT_FALSE(same_secret("abd", "abc"));
  EXPECT_FALSE(same_secret("ab", "abc"));
  EXPECT_FALSE(same_secret("abcd", "abc"));
  EXPECT_FALSE(same_secret("", "abc"));
}

TEST(TokenMatches, NeedsTheSchemeAndTheToken) {
  EXPECT_TRUE(token_matches("Bearer secret", "secret"));
  EXPECT_TRUE(token_matches("bearer secret", "secret"));
  EXPECT_FALSE(token_matches("secret", "secret"));
  EXPECT_FALSE(token_matches("Basic secret", "secret"));
  EXPECT_FALSE(token_matches("Bearer ", ""));
  EXPECT_FALSE(token_matches("", ""));
}

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
  for (const char* origin : {"http://evil.example", "null", "https://box:80", "http://box:81"})
    EXPECT_TRUE(check_origin(origin, "box:80").has_value()) << origin;
}

TEST(ReadTokenFile, WantsAFileThatOnlyItsOwnerReads) {
  const auto good = read_token_file(make_token_file("0123456789abcdef\n", 0600));
  const auto open = read_token_file(make_token_file("0123456789abcdef\n", 0640));
  const auto brief = read_token_file(make_token_file("0123456789abcde\n", 0600));
  const auto folder = read_token_file(testing::TempDir());
  const auto absent = read_token_file("/nonexistent/token");

  ASSERT_TRUE(good.has_value());
  EXPECT_EQ(*good, "0123456789abcdef");
  EXPECT_EQ(open.error().code, control::Errc::conflict);
  EXPECT_EQ(brief.error().code, control::Errc::out_of_range);
  EXPECT_EQ(folder.error().code, control::Errc::io);
  EXPECT_EQ(absent.error().code, control::Errc::io);
}

}  // namespace leeward::daemon
