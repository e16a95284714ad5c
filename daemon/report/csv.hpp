#pragma once
/// Tables for a spreadsheet: RFC 4180, comma and point, one header line with units in the names.
/// A field is empty where nothing was read or known.

#include <functional>
#include <string>
#include <string_view>

#include <nlohmann/json.hpp>

#include "daemon/recorder/recording_reader.hpp"

namespace leeward::daemon {

/// Takes one line, its end included. Answers false to stop.
using LineSink = std::function<bool(std::string_view)>;

/// Every tick of a recording, one line each, in blocks: a reader never holds up the recorder.
[[nodiscard]] control::Result<void> write_samples_csv(const RecordingReader& recording, const LineSink& sink);

/// The stations of a result as result_json() gives it.
[[nodiscard]] std::string result_csv(const nlohmann::json& result);

}  // namespace leeward::daemon
