// Promises of a step, whatever it is fed.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

#include "tests/counted_new.hpp"
#include "tests/engine/closed_loop.hpp"
#include "tests/engine/procedures.hpp"

namespace leeward::bench {
namespace {

TEST(EngineStep, GivesTheSameBitsTwiceAndFromACopy) {
  ClosedLoop a(calm_house(4, 400, 0.65), 3), b(calm_house(4, 400, 0.65), 3);
  for (ClosedLoop* loop : {&a, &b}) {
    loop->request(start(ten_stations(), 400));
    loop->run_for(150);
  }
  EXPECT_EQ(a.state(), b.state());
  ClosedLoop c = a;
  a.run_for(60);
  c.run_for(60);
  EXPECT_EQ(a.state(), c.state());
}

TEST(EngineStep, AllocatesNothing) {
  const control::Engine engine(rig_for(calm_house(4, 400, 0.65)));
  control::EngineState state = engine.initial_state();
  const control::Request run = start(ten_stations(), 400);
  control::Sample sample;
  const std::size_t before = test::allocations();
  for (int k = 0; k < 200; ++k) {
    sample.stamp_ns += 100'000'000;
    sample.building_pressure_pa = {0.01 * k, sample.stamp_ns, control::Quality::good};
    sample.fans[0].signal_pa = {0.02 * k, sample.stamp_ns, control::Quality::good};
    (void)engine.step(state, sample, k == 0 ? std::span(&run, 1) : std::span<const control::Request>());
  }
  EXPECT_EQ(test::allocations(), before);
}

TEST(EngineStep, TakesNoReadingOutOfAnExtraTick) {
  const control::Engine engine(rig_for(calm_house(4, 400, 0.65)));
  control::EngineState state = engine.initial_state();
  control::Sample sample;
  sample.stamp_ns = 100'000'000;
  sample.building_pressure_pa = {-79, sample.stamp_ns, control::Quality::good};
  (void)engine.step(state, sample, {});
  sample.stamp_ns += 50'000'000;
  sample.building_pressure_pa = {-81, sample.stamp_ns, control::Quality::good};
  sample.out_of_turn = true;

  const control::StepOutput out = engine.step(state, sample, {});

  EXPECT_EQ(out.trace.pressure_signed_pa, -79);
}

/// Any sequence of samples and requests: never a command outside 0..limit, never NaN, never driving when
/// tripped.
TEST(EngineStep, KeepsItsPromisesWhateverItIsFed) {
  const control::Engine engine(rig_for(calm_house(4, 400, 0.65)));
  std::mt19937_64 random(23);
  const double odd[] = {std::numeric_limits<double>::quiet_NaN(),
                        std::numeric_limits<double>::infinity(),
                        -1e308,
                        1e308,
                        0,
                        -3,
                        10,
                        50,
                        79.9,
                        81,
                        120};
  const auto any = [&] {
    return random() % 6 == 0 ? odd[random() % 11] : static_cast<double>(random() % 1400) / 10 - 70;
  };
  control::EngineState state = engine.initial_state();
  control::Sample sample;
  for (int k = 0; k < 60'000; ++k) {
    sample.stamp_ns += random() % 50 == 0
                           ? static_cast<std::int64_t>(random() % 5'000'000'000) - 1'000'000'000
                           : 100'000'000;
    sample.skipped = random() % 30 == 0 ? 3 : 0;
    sample.late_ticks = random() % 30 == 0 ? 1 : 0;
    sample.out_of_turn = random() % 20 == 0;
    sample.building_pressure_pa = {any(), sample.stamp_ns,
                                   static_cast<control::Quality>(random() % 12 == 0 ? random() % 6 : 1)};
    sample.fans[0].signal_pa = {any(), sample.stamp_ns,
                                static_cast<control::Quality>(random() % 12 == 0 ? random() % 6 : 1)};
    control::Request r;
    if (random() % 8 == 0) {
      r = start(ten_stations(), any());
      r.kind = static_cast<control::RequestKind>(random() % 10);
      r.target_pa = any();
      r.rate_pa_s = any();
      r.duration_s = any();
      r.max_s = random() % 3 == 0 ? any() : 1800;
      r.look_round_done = random() % 2 == 0;
      r.direction = static_cast<control::Direction>(random() % 2);
      r.volume_m3 = any();
      r.ask_id = state.asks.empty() ? static_cast<std::int64_t>(random() % 5) : state.asks[0].id;
      r.answer = static_cast<control::Answer>(random() % 5);
    }
    const control::StepOutput out =
        engine.step(state, sample, std::span(&r, r.kind == control::RequestKind::none ? 0 : 1));
    const control::FanCommand& c = out.command.fans[0];
    ASSERT_TRUE(std::isfinite(c.demand_frac)) << k;
    ASSERT_GE(c.demand_frac, 0) << k;
    ASSERT_LE(c.demand_frac, 1) << k;
    if (c.drive != control::Drive::drive) {
      ASSERT_EQ(c.demand_frac, 0) << k;
    }
    if (state.guard.trip.active() && state.guard.trip.mode == control::StopMode::cut) {
      ASSERT_EQ(c.drive, control::Drive::off) << k;
    }
    ASSERT_TRUE(std::isfinite(out.trace.reference_pa) && std::isfinite(out.trace.i_frac) &&
                std::isfinite(out.trace.ln_c) && std::isfinite(out.trace.n) &&
                std::isfinite(out.trace.demand_offset_frac))
        << k;
  }
}

}  // namespace
}  // namespace leeward::bench
