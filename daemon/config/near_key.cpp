#include "daemon/config/near_key.hpp"

#include <algorithm>
#include <array>
#include <numeric>
#include <vector>

namespace leeward::daemon {
namespace {

constexpr std::size_t kLongestWord = 64;

// Longest first: `_m3_s` must be cut before `_s`. The foreign ones are what people write instead.
constexpr std::array<std::string_view, 33> kUnitEndings{
    "_m3_s_pam", "_m3_s_pan", "_m3_h_pan", "_m3_s_pa", "_per_pa", "_pa_s", "_kg_m3", "_m3_s", "_m3_h",
    "_per_s",    "_inh2o",    "_mbar",     "_percent", "_frac",   "_mph",  "_kmh",   "_cfm",  "_ft3",
    "_ft2",      "_hpa",      "_kpa",      "_m_s",     "_hz",     "_pa",   "_m3",    "_m2",   "_ms",
    "_ft",       "_us",       "_c",        "_f",       "_s",      "_m"};

std::string_view without_unit(std::string_view key) {
  for (const std::string_view ending : kUnitEndings)
    if (key.size() > ending.size() && key.ends_with(ending)) return key.substr(0, key.size() - ending.size());
  return key;
}

/// Letters added, left out, replaced, or swapped with their neighbour.
std::size_t edits(std::string_view a, std::string_view b) {
  std::vector<std::size_t> two_up(b.size() + 1);
  std::vector<std::size_t> one_up(b.size() + 1);
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    two_up.swap(one_up);
    one_up.swap(row);
    row[0] = i;
    for (std::size_t k = 1; k <= b.size(); ++k) {
      const std::size_t replaced = one_up[k - 1] + (a[i - 1] == b[k - 1] ? 0 : 1);
      row[k] = std::min({one_up[k] + 1, row[k - 1] + 1, replaced});
      const bool swapped = i > 1 && k > 1 && a[i - 1] == b[k - 2] && a[i - 2] == b[k - 1];
      if (swapped) row[k] = std::min(row[k], two_up[k - 2] + 1);
    }
  }
  return row[b.size()];
}

}  // namespace

std::string_view nearest_word(std::string_view word, std::span<const std::string> known) {
  if (word.size() > kLongestWord) return {};
  std::string_view best;
  std::size_t fewest = std::max<std::size_t>(1, word.size() / 3) + 1;
  for (const std::string& candidate : known) {
    const std::size_t n = edits(word, candidate);
    if (n < fewest && n < word.size()) {
      fewest = n;
      best = candidate;
    }
  }
  return best;
}

std::string_view same_key_other_unit(std::string_view word, std::span<const std::string> known) {
  const std::string_view stem = without_unit(word);
  for (const std::string& key : known)
    if (without_unit(key) == stem && without_unit(key) != key && key != word) return key;
  return {};
}

std::string one_of(std::span<const std::string> words) {
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) out += i + 1 == words.size() ? " or " : ", ";
    out += words[i];
  }
  return out;
}

}  // namespace leeward::daemon
