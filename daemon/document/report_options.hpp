#pragma once
/// How a report is to look, and what only its maker can say.

#include <array>
#include <cstddef>
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

/// A particular as option, key and member: every way in follows this table.
struct ParticularKey {
  const char* key;
  std::string Particulars::*member;
  std::size_t most_bytes;
  const char* help;
};

inline constexpr std::array kParticulars = std::to_array<ParticularKey>({
    {"purpose", &Particulars::purpose, 400, "of the test"},
    {"address", &Particulars::address, 200, "of the building"},
    {"permit", &Particulars::permit, 120, "permit or file number"},
    {"seals", &Particulars::seals, 400, "temporary seals, and where"},
    {"tester", &Particulars::tester, 120, "name of who signs"},
    {"company", &Particulars::company, 120, "of who signs"},
    {"licence", &Particulars::licence, 120, "number"},
});

/// What a text must be to be printed on a line; nothing where it is so: "must be at most 120 bytes long".
[[nodiscard]] std::string particular_fault(const ParticularKey& key, const std::string& text);

struct ReportOptions {
  Paper paper = Paper::a4;
  UnitSystem units = UnitSystem::metric;
  Particulars particulars;
};

}  // namespace leeward::daemon
