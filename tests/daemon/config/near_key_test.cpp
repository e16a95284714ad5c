#include "daemon/config/near_key.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {

const std::vector<std::string> kNearKeyKnown{"name",     "volume_m3", "envelope_area_m2",
                                             "height_m", "sample_hz", "indoor_c"};

TEST(NearestWord, FindsAMisspeltOne) {
  EXPECT_EQ(nearest_word("sampel_hz", kNearKeyKnown), "sample_hz");
  EXPECT_EQ(nearest_word("nmae", kNearKeyKnown), "name");  // neighbours swapped: one edit
  EXPECT_EQ(nearest_word("nam", kNearKeyKnown), "name");
}

TEST(NearestWord, KeepsSilentWhenNothingIsNear) {
  EXPECT_EQ(nearest_word("colour", kNearKeyKnown), "");
  EXPECT_EQ(nearest_word(std::string(1000, 'x'), kNearKeyKnown), "");
  EXPECT_EQ(nearest_word("x", std::vector<std::string>{"y"}), "");
  EXPECT_EQ(nearest_word("name", {}), "");
}

TEST(SameKeyOtherUnit, FindsTheKeyForABareName) {
  EXPECT_EQ(same_key_other_unit("volume", kNearKeyKnown), "volume_m3");
  EXPECT_EQ(same_key_other_unit("indoor", kNearKeyKnown), "indoor_c");
}

TEST(SameKeyOtherUnit, FindsTheKeyForAnotherUnit) {
  EXPECT_EQ(same_key_other_unit("volume_ft3", kNearKeyKnown), "volume_m3");
  EXPECT_EQ(same_key_other_unit("indoor_f", kNearKeyKnown), "indoor_c");
  EXPECT_EQ(same_key_other_unit("height_ft", kNearKeyKnown), "height_m");
}

TEST(SameKeyOtherUnit, KeepsSilentForKeysWithoutAUnit) {
  EXPECT_EQ(same_key_other_unit("name_pa", kNearKeyKnown), "");
  EXPECT_EQ(same_key_other_unit("surface", kNearKeyKnown), "");
}

TEST(OneOf, ReadsAsASentence) {
  EXPECT_EQ(one_of(std::vector<std::string>{"a"}), "a");
  EXPECT_EQ(one_of(std::vector<std::string>{"a", "b", "c"}), "a, b or c");
  EXPECT_EQ(one_of({}), "");
}

}  // namespace
}  // namespace leeward::daemon
