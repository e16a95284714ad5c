#pragma once
/// The register map of a rig: `[[device.channel]]`.

#include <cstddef>
#include <vector>

#include "daemon/config/rig_spec.hpp"
#include "daemon/config/toml_reader.hpp"

namespace leeward::daemon {

inline constexpr std::size_t kMaxChannels = 64;

/// Refuses names that mean nothing, registers used twice, types that a table or a channel cannot have,
/// outputs in tables that cannot be written, and a map without what every fan needs.
/// @param fans  number of fans of the rig, 1 or more
[[nodiscard]] std::vector<ChannelSpec> read_channels(TableReader& device, std::size_t fans);

/// Whether the map names this channel.
[[nodiscard]] bool has_channel(const std::vector<ChannelSpec>& channels, std::string_view name);

}  // namespace leeward::daemon
