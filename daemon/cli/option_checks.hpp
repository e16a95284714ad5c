#pragma once
/// What an option of the command line may hold. For the files that know the option parser.

#include <CLI/CLI.hpp>
#include <string>

#include "daemon/config/key_rules.hpp"
#include "daemon/config/toml_reader.hpp"

namespace leeward::daemon {

/// Written so that NaN fails too.
inline CLI::Validator between(double low, double high, const std::string& unit) {
  auto check = [low, high, unit](const std::string& text) -> std::string {
    double value = 0;
    const bool is_number = CLI::detail::lexical_cast(text, value);
    if (is_number && value > low && value <= high) return {};
    return "must be a number above " + CLI::detail::to_string(low) + " and at most " +
           CLI::detail::to_string(high) + " " + unit + ", got " + text;
  };
  return CLI::Validator(check, unit, "between");
}

/// Both ends belong to the range. Written so that NaN fails too.
inline CLI::Validator within(const KeyRule& rule) {
  const std::string allowed = range_text({rule.low, rule.high, rule.unit});
  auto check = [low = rule.low, high = rule.high, allowed](const std::string& text) -> std::string {
    double value = 0;
    if (CLI::detail::lexical_cast(text, value) && value >= low && value <= high) return {};
    return "must be a number, " + allowed + ", got " + text;
  };
  return CLI::Validator(check, rule.unit, "within");
}

}  // namespace leeward::daemon
