// What libFuzzer calls; built once for each target.
#include <cstdio>
#include <cstdlib>
#include <exception>

#include "tests/fuzz/targets.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  try {
    leeward::fuzz::LEEWARD_FUZZ_TARGET({data, size});
  } catch (const std::exception& broken) {
    std::fprintf(stderr, "broken promise: %s\n", broken.what());
    std::abort();
  }
  return 0;
}
