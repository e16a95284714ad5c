#pragma once

#include <string>

#include "daemon/config/file_error.hpp"
#include "sim/campaign/campaign_spec.hpp"

namespace leeward::daemon {

/// A population: [houses], [wind], [rig] and [gauge] to draw from, one [[fan]], what the tool is [told], and
/// the scenarios [steps], [gusts] and [tests], each run where its table is there. [regulator] holds settings
/// as in a rig file; [compare] with a [compare.regulator] or [compare.told] a second tool for the same
/// houses.
[[nodiscard]] Loaded<sim::CampaignSpec> load_population(const std::string& path);

/// Regulator settings to compare with: a rig file, or "name=value" pairs with commas between them.
[[nodiscard]] Loaded<control::RegulatorSpec> load_regulator(const std::string& file_or_settings);

}  // namespace leeward::daemon
