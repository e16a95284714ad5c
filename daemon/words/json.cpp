#include "daemon/words/json.hpp"

#include "daemon/words/json_fault.hpp"

namespace leeward::daemon {

namespace {

constexpr int kMaxDepth = 64;

/// Refuses deep nesting before the parser recurses or allocates for it.
bool deeper_than(std::string_view text, int limit) {
  int depth = 0;
  bool in_text = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (in_text) {
      if (c == '\\') ++i;
      if (c == '"') in_text = false;
      continue;
    }
    if (c == '"') in_text = true;
    if (c == '[' || c == '{') ++depth;
    if (c == ']' || c == '}') --depth;
    if (depth > limit) return true;
  }
  return false;
}

}  // namespace

std::string json_text(const nlohmann::json& json, int indent) {
  return json.dump(indent, ' ', false, nlohmann::json::error_handler_t::replace);
}

control::Result<nlohmann::json> parse_json(std::string_view text) {
  using json_detail::fail;
  if (deeper_than(text, kMaxDepth))
    return fail(control::Errc::wrong_type, "the JSON text is nested too deeply");
  try {
    return nlohmann::json::parse(text);
  } catch (const nlohmann::json::parse_error& e) {
    return fail(control::Errc::wrong_type, "the text is not JSON: it " + json_fault_text(text, e.byte));
  } catch (const nlohmann::json::exception&) {
    return fail(control::Errc::wrong_type, "the text is not JSON that can be read: a number is too large");
  }
}

namespace json_detail {

nlohmann::json number_to_json(double value) {
  if (std::isnan(value)) return "nan";
  if (std::isinf(value)) return value > 0 ? "inf" : "-inf";
  return value;
}

Result<double> number_from_json(const nlohmann::json& json) {
  if (json.is_number_float()) return json.get<double>();
  // A hand-written 50 stands for 50.0, as long as no digit is lost.
  if (json.is_number_integer()) {
    const auto value = json.get<double>();
    if (std::abs(value) <= 9007199254740992.0) return value;
    return fail(Errc::out_of_range, "has more digits than a number can hold");
  }
  if (json.is_string()) {
    const auto& text = json.get_ref<const std::string&>();
    if (text == "nan") return std::numeric_limits<double>::quiet_NaN();
    if (text == "inf") return std::numeric_limits<double>::infinity();
    if (text == "-inf") return -std::numeric_limits<double>::infinity();
  }
  return fail(Errc::wrong_type, "must be a number");
}

tl::unexpected<Error> fail(Errc code, std::string text) {
  return tl::unexpected(Error{code, std::string(), std::move(text)});
}

Error inside(std::string_view outer, Error error) {
  const bool joined = error.field.empty() || error.field.front() == '[';
  error.field = std::string(outer) + (joined ? "" : ".") + error.field;
  return error;
}

std::string index_text(std::size_t i) { return "[" + std::to_string(i) + "]"; }

}  // namespace json_detail
}  // namespace leeward::daemon
