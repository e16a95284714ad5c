#include "daemon/cli/token_file.hpp"

#include <gtest/gtest.h>
#include <stdlib.h>
#include <sys/stat.h>

#include <filesystem>
#include <fstream>

namespace leeward::daemon {

class TokenFrom : public testing::Test {
 protected:
  TokenFrom() {
    std::string pattern = (std::filesystem::temp_directory_path() / "leeward-token-XXXXXX").string();
    folder_ = ::mkdtemp(pattern.data());
  }
  ~TokenFrom() override { std::filesystem::remove_all(folder_); }
  std::string write(const std::string& text, mode_t mode) {
    const std::string path = folder_ / "token";
    std::ofstream(path) << text;
    ::chmod(path.c_str(), mode);
    return path;
  }
  std::filesystem::path folder_;
};

TEST_F(TokenFrom, GivesTheToken) {
  EXPECT_EQ(token_from(write("0123456789abcdef\n", 0600)), "0123456789abcdef");
}

TEST_F(TokenFrom, OfAMissingFileSaysHowToMakeOne) {
  const auto token = token_from(folder_ / "none");

  ASSERT_FALSE(token.has_value());
  EXPECT_EQ(token.error().exit, exit_config);
  EXPECT_NE(token.error().detail.find("the token file " + (folder_ / "none").string()), std::string::npos);
  EXPECT_NE(token.error().hint.find("leeward token NAME"), std::string::npos);
}

TEST_F(TokenFrom, OfAFileThatOthersMayReadIsNoPermission) {
  const auto token = token_from(write("0123456789abcdef", 0644));

  ASSERT_FALSE(token.has_value());
  EXPECT_EQ(token.error().exit, exit_no_permission);
  EXPECT_NE(token.error().detail.find("chmod 600"), std::string::npos);
}

TEST_F(TokenFrom, OfAFileThatIsTooShortIsAMatterOfConfiguration) {
  EXPECT_EQ(token_from(write("short", 0600)).error().exit, exit_config);
}

TEST_F(TokenFrom, OfALinkNamesTheLink) {
  std::filesystem::create_symlink(write("0123456789abcdef", 0600), folder_ / "link");

  EXPECT_NE(token_from(folder_ / "link").error().detail.find("symbolic link"), std::string::npos);
}

}  // namespace leeward::daemon
