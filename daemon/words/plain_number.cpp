#include "daemon/words/plain_number.hpp"

#include <array>
#include <charconv>
#include <cmath>

namespace leeward::daemon {
namespace {
constexpr double kWholeFrom = 16777216;  // 2^24: from here on a float has no digit after the point
}  // namespace

double plain_number(double value) {
  if (!(std::abs(value) < kWholeFrom)) return value;
  const auto single = static_cast<float>(value);
  if (static_cast<double>(single) != value) return value;
  std::array<char, 32> text{};
  const auto written = std::to_chars(text.data(), text.data() + text.size(), single);
  double plain = value;
  const auto read = std::from_chars(text.data(), written.ptr, plain);
  return read.ec == std::errc{} ? plain : value;
}

void make_plain(nlohmann::json& json) {
  if (json.is_number_float()) json = plain_number(json.get<double>());
  if (!json.is_structured()) return;
  for (nlohmann::json& item : json) make_plain(item);
}

}  // namespace leeward::daemon
