#pragma once
/// The result of a run as the interface gives it: names carry units, flows are per hour.
///
/// Top-level figures are our estimate with its full 95 % interval at standard air; `standard` holds the
/// procedure's own fit, `directions` each direction; for both directions the top-level flows are the mean.
/// A figure that is not known is null. Flows are stated at 4, 10, 50 and 75 Pa and at the procedure's
/// reference pressure. Keys end in _low and _high (two-sided 95 %) and _upper (one-sided bound, for limits).

#include <cstdint>
#include <string>

#include <nlohmann/json.hpp>

#include "control/analysis/run_record.hpp"
#include "control/analysis/run_result.hpp"
#include "control/engine_config.hpp"
#include "control/phase.hpp"
#include "daemon/recorder/recording_reader.hpp"

namespace leeward::daemon {

struct ResultHead {
  std::string run_id;
  std::string software_version;
  control::RunState state = control::RunState::none;
  std::int64_t started_unix_ms = 0;
};

[[nodiscard]] nlohmann::json result_json(const ResultHead& head, const control::RunRecord& record,
                                         const control::RunResult& result,
                                         const control::EngineConfig& engine);

/// Errors   missing_key where the recording holds no averages yet; io and conflict of the reader
[[nodiscard]] control::Result<nlohmann::json> result_json(const RecordingReader& recording);

}  // namespace leeward::daemon
