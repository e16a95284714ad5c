#include "daemon/access/helm.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {

TEST(HelmRule, TheFirstOneTakesItAndOthersAreToldWhoHasIt) {
  Helm helm;

  EXPECT_TRUE(helm.take("phone", 0));
  EXPECT_TRUE(helm.take("phone", 1));
  EXPECT_FALSE(helm.take("script", 2));

  EXPECT_EQ(helm.holder(2), "phone");
  EXPECT_EQ(helm.silent_s(2), 1.0);
}

TEST(HelmRule, TenSecondsOfSilenceFreeIt) {
  Helm helm;
  helm.take("phone", 0);
  helm.heard("phone", 5);
  helm.heard("script", 14);  // another's life does not count

  EXPECT_FALSE(helm.take("script", 15));
  EXPECT_EQ(helm.holder(15.1), std::nullopt);
  helm.heard("phone", 15.2);  // too late: it must be taken anew
  EXPECT_TRUE(helm.take("script", 15.3));
}

TEST(HelmRule, OnlyTheHolderHandsItOverOrFreesIt) {
  Helm helm;
  helm.take("phone", 0);

  EXPECT_FALSE(helm.hand_over("script", "script", 1));
  EXPECT_FALSE(helm.free("script", 1));
  EXPECT_TRUE(helm.hand_over("phone", "script", 1));
  EXPECT_EQ(helm.holder(2), "script");
  EXPECT_TRUE(helm.free("script", 2));
  EXPECT_EQ(helm.holder(2), std::nullopt);
}

TEST(HelmRule, NobodyHasItInTheBeginning) {
  const Helm helm;

  EXPECT_EQ(helm.holder(0), std::nullopt);
  EXPECT_EQ(helm.silent_s(0), std::nullopt);
}

}  // namespace leeward::daemon
