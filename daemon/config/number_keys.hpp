#pragma once
/// Reading of all the numbers of a table by its list of rules.

#include <span>

#include "daemon/config/key_rules.hpp"
#include "daemon/config/toml_reader.hpp"

namespace leeward::daemon {

template <class T>
bool read_number(TableReader& table, const NumberKey<T>& key, double& out) {
  const KeyRule& rule = key.rule;
  return table.number(rule.key, out, {rule.low, rule.high, rule.unit},
                      rule.required ? Need::required : Need::optional);
}

template <class T, std::size_t N>
void read_numbers(TableReader& table, T& out, const std::array<NumberKey<T>, N>& keys) {
  for (const NumberKey<T>& key : keys) read_number(table, key, out.*key.member);
}

}  // namespace leeward::daemon
