#pragma once
/// Numbers as people and programs outside are shown them: with the digits that they came with.

#include <nlohmann/json.hpp>

namespace leeward::daemon {

/// A reading that came as a 32-bit float carries no more than its own digits: 23.1, although the double that
/// holds it is 23.100000381469727. Any other number stays as it is.
/// Range   sizes of 2^24 and above are whole numbers, which stay too
/// Source  shortest text that reads back as the same float (std::to_chars)
[[nodiscard]] double plain_number(double value);

/// The same for every number of a JSON text to be shown. Not for recordings, which keep every bit.
void make_plain(nlohmann::json& json);

}  // namespace leeward::daemon
