#include "daemon/cli/sparkline.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace leeward::daemon {

std::string sparkline(const std::vector<double>& values) {
  constexpr std::array<const char*, 8> kBars{"▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};
  double largest = 1;  // so that the noise of a calm day does not fill the row
  for (const double value : values)
    if (std::isfinite(value)) largest = std::max(largest, value);
  std::string row;
  for (const double value : values) {
    const double part = std::isfinite(value) && value > 0 ? value / largest : 0;
    const auto bar = static_cast<std::size_t>(std::lround(part * static_cast<double>(kBars.size() - 1)));
    row += kBars[std::min(bar, kBars.size() - 1)];
  }
  return row;
}

}  // namespace leeward::daemon
