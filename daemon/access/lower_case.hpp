#pragma once
/// Letters of ASCII in lower case, whatever the locale: for names of hosts, schemes and headers.

#include <algorithm>
#include <string>
#include <string_view>

namespace leeward::daemon {

[[nodiscard]] inline std::string lower_case(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  return out;
}

}  // namespace leeward::daemon
