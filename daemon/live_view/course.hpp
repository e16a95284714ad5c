#pragma once
/// The course of the building pressure as far as a watcher has seen it: few points, of each the lowest and
/// the highest reading, so that no gust is lost however long it is.

#include <cstddef>
#include <limits>
#include <vector>

namespace leeward::daemon {

struct CoursePoint {
  double at_s = 0;  ///< engine time of its first reading
  double low_pa = 0;
  double high_pa = 0;
  double target_pa = std::numeric_limits<double>::quiet_NaN();  ///< size; NaN: none
  [[nodiscard]] double middle_pa() const { return (low_pa + high_pa) / 2; }
};

class Course {
 public:
  /// @param pa  signed; not finite: nothing was read
  void add(double at_s, double pa, double target_pa);
  /// What the daemon has recorded, up to its newest; readings after that are kept.
  void put_before(std::vector<CoursePoint> recorded);
  void clear();
  [[nodiscard]] const std::vector<CoursePoint>& points() const { return points_; }
  [[nodiscard]] bool empty() const { return points_.empty(); }

 private:
  void thin();
  std::vector<CoursePoint> points_;
  double step_s_ = 0.25;  ///< readings closer than this share a point
};

}  // namespace leeward::daemon
