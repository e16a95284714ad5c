#include "tests/counted_new.hpp"

#include <atomic>
#include <cstdlib>
#include <new>

namespace {
std::atomic<std::size_t> count{0};
}  // namespace

namespace leeward::test {
std::size_t allocations() noexcept { return count.load(); }
}  // namespace leeward::test

void* operator new(std::size_t size) {
  ++count;
  if (void* p = std::malloc(size > 0 ? size : 1)) return p;
  throw std::bad_alloc();
}
void operator delete(void* p) noexcept { std::free(p); }
void operator delete(void* p, std::size_t) noexcept { std::free(p); }
