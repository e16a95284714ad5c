#pragma once
/// Ticks filled with random bits, the same for the same number, and a directory that cleans up after itself.

#include <stdlib.h>

#include <bit>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <limits>
#include <random>
#include <string>
#include <thread>
#include <vector>

#include "control/engine.hpp"
#include "daemon/recorder/columns.hpp"
#include "daemon/recorder/recorded_tick.hpp"
#include "daemon/recorder/recorder.hpp"

namespace leeward::daemon::synthetic {

inline constexpr std::size_t kFans = 2;

class TemporaryDirectory {
 public:
  TemporaryDirectory() {
    std::string text = (std::filesystem::temp_directory_path() / "leeward-test-XXXXXX").string();
    if (mkdtemp(text.data()) == nullptr) std::abort();
    path_ = text;
  }
  ~TemporaryDirectory() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  TemporaryDirectory(const TemporaryDirectory&) = delete;
  TemporaryDirectory& operator=(const TemporaryDirectory&) = delete;
  [[nodiscard]] std::filesystem::path operator/(const std::string& name) const { return path_ / name; }

 private:
  std::filesystem::path path_;
};

/// Any bits that are a number; of the NaNs only the canonical one, which is all that a recording keeps.
inline double random_double(std::mt19937_64& random) {
  switch (random() % 8) {
    case 0:
      return 0.0;
    case 1:
      return -0.0;
    case 2:
      return std::numeric_limits<double>::quiet_NaN();
    case 3:
      return static_cast<double>(random() % 100);
    case 4:
      return -std::numeric_limits<double>::infinity();
    default:
      break;
  }
  const double value = std::bit_cast<double>(random());
  return std::isnan(value) ? std::numeric_limits<double>::quiet_NaN() : value;
}

struct RandomFill {
  std::mt19937_64& random;
  void operator()(double& field) { field = random_double(random); }
  template <class T>
  void operator()(T& field) {
    if constexpr (std::is_enum_v<T>) {
      field = static_cast<T>(random() % EnumNames<T>::kNames.size());
    } else if constexpr (std::is_same_v<T, bool>) {
      field = random() % 2 == 0;
    } else {
      field = static_cast<T>(random());
    }
  }
};

/// The tick of this number.
inline RecordedTick tick(std::uint64_t seq) {
  std::mt19937_64 random(seq);
  RandomFill fill{random};
  RecordedTick out;
  out.seq = seq;
  for_each_field(out.sample, kFans, fill);
  for_each_field(out.output.command, kFans, fill);
  for_each_field(out.output.trace, kFans, fill);
  for (std::uint64_t i = 0; i < random() % 3; ++i) {
    control::Event event;
    for_each_field(event, kFans, fill);
    // Urgent events commit at once; the tests decide themselves when that happens.
    event.kind = control::EventKind::sample_gap;
    out.output.events.push_back(event);
  }
  if (seq % 7 == 0) {
    control::Request request;
    request.kind = control::RequestKind::start_run;
    request.target_pa = random_double(random);
    request.ask_id = static_cast<std::int64_t>(random());
    request.run.procedure.stations_pa.push_back(random_double(random));
    request.run.building.name = "A house, invented";
    out.requests.push_back(request);
    out.output.refusals.push_back(static_cast<control::Refusal>(random() % 3));
  }
  return out;
}

inline void append(Recorder& recorder, std::uint64_t seq, const control::EngineState* changed = nullptr) {
  const RecordedTick t = tick(seq);
  recorder.append(seq, t.sample, t.requests, t.output, changed);
}

inline RecordingMeta meta() {
  RecordingMeta meta;
  meta.run_id = "run-20261125-140733";
  meta.software_version = "0.0.0-test";
  meta.procedure = "steady";
  meta.building = "A house, invented";
  meta.started_unix_ms = 1795615653000;
  meta.rig_text = "[rig]\nname = \"d\u00e9mo\"\n";
  meta.engine.rig_name = "demo";
  for (std::size_t i = 0; i < kFans; ++i) {
    control::FanSpec fan;
    fan.name = "fan";
    fan.restrictions.push_back({"bore-500", 0.204, 0.5, 5, 160, 0.1, 0.02});
    meta.engine.fans.push_back(fan);
  }
  return meta;
}

/// Waits, without a fixed time, until the condition holds. @returns false after 20 s
template <class F>
bool eventually(F condition) {
  const auto give_up = std::chrono::steady_clock::now() + std::chrono::seconds(20);
  while (!condition()) {
    if (std::chrono::steady_clock::now() > give_up) return false;
    std::this_thread::yield();
  }
  return true;
}

}  // namespace leeward::daemon::synthetic
