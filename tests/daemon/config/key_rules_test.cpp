#include "daemon/config/key_rules.hpp"

#include <gtest/gtest.h>

#include <set>
#include <string>

#include "daemon/config/rig_keys.hpp"

namespace leeward::daemon {
namespace {

template <class T, std::size_t N>
void expect_sound(const std::array<NumberKey<T>, N>& keys) {
  std::set<std::string> names;
  for (const NumberKey<T>& key : keys) {
    EXPECT_TRUE(names.insert(key.rule.key).second) << key.rule.key;
    EXPECT_LT(key.rule.low, key.rule.high) << key.rule.key;
    EXPECT_NE(std::string(key.rule.help), "") << key.rule.key;
  }
}

/// What a program assumes for a key that is not given must itself be allowed.
template <class T, std::size_t N>
void expect_defaults_allowed(const std::array<NumberKey<T>, N>& keys) {
  const T defaults;
  for (const NumberKey<T>& key : keys) {
    EXPECT_GE(defaults.*key.member, key.rule.low) << key.rule.key;
    EXPECT_LE(defaults.*key.member, key.rule.high) << key.rule.key;
  }
}

TEST(KeyRules, NameEachKeyOnceWithARange) {
  expect_sound(kBuildingKeys);
  expect_sound(kConditionsKeys);
  expect_sound(kLimitKeys);
  expect_sound(kRegulatorKeys);
}

TEST(KeyRules, AllowTheDefaults) {
  expect_defaults_allowed(kConditionsKeys);
  expect_defaults_allowed(kLimitKeys);
  expect_defaults_allowed(kEngineLimitKeys);
  expect_defaults_allowed(kRegulatorKeys);
}

TEST(SetNumber, NotesThatAnOptionalConditionIsKnown) {
  control::ConditionsSpec conditions;
  for (const auto& key : kConditionsKeys) {
    if (std::string_view(key.rule.key) == "wind_m_s") set_number(conditions, key, 3);
  }

  EXPECT_TRUE(conditions.has_wind);
  EXPECT_EQ(conditions.wind_m_s, 3);
  EXPECT_FALSE(conditions.has_barometric);
}

}  // namespace
}  // namespace leeward::daemon
