#include "daemon/access/token_list.hpp"

#include <sys/stat.h>

#include <fstream>

#include "tests/daemon/access/access_folder.hpp"

namespace leeward::daemon {
namespace {
const std::string kSomeHash(64, 'a');

void write_tokens(const std::string& path, const std::string& text, mode_t mode = 0600) {
  std::ofstream(path) << text;
  ::chmod(path.c_str(), mode);
}

std::string entry_text(const std::string& name, const std::string& role, const std::string& hash) {
  return "[[token]]\nname = \"" + name + "\"\nrole = \"" + role + "\"\nsha256 = \"" + hash + "\"\n";
}
}  // namespace

using TokenList = AccessFolder;

TEST_F(TokenList, ComesBackAsItWasSaved) {
  const std::vector<TokenRecord> tokens{
      {"phone", Role::operating, kSomeHash, "2026-11-25T10:00:00Z"},
      {"wall-2", Role::viewer, std::string(64, '0'), "2026-11-25T11:00:00Z"}};

  ASSERT_TRUE(save_tokens(path("deep/er/tokens.toml"), tokens));

  const auto read = load_tokens(path("deep/er/tokens.toml"));
  ASSERT_TRUE(read) << to_text(read.errors);
  EXPECT_EQ(*read.value, tokens);
  struct stat info {};
  ASSERT_EQ(::stat(path("deep/er/tokens.toml").c_str(), &info), 0);
  EXPECT_EQ(info.st_mode & 0777, 0600U);
}

TEST_F(TokenList, OfNoFileIsEmpty) {
  const auto read = load_tokens(path("none.toml"));

  ASSERT_TRUE(read);
  EXPECT_TRUE(read.value->empty());
}

TEST_F(TokenList, RefusesWhatOthersCanReadAndLinks) {
  write_tokens(path("open.toml"), entry_text("a", "viewer", kSomeHash), 0644);
  write_tokens(path("good.toml"), entry_text("a", "viewer", kSomeHash));
  std::filesystem::create_symlink(path("good.toml"), path("link.toml"));

  EXPECT_TRUE(load_tokens(path("good.toml")));
  EXPECT_NE(to_text(load_tokens(path("open.toml")).errors).find("chmod 600"), std::string::npos);
  EXPECT_NE(to_text(load_tokens(path("link.toml")).errors).find("symbolic link"), std::string::npos);
}

TEST_F(TokenList, NamesTheEntryThatIsWrong) {
  for (const std::string& wrong :
       {entry_text("Phone", "viewer", kSomeHash), entry_text("a", "admin", kSomeHash),
        entry_text("a", "viewer", "abc"), entry_text("a", "viewer", std::string(64, 'G')),
        entry_text("a", "viewer", kSomeHash) + entry_text("a", "operator", kSomeHash),
        std::string("[[token]]\n"), std::string("[token]\n"), std::string("not toml")}) {
    write_tokens(path("wrong.toml"), wrong);
    EXPECT_FALSE(load_tokens(path("wrong.toml"))) << wrong;
  }
}

}  // namespace leeward::daemon
