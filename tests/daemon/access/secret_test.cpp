#include "daemon/access/secret.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {

TEST(SameSecret, TellsEveryDifference) {
  EXPECT_TRUE(same_secret("abc", "abc"));
  EXPECT_FALSE(same_secret("abd", "abc"));
  EXPECT_FALSE(same_secret("ab", "abc"));
  EXPECT_FALSE(same_secret("abcd", "abc"));
  EXPECT_FALSE(same_secret("", "abc"));
}

TEST(NewSecret, IsLongFitForALinkAndNeverTheSame) {
  const auto a = new_secret();
  const auto b = new_secret();

  ASSERT_TRUE(a && b);
  EXPECT_EQ(a->size(), 43U);
  EXPECT_EQ(a->find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"),
            std::string::npos);
  EXPECT_NE(*a, *b);
}

TEST(Sha256Hex, AgreesWithThePublishedVector) {
  // Source: FIPS 180-2, appendix B.1
  EXPECT_EQ(sha256_hex("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

TEST(HmacSha256Hex, AgreesWithThePublishedVector) {
  // Source: RFC 4231, test case 2
  EXPECT_EQ(hmac_sha256_hex("Jefe", "what do ya want for nothing?"),
            "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843");
}

}  // namespace leeward::daemon
