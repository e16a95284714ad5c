#pragma once
/// Counts allocations, for tests that promise none. tests/counted_new.cpp replaces operator new.

#include <cstddef>

namespace leeward::test {

/// Calls of operator new so far in this program, by any thread.
[[nodiscard]] std::size_t allocations() noexcept;

}  // namespace leeward::test
