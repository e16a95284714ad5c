#pragma once
/// Limits of codes and programmes: files in config/targets/, one a programme, each with entries [[target]].

#include <string>
#include <string_view>
#include <vector>

#include "control/analysis/target_spec.hpp"
#include "daemon/config/file_error.hpp"

namespace leeward::daemon {

[[nodiscard]] Loaded<std::vector<control::TargetSpec>> load_targets(const std::string& path);

/// The targets of all files in `<directory>/targets`, sorted by id.
/// Errors   those of every file, and an id that two entries have
[[nodiscard]] Loaded<std::vector<control::TargetSpec>> load_all_targets(const std::string& directory);

/// Those of these ids, in this order.
/// Errors   as above, and for an id that there is not, with the nearest one
[[nodiscard]] Loaded<std::vector<control::TargetSpec>> load_named_targets(const std::vector<std::string>& ids,
                                                                          const std::string& directory);

}  // namespace leeward::daemon
