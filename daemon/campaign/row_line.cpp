#include "daemon/campaign/row_line.hpp"

#include <limits>

#include <nlohmann/json.hpp>

#include "daemon/campaign/checksum.hpp"

namespace leeward::daemon {

namespace {

constexpr std::size_t kSealWidth = 17;  // 16 digits and a blank

std::vector<double> numbers_of(const nlohmann::json& list) {
  std::vector<double> out;
  for (const nlohmann::json& item : list)
    out.push_back(item.is_null() ? std::numeric_limits<double>::quiet_NaN() : item.get<double>());
  return out;
}

}  // namespace

std::string sealed_line(const std::string& text) { return hex_text(checksum(text)) + " " + text + "\n"; }

std::optional<std::string_view> opened_line(std::string_view line) {
  if (line.size() < kSealWidth) return std::nullopt;
  const std::string_view text = line.substr(kSealWidth);
  if (line.substr(0, kSealWidth) != hex_text(checksum(text)) + " ") return std::nullopt;
  return text;
}

std::string row_text(const RunRow& row) { return nlohmann::json{row.job, row.figures, row.response}.dump(); }

std::optional<RunRow> row_from_text(std::string_view text) {
  const nlohmann::json json = nlohmann::json::parse(text, nullptr, false);
  if (!json.is_array() || json.size() != 3) return std::nullopt;
  try {
    return RunRow{json[0].get<std::size_t>(), numbers_of(json[1]), numbers_of(json[2])};
  } catch (const nlohmann::json::exception&) {
    return std::nullopt;
  }
}

}  // namespace leeward::daemon
