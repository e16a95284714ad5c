#pragma once
/// Which known word a person most likely meant.

#include <span>
#include <string>
#include <string_view>

namespace leeward::daemon {

/// The known word that is nearest by single-letter edits; empty when none is near enough to be meant.
[[nodiscard]] std::string_view nearest_word(std::string_view word, std::span<const std::string> known);

/// The known key of which `word` is the bare name, or the name with another unit: `volume` and
/// `volume_ft3` for `volume_m3`; empty when there is none.
[[nodiscard]] std::string_view same_key_other_unit(std::string_view word, std::span<const std::string> known);

/// "a, b or c"
[[nodiscard]] std::string one_of(std::span<const std::string> words);

}  // namespace leeward::daemon
