#pragma once
/// A promise that must hold whatever the bytes are. Under the fuzzer a broken one ends the process, in the
/// tests it fails the test.

#include <stdexcept>
#include <string>

namespace leeward::fuzz {

struct BrokenPromise : std::runtime_error {
  using std::runtime_error::runtime_error;
};

inline void require(bool holds, const char* promise) {
  if (!holds) throw BrokenPromise(promise);
}

}  // namespace leeward::fuzz
