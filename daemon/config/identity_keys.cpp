#include "daemon/config/identity_keys.hpp"

#include <charconv>
#include <chrono>
#include <string_view>

namespace leeward::daemon {
namespace {

constexpr std::size_t kMostBytes = 60;

bool read_number(std::string_view text, int& out) {
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), out);
  return error == std::errc() && end == text.data() + text.size();
}

bool is_a_day(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
  int year = 0;
  int month = 0;
  int day = 0;
  if (!read_number(text.substr(0, 4), year) || !read_number(text.substr(5, 2), month) ||
      !read_number(text.substr(8, 2), day) || month < 1 || day < 1)
    return false;
  return std::chrono::year_month_day(std::chrono::year(year),
                                     std::chrono::month(static_cast<unsigned>(month)),
                                     std::chrono::day(static_cast<unsigned>(day)))
      .ok();
}

}  // namespace

std::string read_identity(TableReader& table) {
  std::string serial;
  std::string text;
  table.text("serial", serial, kMostBytes);
  if (table.text("calibrated", text, kMostBytes) && !is_a_day(text))
    table.conclude("calibrated", "must be a day such as \"2026-03-14\", is \"" + text + "\"");
  return serial;
}

}  // namespace leeward::daemon
