#include "daemon/recorder/trace_reader.hpp"

#include <algorithm>
#include <cmath>

#include "daemon/recorder/schema.hpp"
#include "daemon/recorder/sqlite_db.hpp"

namespace leeward::daemon {
namespace {
namespace course {
using control::Errc;
using control::Error;
using control::Result;

constexpr double kNsPerS = 1e9;
constexpr const char* kSelectTicks =
    "SELECT t.trace_stamp_ns, t.trace_pressure_good, t.trace_pressure_signed_pa, t.trace_has_zero_flow,"
    " t.trace_zero_flow_pa, t.trace_target_pa, t.trace_phase, e.name FROM ticks t LEFT JOIN enums e"
    " ON e.column_name = 'trace_phase' AND e.number = t.trace_phase ORDER BY t.seq";
/// Those that a person wants to find again in the picture of a run.
constexpr const char* kSelectMarks =
    "SELECT t.trace_stamp_ns, n.name, e.text FROM events e JOIN ticks t USING(seq) JOIN enums n"
    " ON n.column_name = 'events.kind' AND n.number = e.kind WHERE n.name IN ('restriction_fitted',"
    "'restriction_mismatch','station_unreachable','tripped','trip_cleared','sensor_lost','sensor_back',"
    "'paused','resumed','too_windy','nobody_answered','baseline_taken','hold_started','hold_ended','presence_"
    "lowered',"
    "'presence_back')"
    " ORDER BY e.seq, e.idx LIMIT 500";

/// Puts a course of any length into a bounded number of points.
class Thinner {
 public:
  Thinner(double begin_s, double end_s, std::size_t most)
      : begin_s_(begin_s),
        width_s_((end_s - begin_s) / static_cast<double>(std::max<std::size_t>(most, 1))) {}

  void add(std::vector<TracePoint>& points, const TracePoint& point) {
    const auto bin = width_s_ > 0 ? static_cast<std::int64_t>((point.at_s - begin_s_) / width_s_) : 0;
    // A new target begins a new point, so that steps stay steps.
    const bool is_new = points.empty() || bin != bin_ || points.back().target_pa != point.target_pa;
    if (is_new) {
      points.push_back(point);
      bin_ = bin;
      return;
    }
    points.back().induced_low_pa = std::min(points.back().induced_low_pa, point.induced_low_pa);
    points.back().induced_high_pa = std::max(points.back().induced_high_pa, point.induced_high_pa);
  }

 private:
  double begin_s_;
  double width_s_;
  std::int64_t bin_ = -1;
};

Result<void> check_kind(const Database& db, const std::filesystem::path& path) {
  const auto application = db.integer_of("PRAGMA application_id");
  const auto version = db.integer_of("PRAGMA user_version");
  if (!application || *application != kApplicationId)
    return tl::unexpected(Error{Errc::io, path.string(), "is not a recording"});
  if (!version || *version != kSchemaVersion)
    return tl::unexpected(Error{Errc::conflict, path.string(), "is a recording of another version"});
  return {};
}

Result<void> read_points(const Database& db, std::size_t most, RecordedTrace& trace) {
  const auto first = db.integer_of("SELECT trace_stamp_ns FROM ticks ORDER BY seq LIMIT 1");
  const auto last = db.integer_of("SELECT trace_stamp_ns FROM ticks ORDER BY seq DESC LIMIT 1");
  if (!first || !last) return tl::unexpected(first ? last.error() : first.error());
  trace.begin_s = static_cast<double>(*first) / kNsPerS;
  Thinner thinner(trace.begin_s, static_cast<double>(*last) / kNsPerS, most);
  auto rows = db.prepare(kSelectTicks);
  if (!rows) return tl::unexpected(rows.error());
  std::int64_t phase = -1;
  while (true) {
    const auto row = rows->step();
    if (!row) return tl::unexpected(row.error());
    if (!*row) return {};
    const double at_s = static_cast<double>(rows->integer(0)) / kNsPerS;
    if (rows->integer(6) != phase) trace.phases.push_back({rows->text(7), at_s});
    phase = rows->integer(6);
    const double zero_pa = rows->integer(3) != 0 ? rows->real(4) : 0;
    const double induced_pa = rows->real(2) - zero_pa;
    if (rows->integer(1) == 0 || !std::isfinite(induced_pa)) continue;
    thinner.add(trace.points, {at_s, induced_pa, induced_pa, rows->real(5)});
  }
}

Result<void> read_marks(const Database& db, RecordedTrace& trace) {
  auto rows = db.prepare(kSelectMarks);
  if (!rows) return tl::unexpected(rows.error());
  while (true) {
    const auto row = rows->step();
    if (!row) return tl::unexpected(row.error());
    if (!*row) return {};
    trace.marks.push_back({static_cast<double>(rows->integer(0)) / kNsPerS, rows->text(1), rows->text(2)});
  }
}
}  // namespace course
}  // namespace

control::Result<RecordedTrace> read_trace(const std::filesystem::path& path, std::size_t most_points) {
  auto db = Database::open(path, Database::Mode::read_only);
  if (!db) return tl::unexpected(db.error());
  RecordedTrace trace;
  if (auto done = course::check_kind(*db, path); !done) return tl::unexpected(done.error());
  if (auto done = course::read_points(*db, most_points, trace); !done) return tl::unexpected(done.error());
  if (auto done = course::read_marks(*db, trace); !done) return tl::unexpected(done.error());
  return trace;
}

}  // namespace leeward::daemon
