#pragma once
/// Reads a request body so that nothing slips through: every key is asked for by name with its bounds,
/// every key that was not asked for is an error, and all problems are reported, not only the first.

#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include <nlohmann/json.hpp>

#include "daemon/api/problem.hpp"

namespace leeward::daemon {

/// Bounds of a number, with the unit that goes into the text.
struct NumberRule {
  double low = 0;
  double high = 0;
  std::string_view unit;
  bool low_excluded = false;  ///< must be above `low`, not equal
};

/// Errors   400 for text that is no JSON (line and column named) or nested deeper than 32; 422 where a
///          number is written as NaN or Infinity or is too large for a double; 422 where the top is no object
[[nodiscard]] std::optional<Problem> parse_body(std::string_view text, nlohmann::json& out);

/// One object of the body. Problems are appended to the list given.
class FieldReader {
 public:
  /// @param prefix  dotted name of the object, empty at the top
  FieldReader(const nlohmann::json& object, std::string prefix, std::vector<Problem>& problems);

  [[nodiscard]] bool has(std::string_view key) const;
  std::optional<double> number(std::string_view key, const NumberRule& rule);
  double number_or(std::string_view key, const NumberRule& rule, double fallback);
  double required_number(std::string_view key, const NumberRule& rule);
  bool boolean_or(std::string_view key, bool fallback);
  std::optional<std::string> text(std::string_view key, std::size_t max_bytes);
  /// @returns the value as it is, nullptr where the key is absent
  const nlohmann::json* any(std::string_view key);
  /// @returns nullptr (and a problem, where it is there but no object) unless it is an object
  const nlohmann::json* object(std::string_view key);
  /// Reports every key that was not asked for, with the nearest known one.
  void refuse_unknown();

  void add_problem(std::string_view key, std::string code, std::string detail, std::string hint = {});
  void missing(std::string_view key);

 private:
  [[nodiscard]] std::string full_name(std::string_view key) const;
  const nlohmann::json* find(std::string_view key);
  const nlohmann::json& object_;
  std::string prefix_;
  std::vector<Problem>& problems_;
  std::set<std::string, std::less<>> asked_;
};

}  // namespace leeward::daemon
