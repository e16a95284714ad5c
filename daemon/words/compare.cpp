#include "daemon/words/compare.hpp"

#include <array>
#include <cmath>
#include <cstdio>

namespace leeward::daemon::compare_detail {

std::string exact_text(double value) {
  std::array<char, 48> text{};
  if (std::isnan(value)) {
    std::snprintf(text.data(), text.size(), "nan (%016llx)",
                  static_cast<unsigned long long>(std::bit_cast<std::uint64_t>(value)));
  } else {
    std::snprintf(text.data(), text.size(), "%.17g", value);
  }
  return text.data();
}

std::optional<Difference> inside(const std::string& outer, std::optional<Difference> difference) {
  if (!difference) return difference;
  const std::string& inner = difference->field;
  const bool joined = inner.empty() || inner.front() == '[' || inner.front() == '.';
  difference->field = outer + (joined ? "" : ".") + inner;
  return difference;
}

}  // namespace leeward::daemon::compare_detail
