#include "control/restriction/plan.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <vector>

namespace leeward::control {
namespace {

FanSpec invented_fan() {
  FanSpec fan;
  fan.curve.push_back({0.0, 300.0});
  fan.curve.push_back({1.0, 255.0});
  fan.curve.push_back({2.0, 120.0});
  fan.curve.push_back({2.5, 0.0});
  fan.restrictions.push_back(
      {.name = "bore-500", .k_m3_s_pam = 0.204, .signal_min_pa = 5, .signal_max_pa = 160, .loss_frac = 0.1});
  fan.restrictions.push_back(
      {.name = "bore-290", .k_m3_s_pam = 0.068, .signal_min_pa = 5, .signal_max_pa = 250, .loss_frac = 0.9});
  fan.restrictions.push_back(
      {.name = "bore-165", .k_m3_s_pam = 0.0222, .signal_min_pa = 5, .signal_max_pa = 250, .loss_frac = 0.9});
  fan.restrictions.push_back(
      {.name = "bore-95", .k_m3_s_pam = 0.00736, .signal_min_pa = 5, .signal_max_pa = 250, .loss_frac = 0.9});
  return fan;
}

HouseCurve house_of(double q50_m3_h, double n) {
  HouseCurve h = house_prior(400);
  h.pair.b = n;
  h.pair.a = std::log(q50_m3_h / 3600.0) - n * std::log(50.0 / HouseCurve::pivot_pa);
  return h;
}

const std::vector<double> kDown{60, 52.9, 45.7, 38.6, 31.4, 24.3, 17.1, 10};

/// Fewest changes by trying every assignment of restrictions to stations.
int fewest_by_exhaustion(const HouseCurve& house, const FanSpec& fan, const FanCurve& curve,
                         const std::vector<double>& stations, int fitted) {
  int best = 1000;
  std::function<void(std::size_t, int, int)> walk = [&](std::size_t s, int now, int changes) {
    if (changes >= best) return;
    if (s == stations.size()) {
      best = changes;
      return;
    }
    for (int k = 0; k < static_cast<int>(fan.restrictions.size()); ++k) {
      const Outlook o =
          outlook(house, {}, curve, fan.restrictions[static_cast<std::size_t>(k)], stations[s], 1);
      if (o.readable && o.reachable) walk(s + 1, k, changes + (k == now ? 0 : 1));
    }
  };
  walk(0, fitted, 0);
  return best;
}

TEST(RestrictionPlan, NeedsAsFewChangesAsAnExhaustiveSearch) {
  const FanSpec fan = invented_fan();
  const FanCurve curve = *curve_or_guess(fan);
  int served = 0;
  for (int i = 0; i < 60; ++i) {
    const double q50 = 150 * std::pow(40.0, i / 59.0);  // 150 to 6000 m3/h
    for (const double n : {0.55, 0.65, 0.72}) {
      const HouseCurve house = house_of(q50, n);
      for (int fitted = 0; fitted < 4; ++fitted) {
        const int fewest = fewest_by_exhaustion(house, fan, curve, kDown, fitted);
        const RestrictionPlan plan = plan_restrictions(house, {}, curve, fan, kDown, fitted, 1);
        if (fewest == 1000) continue;
        ++served;
        EXPECT_EQ(plan.unserved, 0) << q50 << " " << n;
        EXPECT_EQ(plan.changes, fewest) << q50 << " " << n << " fitted " << fitted;
      }
    }
  }
  EXPECT_GT(served, 400);
}

TEST(RestrictionPlan, PrefersTheRestrictionWithReserveAtBothEnds) {
  const FanSpec fan = invented_fan();
  const FanCurve curve = *curve_or_guess(fan);
  const std::vector<double> one{50};

  const RestrictionPlan plan = plan_restrictions(house_of(300, 0.65), {}, curve, fan, one, 0, 1);

  ASSERT_EQ(plan.fitted.size(), 1u);
  const Outlook o = outlook(house_of(300, 0.65), {}, curve,
                            fan.restrictions[static_cast<std::size_t>(plan.fitted[0])], 50, 1);
  EXPECT_EQ(o.shortfall, 0);
}

TEST(RestrictionPlan, SaysHowManyStationsNoRestrictionServes) {
  const FanSpec fan = invented_fan();
  const FanCurve curve = *curve_or_guess(fan);

  const RestrictionPlan plan = plan_restrictions(house_of(30000, 0.65), {}, curve, fan, kDown, 3, 1);

  EXPECT_GT(plan.unserved, 0);
  EXPECT_EQ(plan.fitted[0], 0);  // the largest opening comes nearest
}

}  // namespace
}  // namespace leeward::control
