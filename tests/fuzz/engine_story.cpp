#include "tests/fuzz/engine_story.hpp"

namespace leeward::fuzz {
namespace {

constexpr std::array kPeriods{0.1, 0.05, 0.2, 0.5, 0.8, 0.29, 1.0, 0.02};

std::int64_t ns(double seconds) { return static_cast<std::int64_t>(seconds * 1e9); }

/// One for the whole process: a fresh one is copied over it, which costs no allocation.
control::EngineState& reused(const control::EngineState& fresh) {
  static const auto state = std::make_unique<control::EngineState>();
  *state = fresh;
  return *state;
}

}  // namespace

EngineStory::EngineStory(const FuzzRig& rig, ByteReader& bytes)
    : rig_(rig), bytes_(bytes), state_(reused(rig.fresh)), promises_(rig.engine.config(), state_) {
  dt_s_ = kPeriods[bytes_.below(kPeriods.size())];
  house_.leak_m3_s_pan = bytes_.between(0.002, 0.08);
  house_.fitted = rig.engine.config().fans[0].fitted;
}

void EngineStory::play() {
  while (!bytes_.empty() && ticks_ < kMostTicks) act();
  promises_.memory(state_);
}

void EngineStory::act() {
  switch (bytes_.below(16)) {
    case 0:
    case 1:
      return advance(1 + static_cast<int>(bytes_.below(64)));
    case 2:
      return answer_one();
    case 3:
      return start_run();
    case 4:
      return request(any_request(control::RequestKind::baseline));
    case 5:
      return request(any_request(control::RequestKind::hold));
    case 6:
      return request(any_request(control::RequestKind::climb));
    case 7:
      return request(
          any_request(bytes_.flag() ? control::RequestKind::stop : control::RequestKind::clear_trip));
    case 8:
      return begin_spoiling(false);
    case 9:
      return begin_spoiling(true);
    case 10:
      return bend_time();
    case 11:
      return change_house();
    case 12:
      return raw_request();
    case 13:
      dt_s_ = kPeriods[bytes_.below(kPeriods.size())];
      return;
    case 14:
      device_ = static_cast<control::DeviceStatus>(bytes_.below(4));
      return advance(1 + static_cast<int>(bytes_.below(8)));
    default:
      crew_works_ = !crew_works_;
      return advance(1);
  }
}

void EngineStory::advance(int ticks) {
  for (int i = 0; i < ticks && ticks_ < kMostTicks; ++i) tick();
}

void EngineStory::tick() {
  ++ticks_;
  const control::Sample sample = next_sample();
  const control::StepOutput out = rig_.engine.step(state_, sample, {requests_.begin(), requests_.size()});
  promises_.check(state_, sample, {requests_.begin(), requests_.size()}, out);
  requests_.clear();
  house_.take(out.command.fans[0]);
  if (crew_works_) crew();
}

control::Sample EngineStory::next_sample() {
  house_.step(dt_s_);
  stamp_ns_ += ns(dt_s_) + std::exchange(leap_ns_, 0);
  control::Sample s;
  s.stamp_ns = stamp_ns_;
  s.device = device_;
  s.out_of_turn = std::exchange(out_of_turn_, false);
  s.late_ticks = std::exchange(late_, 0);
  s.skipped = std::exchange(skipped_, 0);
  const auto good = [&](double v) { return control::Reading{v, stamp_ns_, control::Quality::good}; };
  s.building_pressure_pa = good(house_.building_pressure_pa());
  for (std::size_t i = 0; i < rig_.engine.config().fans.size(); ++i)
    s.fans[i].signal_pa = good(house_.signal_pa());
  s.indoor_c = good(20);
  s.outdoor_c = good(10);
  spoil(s);
  last_ = s;
  return s;
}

void EngineStory::spoil(control::Sample& s) {
  if (spoilt_.ticks <= 0) return;
  --spoilt_.ticks;
  control::Reading bad = spoilt_.as;
  bad.stamp_ns = stamp_ns_ - spoilt_.as.stamp_ns;
  const bool pressure = spoilt_.what == Spoilt::What::pressure || spoilt_.what == Spoilt::What::both;
  const bool signal = spoilt_.what == Spoilt::What::signal || spoilt_.what == Spoilt::What::both;
  const auto put = [&](control::Reading& reading, const control::Reading& before) {
    reading = spoilt_.is_frozen ? control::Reading{before.value, stamp_ns_, control::Quality::good} : bad;
  };
  if (pressure) put(s.building_pressure_pa, last_.building_pressure_pa);
  if (signal) put(s.fans[0].signal_pa, last_.fans[0].signal_pa);
  if (spoilt_.what == Spoilt::What::temperatures) s.indoor_c = s.outdoor_c = bad;
}

}  // namespace leeward::fuzz
