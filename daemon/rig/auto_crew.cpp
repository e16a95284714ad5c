#include "daemon/rig/auto_crew.hpp"

#include <algorithm>
#include <optional>
#include <utility>
#include <vector>

#include <nlohmann/json.hpp>

#include "daemon/rig/rig_registers.hpp"

namespace leeward::daemon {
namespace {

namespace reg = rig_registers;
using nlohmann::json;

struct OpenAsk {
  std::string id;
  std::string kind;
  std::string restriction;
  std::string direction;
  int fan = 0;
};

/// An id may come as a number or as a text.
std::string text_of(const json& object, const char* key) {
  const auto found = object.find(key);
  if (found == object.end()) return {};
  return found->is_string() ? found->get<std::string>() : found->dump();
}

OpenAsk parse_ask(const json& object) {
  OpenAsk ask{.id = text_of(object, "id"),
              .kind = text_of(object, "kind"),
              .restriction = text_of(object, "restriction"),
              .direction = text_of(object, "direction")};
  const auto fan = object.find("fan");
  if (fan != object.end() && fan->is_number_integer()) ask.fan = std::max(fan->get<int>() - 1, 0);
  return ask;
}

/// Nothing where the daemon can't be asked or says something else.
std::optional<std::vector<OpenAsk>> read_asks(const AutoCrew::Transport& transport) {
  const auto reply = transport("GET", "/v1/asks", "");
  if (!reply || reply->status != 200) return std::nullopt;
  const json body = json::parse(reply->body, nullptr, false);
  if (!body.is_object() || !body.contains("asks") || !body["asks"].is_array()) return std::nullopt;
  std::vector<OpenAsk> asks;
  for (const json& object : body["asks"])
    if (object.is_object()) asks.push_back(parse_ask(object));
  return asks;
}

/// @returns the index of the restriction of that name, -1 when the fan has none such
int restriction_index(const sim::HouseSpec& house, const OpenAsk& ask) {
  const auto fan = static_cast<std::size_t>(ask.fan);
  if (fan >= house.fans.size()) return -1;
  const auto& restrictions = house.fans[fan].fan.restrictions;
  for (std::size_t i = 0; i < restrictions.size(); ++i)
    if (restrictions[i].name.view() == ask.restriction) return static_cast<int>(i);
  return -1;
}

/// @returns whether what was asked for has been done; a question alone needs no act
bool do_act(const OpenAsk& ask, const sim::HouseSpec& house, const AutoCrew::Hand& hand) {
  if (ask.kind == "cover_fan") return hand(reg::covered_register(ask.fan), 1);
  if (ask.kind == "uncover_fan") return hand(reg::covered_register(ask.fan), 0);
  if (ask.kind == "turn_fan") return hand(reg::kDirection, ask.direction == "pressurize" ? 1 : 0);
  if (ask.kind != "fit_restriction") return true;
  const int index = restriction_index(house, ask);
  return index >= 0 && hand(reg::fitted_register(ask.fan), static_cast<std::uint16_t>(index));
}

}  // namespace

AutoCrew::AutoCrew(const sim::HouseSpec& house, std::chrono::nanoseconds delay, Transport transport,
                   Hand hand)
    : house_(house), delay_(delay), transport_(std::move(transport)), hand_(std::move(hand)) {}

void AutoCrew::look(Time now) {
  const auto asks = read_asks(transport_);
  if (!asks) return;
  std::map<std::string, Time> still_open;
  for (const OpenAsk& ask : *asks) {
    const auto known = seen_.find(ask.id);
    const Time since = known == seen_.end() ? now : known->second;
    still_open[ask.id] = since;
    if (now - since < delay_ || !do_act(ask, house_, hand_)) continue;
    // An answer that fails leaves the ask open, and it will be met again.
    (void)transport_("POST", "/v1/asks/" + ask.id, R"({"answer":"done"})");
  }
  seen_ = std::move(still_open);
}

}  // namespace leeward::daemon
