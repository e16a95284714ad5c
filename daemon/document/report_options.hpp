#pragma once
/// How a report is to look, and what only its maker can say.

#include <cstdint>
#include <string>

namespace leeward::daemon {

enum class Paper : std::uint8_t { a4, letter };

/// si: L/s, m; metric: m3/h, m; ip: cfm, ft. Pressures are in Pa everywhere, as the standards state them.
enum class UnitSystem : std::uint8_t { si, metric, ip };

/// Not in any recording. What is empty becomes a line to write on.
struct Particulars {
  std::string purpose;  ///< of the test
  std::string address;
  std::string permit;
  std::string seals;  ///< temporary seals, and where
  std::string tester;
  std::string company;
  std::string licence;
};

struct ReportOptions {
  Paper paper = Paper::a4;
  UnitSystem units = UnitSystem::metric;
  Particulars particulars;
};

}  // namespace leeward::daemon
