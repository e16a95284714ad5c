#pragma once
/// A short recording of a real engine, and what a fuzzer does to its file.

#include <filesystem>
#include <string>
#include <vector>

#include "tests/fuzz/bytes.hpp"

namespace leeward::fuzz {

/// The bytes of a whole recording: a zero-flow reading and the beginning of a run.
[[nodiscard]] std::vector<std::uint8_t> sound_recording(const std::filesystem::path& folder);

/// Changes cells of the tables in the file, as the bytes say; leaves a file that SQLite can read.
void spoil_cells(const std::filesystem::path& file, ByteReader& bytes);

/// Changes bytes of the file, or cuts it short.
void spoil_bytes(std::vector<std::uint8_t>& file, ByteReader& bytes);

}  // namespace leeward::fuzz
