#pragma once
/// How many requests a caller may send: a bucket that fills steadily.

#include <algorithm>
#include <cstddef>
#include <map>
#include <string>

namespace leeward::daemon {

struct RateRule {
  double per_s = 0;
  double burst = 0;
};

class RateLimit {
 public:
  explicit RateLimit(RateRule rule) : rule_(rule) {}

  /// @returns whether this request may pass; counts it if so
  bool pass(const std::string& caller, double now_s) {
    if (buckets_.size() >= kMostCallers && !buckets_.contains(caller)) drop_full(now_s);
    auto [place, is_new] = buckets_.try_emplace(caller, Bucket{rule_.burst, now_s});
    Bucket& bucket = place->second;
    if (!is_new) bucket = {level(bucket, now_s), now_s};
    if (bucket.tokens < 1) return false;
    bucket.tokens -= 1;
    return true;
  }
  [[nodiscard]] std::size_t callers() const { return buckets_.size(); }

 private:
  static constexpr std::size_t kMostCallers = 1024;
  struct Bucket {
    double tokens = 0;
    double at_s = 0;
  };
  [[nodiscard]] double level(const Bucket& bucket, double now_s) const {
    return std::min(rule_.burst, bucket.tokens + rule_.per_s * (now_s - bucket.at_s));
  }
  /// A full bucket says no more than none. When all are in use, strangers can only be many: all begin anew.
  void drop_full(double now_s) {
    std::erase_if(buckets_, [&](const auto& entry) { return level(entry.second, now_s) >= rule_.burst; });
    if (buckets_.size() >= kMostCallers) buckets_.clear();
  }

  RateRule rule_;
  std::map<std::string, Bucket> buckets_;
};

}  // namespace leeward::daemon
