#include "daemon/api/checked_json.hpp"

#include <algorithm>
#include <cmath>

#include "daemon/config/near_key.hpp"
#include "daemon/words/json_fault.hpp"

namespace leeward::daemon {
namespace {
constexpr int kMaxDepth = 32;

int nesting_depth(std::string_view text) {
  int depth = 0;
  int deepest = 0;
  bool in_text = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (in_text && c == '\\') ++i;
    if (c == '"') in_text = !in_text;
    if (in_text) continue;
    if (c == '[' || c == '{') deepest = std::max(deepest, ++depth);
    if (c == ']' || c == '}') --depth;
  }
  return deepest;
}

/// The key whose value stands at `at`: the last quoted text before a colon.
std::string key_before(std::string_view text, std::size_t at) {
  const std::size_t colon = text.rfind(':', at);
  if (colon == std::string_view::npos || colon == 0) return {};
  const std::size_t close = text.rfind('"', colon);
  if (close == std::string_view::npos || close == 0) return {};
  const std::size_t open = text.rfind('"', close - 1);
  if (open == std::string_view::npos) return {};
  return std::string(text.substr(open + 1, close - open - 1));
}

bool spells_no_number(std::string_view text, std::size_t at) {
  std::string_view rest = text.substr(std::min(at, text.size()));
  if (rest.starts_with('-')) rest.remove_prefix(1);
  return rest.starts_with("NaN") || rest.starts_with("nan") || rest.starts_with("Inf") ||
         rest.starts_with("inf");
}

Problem not_a_number(std::string key) {
  return {422, "not_finite", key + " must be a finite number", key, "JSON has no NaN and no Infinity"};
}

std::string short_number(double value) {
  std::string text = nlohmann::json(value).dump();
  if (text.ends_with(".0")) text.resize(text.size() - 2);
  return text;
}

std::string bounds_text(const NumberRule& rule) {
  const std::string unit = rule.unit.empty() ? "" : " " + std::string(rule.unit);
  return (rule.low_excluded ? "above " : "from ") + short_number(rule.low) +
         (rule.low_excluded ? " and at most " : " to ") + short_number(rule.high) + unit;
}
}  // namespace

std::optional<Problem> parse_body(std::string_view text, nlohmann::json& out) {
  if (nesting_depth(text) > kMaxDepth)
    return Problem{400, "too_deep", "the body is nested deeper than 32 levels", "", ""};
  try {
    out = nlohmann::json::parse(text);
  } catch (const nlohmann::json::parse_error& error) {
    const std::size_t at = error.byte > 0 ? error.byte - 1 : 0;
    if (spells_no_number(text, at) || (at > 0 && spells_no_number(text, at - 1)))
      return not_a_number(key_before(text, at));
    return Problem{400, "not_json", "the body is not JSON: it " + json_fault_text(text, error.byte), "",
                   "send one JSON object"};
  } catch (const nlohmann::json::out_of_range& error) {
    const std::string_view what = error.what();
    const std::size_t quoted = what.find('\'');
    const std::size_t end = what.rfind('\'');
    const std::string number(quoted < end ? what.substr(quoted + 1, end - quoted - 1) : std::string_view{});
    const std::size_t at = number.empty() ? std::string_view::npos : text.find(number);
    return not_a_number(at == std::string_view::npos ? std::string{} : key_before(text, at));
  }
  if (!out.is_object()) return Problem{422, "wrong_type", "the body must be a JSON object", "", ""};
  return std::nullopt;
}

FieldReader::FieldReader(const nlohmann::json& object, std::string prefix, std::vector<Problem>& problems)
    : object_(object), prefix_(std::move(prefix)), problems_(problems) {}

std::string FieldReader::full_name(std::string_view key) const {
  return prefix_.empty() ? std::string(key) : prefix_ + "." + std::string(key);
}

void FieldReader::add_problem(std::string_view key, std::string code, std::string detail, std::string hint) {
  const std::string name = full_name(key);
  problems_.push_back({422, std::move(code), name + " " + std::move(detail), name, std::move(hint)});
}

void FieldReader::missing(std::string_view key) { add_problem(key, "missing", "is missing"); }

bool FieldReader::has(std::string_view key) const { return object_.find(key) != object_.end(); }

const nlohmann::json* FieldReader::find(std::string_view key) {
  asked_.insert(std::string(key));
  const auto it = object_.find(key);
  return it == object_.end() ? nullptr : &*it;
}

std::optional<double> FieldReader::number(std::string_view key, const NumberRule& rule) {
  const nlohmann::json* value = find(key);
  if (value == nullptr || value->is_null()) return std::nullopt;
  if (!value->is_number()) {
    const std::string unit = rule.unit.empty() ? "" : " in " + std::string(rule.unit);
    add_problem(key, "wrong_type", "must be a number" + unit);
    return std::nullopt;
  }
  const double number = value->get<double>();
  // Written so that NaN fails too.
  const bool inside = number >= rule.low && number <= rule.high && !(rule.low_excluded && number <= rule.low);
  if (!std::isfinite(number) || !inside) {
    add_problem(key, "out_of_range", "must be " + bounds_text(rule) + ", got " + short_number(number));
    return std::nullopt;
  }
  return number;
}

double FieldReader::number_or(std::string_view key, const NumberRule& rule, double fallback) {
  return number(key, rule).value_or(fallback);
}

double FieldReader::required_number(std::string_view key, const NumberRule& rule) {
  const auto value = number(key, rule);
  const bool absent = !has(key) || object_.find(key)->is_null();
  if (absent) add_problem(key, "missing", "is missing; give a number " + bounds_text(rule));
  return value.value_or(rule.low);
}

bool FieldReader::boolean_or(std::string_view key, bool fallback) {
  const nlohmann::json* value = find(key);
  if (value == nullptr) return fallback;
  if (!value->is_boolean()) {
    add_problem(key, "wrong_type", "must be true or false");
    return fallback;
  }
  return value->get<bool>();
}

std::optional<std::string> FieldReader::text(std::string_view key, std::size_t max_bytes) {
  const nlohmann::json* value = find(key);
  if (value == nullptr) return std::nullopt;
  if (!value->is_string()) {
    add_problem(key, "wrong_type", "must be a text");
    return std::nullopt;
  }
  const auto& text = value->get_ref<const std::string&>();
  if (text.size() > max_bytes) {
    add_problem(key, "out_of_range", "must be at most " + std::to_string(max_bytes) + " bytes long");
    return std::nullopt;
  }
  return text;
}

const nlohmann::json* FieldReader::any(std::string_view key) { return find(key); }

const nlohmann::json* FieldReader::object(std::string_view key) {
  const nlohmann::json* value = find(key);
  if (value == nullptr) return nullptr;
  if (value->is_object()) return value;
  add_problem(key, "wrong_type", "must be an object");
  return nullptr;
}

void FieldReader::refuse_unknown() {
  for (const auto& [key, value] : object_.items()) {
    if (asked_.contains(key)) continue;
    const std::vector<std::string> known(asked_.begin(), asked_.end());
    std::string_view meant = same_key_other_unit(key, known);
    if (meant.empty()) meant = nearest_word(key, known);
    add_problem(key, "unknown_field", "is not known here",
                meant.empty() ? std::string{} : "did you mean " + std::string(meant) + "?");
  }
}

}  // namespace leeward::daemon
