#include <gtest/gtest.h>

#include <cmath>
#include <memory>
#include <random>

#include "daemon/recorder/engine_step.hpp"
#include "daemon/recorder/recorder.hpp"
#include "daemon/recorder/replay.hpp"
#include "tests/daemon/recorder/synthetic_ticks.hpp"

namespace leeward::daemon {
namespace {

using synthetic::TemporaryDirectory;

/// A house of one equation with noise, enough to make every term of the engine move. Numbers invented.
class ToyHouse {
 public:
  explicit ToyHouse(const control::RestrictionSpec& restriction) : restriction_(restriction) {}
  control::Sample next(const control::Command& command) {
    const control::FanCommand& fan = command.fans[0];
    if (fan.drive != control::Drive::hold_last)
      demand_ = fan.drive == control::Drive::drive ? fan.demand_frac : 0;
    speed_ += 0.1 * (demand_ - speed_);
    const double induced_pa = 90 * speed_ * speed_;
    const double flow_m3_s = 0.03 * std::pow(induced_pa, 0.65);
    control::Sample sample;
    stamp_ns_ += 100000000;
    sample.stamp_ns = stamp_ns_;
    sample.device = control::DeviceStatus::ok;
    sample.building_pressure_pa = {-1.5 - induced_pa + noise_(random_), stamp_ns_, control::Quality::good};
    const double signal_pa = std::pow(flow_m3_s / restriction_.k_m3_s_pam, 1 / restriction_.m);
    sample.fans[0].signal_pa = {std::abs(signal_pa + 0.1 * noise_(random_)), stamp_ns_,
                                control::Quality::good};
    return sample;
  }

 private:
  control::RestrictionSpec restriction_;
  std::mt19937_64 random_{3};
  std::normal_distribution<double> noise_{0, 0.4};
  std::int64_t stamp_ns_ = 0;
  double demand_ = 0;
  double speed_ = 0;
};

std::vector<control::Request> replay_engine_requests(int tick) {
  std::vector<control::Request> requests;
  if (tick == 5) {
    requests.emplace_back().kind = control::RequestKind::baseline;
    requests.back().duration_s = 20;
  }
  if (tick == 250) {
    requests.emplace_back().kind = control::RequestKind::hold;
    requests.back().target_pa = 30;
    requests.back().look_round_done = true;
  }
  if (tick == 900) requests.emplace_back().kind = control::RequestKind::stop;
  return requests;
}

TEST(ReplayEngine, ReproducesEveryBitOfAHold) {
  const TemporaryDirectory directory;
  RecordingMeta meta = synthetic::meta();
  while (meta.engine.fans.size() > 1) meta.engine.fans.pop_back();
  const control::Engine engine(meta.engine);
  auto state = std::make_unique<control::EngineState>(engine.initial_state());
  auto recorder = Recorder::open(directory / "a.leeward", meta, *state);
  ASSERT_TRUE(recorder.has_value());
  ToyHouse house(meta.engine.fans[0].restrictions[0]);
  double largest_demand_frac = 0;
  control::StepOutput output;
  for (int tick = 0; tick < 1000; ++tick) {
    const auto requests = replay_engine_requests(tick);
    const auto sample = house.next(output.command);
    output = engine.step(*state, sample, requests);
    largest_demand_frac = std::max(largest_demand_frac, output.trace.demand_frac);
    (*recorder)->append(static_cast<std::uint64_t>(tick), sample, requests, output,
                        tick == 999 ? state.get() : nullptr);
  }
  (*recorder)->close(control::RunState::stopped);
  ASSERT_GT(largest_demand_frac, 0.3) << "the hold must really have driven the fan";
  const auto reader = RecordingReader::open(directory / "a.leeward");
  ASSERT_TRUE(reader.has_value());

  const auto report = replay(*reader, engine_step_maker());

  ASSERT_TRUE(report.has_value()) << report.error().field << report.error().text;
  EXPECT_EQ(report->ticks, 1000U);
  EXPECT_EQ(report->snapshots, 1U);
  EXPECT_TRUE(report->same()) << report->first_difference->seq << " " << report->first_difference->field
                              << " " << report->first_difference->recorded << " "
                              << report->first_difference->replayed;
}

}  // namespace
}  // namespace leeward::daemon
