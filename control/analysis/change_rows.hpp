#pragma once
/// One direction as the search for a change sees it: the rows of the joint model with the columns that are in
/// use, and what each kind of change would do to each row.

#include <array>

#include "control/analysis/joint_model.hpp"

namespace leeward::control {

/// What may begin, and end again, during the stations.
enum class ChangeKind : std::uint8_t {
  opening,  ///< a sharp opening more (or less); size: its flow over that of the leaks at a middle pressure
  amount,   ///< as much more flow through the fan at every pressure, m3/s
  zero,     ///< a shift of the zero-flow pressure along the direction, Pa
  count
};
inline constexpr std::size_t kChangeKinds = static_cast<std::size_t>(ChangeKind::count);

/// ln flow, exponent, zero flow, load, spread, signal zero, storage as in JointColumn; then a slow drift of
/// the zero flow, what the closing reading differs by more, and the scales of at most 3 restrictions.
inline constexpr int kDriftColumn = 7;
inline constexpr int kAfterColumn = 8;
inline constexpr int kFirstScaleColumn = 9;
inline constexpr int kChangeColumns = 12;
using ChangeColumns = std::array<double, kChangeColumns>;

struct ChangeRow {
  double begin_s = 0;
  double length_s = 0;
  double white_pa = 0;
  double y = 0;
  int station = JointRow::kBefore;
  ChangeColumns x{};
  std::array<double, kChangeKinds> effect{};  ///< of a unit of each kind, where it is there
};

inline constexpr std::size_t kMostStationRows = 56;
inline constexpr std::size_t kMostChangeRows = kMostStationRows + 2 * kMaxWindowBlocks;

struct ChangeRows {
  FixedVector<ChangeRow, kMostChangeRows> rows;
  std::size_t first = 0;       ///< of the stations
  std::size_t last = 0;        ///< one beyond
  ChangeColumns prior_mean{};  ///< but for the spread's, which goes with the gusts
  ChangeColumns prior_u{};
  double stack_pa = 0;
};

/// At most kMostStationRows blocks in all stations, since the search grows with their square: neighbours are
/// joined.
[[nodiscard]] DirectionRecord with_few_blocks(const DirectionRecord& record) noexcept;

/// @param rows  scratch
void make_change_rows(const JointModel& model, const JointPoint& at, JointRows& rows,
                      ChangeRows& out) noexcept;

}  // namespace leeward::control
