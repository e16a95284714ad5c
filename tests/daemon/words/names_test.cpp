#include "daemon/words/names.hpp"

#include <gtest/gtest.h>

#include <set>

namespace leeward::daemon {
namespace {

/// Every name is there once, is lower case with underscores, and leads back to its enumerator.
template <class E>
void expect_names_round_trip() {
  std::set<std::string_view> seen;
  for (std::size_t i = 0; i < EnumNames<E>::kNames.size(); ++i) {
    const auto e = static_cast<E>(i);
    const std::string_view name = name_of(e);
    EXPECT_FALSE(name.empty());
    EXPECT_EQ(name.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789_"), std::string_view::npos)
        << name;
    EXPECT_TRUE(seen.insert(name).second) << name;
    EXPECT_EQ(from_name<E>(name), e) << name;
  }
}

TEST(Names, LeadBackToTheirEnumerators) {
  expect_names_round_trip<control::Phase>();
  expect_names_round_trip<control::RunState>();
  expect_names_round_trip<control::TripCause>();
  expect_names_round_trip<control::StopMode>();
  expect_names_round_trip<control::AskKind>();
  expect_names_round_trip<control::Answer>();
  expect_names_round_trip<control::Direction>();
  expect_names_round_trip<control::DirectionChoice>();
  expect_names_round_trip<control::RequestKind>();
  expect_names_round_trip<control::Refusal>();
  expect_names_round_trip<control::Drive>();
  expect_names_round_trip<control::SilenceStop>();
  expect_names_round_trip<control::EventKind>();
  expect_names_round_trip<control::Quality>();
  expect_names_round_trip<control::DeviceStatus>();
  expect_names_round_trip<control::LimitedBy>();
  expect_names_round_trip<control::CheckKind>();
  expect_names_round_trip<control::Severity>();
  expect_names_round_trip<control::Mark>();
  expect_names_round_trip<control::DirectionRule>();
  expect_names_round_trip<control::FitMethod>();
  expect_names_round_trip<control::CheckOutcome>();
  expect_names_round_trip<control::Errc>();
}

TEST(Names, AreTheAgreedTexts) {
  EXPECT_EQ(name_of(control::Phase::look_round), "look_round");
  EXPECT_EQ(name_of(control::Phase::closing_baseline), "closing_baseline");
  EXPECT_EQ(name_of(control::RunState::interrupted), "interrupted");
  EXPECT_EQ(name_of(control::AskKind::fit_restriction), "fit_restriction");
  EXPECT_EQ(name_of(control::DirectionChoice::both), "both");
  EXPECT_EQ(name_of(control::Answer::not_applicable), "not_applicable");
  EXPECT_EQ(name_of(control::EventKind::request_refused), "request_refused");
}

TEST(Names, OfNoEnumeratorAreNotGuessed) {
  EXPECT_EQ(name_of(static_cast<control::Phase>(200)), "unknown");
  EXPECT_EQ(from_name<control::Phase>("Idle"), std::nullopt);
  EXPECT_EQ(from_name<control::Phase>(""), std::nullopt);
  EXPECT_EQ(from_name<control::Phase>("unknown"), std::nullopt);
}

}  // namespace
}  // namespace leeward::daemon
