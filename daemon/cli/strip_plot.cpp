#include "daemon/cli/strip_plot.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "daemon/report/text_block.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {
namespace {

constexpr std::size_t kScaleWidth = 8;

struct Band {
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();
  void take(double v) {
    if (!std::isfinite(v)) return;
    low = std::min(low, v);
    high = std::max(high, v);
  }
};

std::vector<Band> bands_of(const std::vector<double>& values, std::size_t width) {
  std::vector<Band> out(std::min(width, values.size()));
  for (std::size_t i = 0; i < values.size(); ++i) out[i * out.size() / values.size()].take(values[i]);
  return out;
}

}  // namespace

std::string strip_plot(const std::vector<double>& values, const std::string& title, int decimals,
                       std::size_t width, std::size_t height) {
  Band all;
  for (const double v : values) all.take(v);
  if (!(all.high > all.low) || height < 2) return {};
  const std::vector<Band> bands = bands_of(values, width);
  const double row_size = (all.high - all.low) / static_cast<double>(height - 1);
  const auto row_of = [&](double v) { return std::lround((v - all.low) / row_size); };
  std::string out = title + "\n";
  for (long row = static_cast<long>(height) - 1; row >= 0; --row) {
    const double at = all.low + static_cast<double>(row) * row_size;
    std::string line = right_in(fixed_text(at, decimals), kScaleWidth) + " |";
    for (const Band& band : bands) {
      const bool is_here = band.high >= band.low && row_of(band.low) <= row && row <= row_of(band.high);
      line += is_here ? "*" : " ";
    }
    out += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
  }
  return out;
}

}  // namespace leeward::daemon
