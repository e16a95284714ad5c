#include "daemon/rig/auto_crew.hpp"

#include <gtest/gtest.h>

#include "daemon/rig/rig_registers.hpp"

namespace leeward::daemon {
namespace {

namespace reg = rig_registers;
using namespace std::chrono_literals;

constexpr AutoCrew::Time kCrewStart{1s};

/// A daemon with a list of asks, and a rig that notes what is done to it.
struct CrewWorld {
  bool there = true;
  bool takes = true;
  std::string asks = R"({"asks":[]})";
  std::vector<std::string> log;

  AutoCrew crew(std::chrono::nanoseconds delay) {
    return AutoCrew(
        {}, delay,
        [this](const std::string& method, const std::string& target,
               const std::string& body) -> control::Result<HttpReply> {
          if (!there) return tl::unexpected(control::Error{control::Errc::io, "connect", "nobody"});
          if (method == "GET") return HttpReply{200, "application/json", asks};
          log.push_back(method + " " + target + " " + body);
          return HttpReply{200, "application/json", "{}"};
        },
        [this](int address, std::uint16_t value) {
          log.push_back("write " + std::to_string(address) + " " + std::to_string(value));
          return takes;
        });
  }
};

TEST(AutoCrew, DoesTheActFirstAndThenAnswers) {
  CrewWorld world;
  world.asks = R"({"asks":[{"id":"3","kind":"uncover_fan","text":"..","answers":["done"],"fan":1}]})";
  AutoCrew crew = world.crew(0s);

  crew.look(kCrewStart);

  EXPECT_EQ(world.log, (std::vector<std::string>{"write 100 0", R"(POST /v1/asks/3 {"answer":"done"})"}));
}

TEST(AutoCrew, TakesItsTime) {
  CrewWorld world;
  world.asks = R"({"asks":[{"id":3,"kind":"checklist"}]})";
  AutoCrew crew = world.crew(2s);

  crew.look(kCrewStart);
  crew.look(kCrewStart + 1900ms);
  EXPECT_TRUE(world.log.empty());
  crew.look(kCrewStart + 2s);
  EXPECT_EQ(world.log, (std::vector<std::string>{R"(POST /v1/asks/3 {"answer":"done"})"}));
}

TEST(AutoCrew, FitsTheRestrictionOfThatNameAndTurnsTheFan) {
  CrewWorld world;
  world.asks = R"({"asks":[{"id":"1","kind":"fit_restriction","restriction":"bore-165","fan":1},
                           {"id":"2","kind":"turn_fan","direction":"pressurize","fan":1},
                           {"id":"3","kind":"cover_fan","fan":2}]})";
  AutoCrew crew = world.crew(0s);

  crew.look(kCrewStart);

  ASSERT_EQ(world.log.size(), 6U);
  EXPECT_EQ(world.log[0], "write " + std::to_string(reg::kFitted) + " 2");
  EXPECT_EQ(world.log[2], "write " + std::to_string(reg::kDirection) + " 1");
  EXPECT_EQ(world.log[4], "write " + std::to_string(reg::covered_register(1)) + " 1");
}

TEST(AutoCrew, WhatCannotBeDoneIsNotAnsweredAndTriedAgain) {
  CrewWorld world;
  world.asks = R"({"asks":[{"id":"1","kind":"fit_restriction","restriction":"bore-9","fan":1},
                           {"id":"2","kind":"cover_fan","fan":1}]})";
  world.takes = false;
  AutoCrew crew = world.crew(0s);

  crew.look(kCrewStart);
  EXPECT_EQ(world.log, (std::vector<std::string>{"write 100 1"}));
  world.takes = true;
  crew.look(kCrewStart + 100ms);
  EXPECT_EQ(world.log.back(), R"(POST /v1/asks/2 {"answer":"done"})");
}

TEST(AutoCrew, WaitsForADaemonAndForgivesNonsense) {
  CrewWorld world;
  AutoCrew crew = world.crew(0s);
  world.there = false;
  crew.look(kCrewStart);
  world.there = true;
  for (const char* nonsense : {"", "[]", "{", R"({"asks":7})", R"({"asks":[7,null,"x"]})"}) {
    world.asks = nonsense;
    crew.look(kCrewStart);
  }
  EXPECT_TRUE(world.log.empty());
}

}  // namespace
}  // namespace leeward::daemon
