#pragma once
/// One fuzzed life of an engine: rig, house and crew, moved on tick by tick, with every promise checked.

#include <memory>
#include <span>

#include "tests/fuzz/bytes.hpp"
#include "tests/fuzz/crude_house.hpp"
#include "tests/fuzz/engine_promises.hpp"
#include "tests/fuzz/engine_rigs.hpp"

namespace leeward::fuzz {

inline constexpr int kMostTicks = 400;

/// What is wrong with the next samples.
struct Spoilt {
  enum class What : std::uint8_t { nothing, pressure, signal, both, temperatures };
  What what = What::nothing;
  control::Reading as;     ///< its stamp counts from that of the sample
  bool is_frozen = false;  ///< the last values again
  int ticks = 0;
};

class EngineStory {
 public:
  EngineStory(const FuzzRig& rig, ByteReader& bytes);

  /// Ends where the bytes or the ticks do.
  void play();

 private:
  void act();
  void advance(int ticks);
  void tick();
  control::Sample next_sample();
  void spoil(control::Sample& sample);
  void crew();
  void hands(const control::Ask& ask, control::Answer answer);
  void request(const control::Request& r);
  control::Request any_request(control::RequestKind kind);
  void answer_one();
  void start_run();
  void begin_spoiling(bool wildly);
  void bend_time();
  void change_house();
  void raw_request();

  const FuzzRig& rig_;
  ByteReader& bytes_;
  control::EngineState& state_;
  EnginePromises promises_;
  CrudeHouse house_;
  Spoilt spoilt_;
  control::Sample last_;
  control::FixedVector<control::Request, control::kMaxRequestsPerTick + 2> requests_;
  control::DeviceStatus device_ = control::DeviceStatus::ok;
  std::int64_t stamp_ns_ = 0;
  std::int64_t leap_ns_ = 0;  ///< added to the next tick alone
  double dt_s_ = 0.1;
  bool out_of_turn_ = false;
  int late_ = 0;
  int skipped_ = 0;
  bool crew_works_ = true;
  int ticks_ = 0;
};

}  // namespace leeward::fuzz
