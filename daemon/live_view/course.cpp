#include "daemon/live_view/course.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::daemon {
namespace {
constexpr std::size_t kMostPoints = 4000;
constexpr double kFirstStep_s = 0.25;
}  // namespace

void Course::add(double at_s, double pa, double target_pa) {
  if (!std::isfinite(at_s) || !std::isfinite(pa)) return;
  // Time that goes back is another daemon's.
  if (!points_.empty() && at_s < points_.back().at_s) clear();
  if (!points_.empty() && at_s - points_.back().at_s < step_s_) {
    CoursePoint& last = points_.back();
    last.low_pa = std::min(last.low_pa, pa);
    last.high_pa = std::max(last.high_pa, pa);
    last.target_pa = target_pa;
    return;
  }
  points_.push_back({at_s, pa, pa, target_pa});
  if (points_.size() > kMostPoints) thin();
}

void Course::put_before(std::vector<CoursePoint> recorded) {
  if (recorded.empty()) return;
  const double end_s = recorded.back().at_s;
  for (const CoursePoint& point : points_)
    if (point.at_s > end_s) recorded.push_back(point);
  points_ = std::move(recorded);
  while (points_.size() > kMostPoints) thin();
}

void Course::clear() {
  points_.clear();
  step_s_ = kFirstStep_s;
}

void Course::thin() {
  std::size_t kept = 0;
  for (std::size_t i = 0; i < points_.size(); i += 2) {
    CoursePoint point = points_[i];
    if (i + 1 < points_.size()) {
      point.low_pa = std::min(point.low_pa, points_[i + 1].low_pa);
      point.high_pa = std::max(point.high_pa, points_[i + 1].high_pa);
    }
    points_[kept++] = point;
  }
  points_.resize(kept);
  step_s_ *= 2;
}

}  // namespace leeward::daemon
