#include "daemon/campaign/progress_line.hpp"

#include <cmath>
#include <cstdio>

namespace leeward::daemon {

namespace {

std::string time_text(double seconds) {
  const auto whole = static_cast<long>(std::ceil(seconds));
  if (whole < 120) return std::to_string(whole) + " s";
  if (whole < 7200) return std::to_string((whole + 59) / 60) + " min";
  return std::to_string((whole + 3599) / 3600) + " h";
}

}  // namespace

std::string progress_line(std::size_t done, std::size_t here, std::size_t total, double elapsed_s) {
  constexpr std::size_t width = 20;
  const std::size_t filled = total > 0 ? done * width / total : width;
  std::string out = "[" + std::string(filled, '#') + std::string(width - filled, '-') + "] " +
                    std::to_string(done) + " of " + std::to_string(total) + " runs";
  if (here == 0 || !(elapsed_s > 0)) return out;
  const double rate = static_cast<double>(here) / elapsed_s;
  char rate_text[32];
  std::snprintf(rate_text, sizeof rate_text, ", %.1f runs/s", rate);
  out += rate_text;
  if (done < total) out += ", " + time_text(static_cast<double>(total - done) / rate) + " left";
  return out;
}

}  // namespace leeward::daemon
