#include "control/regulate/loop_margins.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace leeward::control {
namespace {

using Complex = std::complex<double>;
constexpr double kPi = std::numbers::pi;
constexpr double kInfinite = std::numeric_limits<double>::infinity();
constexpr double kFrequencyStep = 1.01;  // from one frequency to the next
constexpr double kTurnsOfDelay = 40.0;   // radians: beyond them nothing that matters is left
constexpr double kSlowest = 1e-3;        // of the lowest corner frequency
constexpr double kFastest = 1e3;         // of the highest
constexpr int kHalvings = 60;

struct OpenLoop {
  const LoopController& controller;
  const ProcessModel& process;
  [[nodiscard]] Complex at(double w) const { return response_at(controller, w) * response_at(process, w); }
};

struct FrequencyRange {
  double low = kInfinite;
  double high = 0;
  void take(double time_s) {
    if (!(time_s > 0) || !std::isfinite(time_s)) return;
    low = std::min(low, 1 / time_s);
    high = std::max(high, 1 / time_s);
  }
};

FrequencyRange range_of(const OpenLoop& loop) {
  FrequencyRange r;
  for (const double lag : loop.process.lags_s) r.take(lag);
  for (const double zero : loop.process.zeros_s) r.take(std::abs(zero));
  r.take(loop.process.delay_s);
  r.take(loop.controller.ti_s);
  r.take(loop.controller.td_s);
  if (loop.controller.filter_n > 0) r.take(loop.controller.td_s / loop.controller.filter_n);
  if (loop.process.integrates) r.take(1 / std::abs(loop.controller.kc * loop.process.gain));
  if (!(r.high > 0)) r = {1, 1};
  r.low *= kSlowest;
  r.high *= kFastest;
  if (loop.process.delay_s > 0)
    r.high = std::max(100 * r.low, std::min(r.high, kTurnsOfDelay / loop.process.delay_s));
  return r;
}

/// Where a function changes its sign between two frequencies.
template <class F>
double root_between(double low, double high, const F& f) {
  const bool rises = f(high) > 0;
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = std::sqrt(low * high);
    ((f(middle) > 0) == rises ? high : low) = middle;
  }
  return std::sqrt(low * high);
}

/// Largest value about a frequency whose neighbours are smaller.
template <class F>
double peak_between(double low, double high, const F& f) {
  const double part = 0.5 * (std::sqrt(5.0) - 1);
  for (int i = 0; i < kHalvings; ++i) {
    const double width = high - low;
    const double left = high - part * width;
    const double right = low + part * width;
    if (f(left) > f(right))
      high = right;
    else
      low = left;
  }
  return f(0.5 * (low + high));
}

void take_crossings(const OpenLoop& loop, double before, double w, LoopMargins& out) {
  const auto excess = [&](double x) { return std::log(std::abs(loop.at(x))); };
  const auto sideways = [&](double x) { return loop.at(x).imag(); };
  if ((excess(before) > 0) != (excess(w) > 0)) {
    const double x = root_between(before, w, excess);
    const double lead = std::remainder(std::arg(loop.at(x)) + kPi, 2 * kPi);
    if (lead * 180 / kPi < out.phase_margin_deg) {
      out.phase_margin_deg = lead * 180 / kPi;
      out.crossover_rad_s = x;
    }
    out.delay_margin_s = std::min(out.delay_margin_s, std::max(0.0, lead) / x);
  }
  if ((sideways(before) > 0) != (sideways(w) > 0)) {
    const double x = root_between(before, w, sideways);
    const double real = loop.at(x).real();
    if (real < 0 && -1 / real < out.gain_margin) {
      out.gain_margin = -1 / real;
      out.w180_rad_s = x;
    }
  }
}

double turn_between(Complex from, Complex to) { return std::arg(to / from); }

}  // namespace

LoopMargins loop_margins(const LoopController& controller, const ProcessModel& process) noexcept {
  const OpenLoop loop{controller, process};
  const FrequencyRange range = range_of(loop);
  const auto sensitivity = [&](double w) { return 1 / std::abs(1.0 + loop.at(w)); };
  const auto complementary = [&](double w) { return std::abs(loop.at(w) / (1.0 + loop.at(w))); };
  LoopMargins out{.gain_margin = kInfinite, .phase_margin_deg = kInfinite, .delay_margin_s = kInfinite};
  double w = range.low;
  double before = w;
  double earlier = w;
  double turned = 0;
  while (w < range.high) {
    earlier = before;
    before = w;
    w *= kFrequencyStep;
    turned += turn_between(1.0 + loop.at(before), 1.0 + loop.at(w));
    take_crossings(loop, before, w, out);
    const auto take_peak = [&](const auto& f, double& peak) {
      peak = std::max({peak, f(before), f(w)});
      if (f(before) >= f(earlier) && f(before) >= f(w)) peak = std::max(peak, peak_between(earlier, w, f));
    };
    take_peak(sensitivity, out.ms);
    take_peak(complementary, out.mt);
  }
  // 1 + L starts along the -90 degrees of each integrator and must end where it would without any turn
  // about 0: encirclements are unstable poles.
  const double start = std::arg(1.0 + loop.at(range.low));
  const double end = std::arg(1.0 + loop.at(w));
  const int integrators = (std::isfinite(controller.ti_s) ? 1 : 0) + (process.integrates ? 1 : 0);
  const double from = integrators == 2 && start > 0 ? start - 2 * kPi : start;
  out.stable = std::abs(from + turned - end) < kPi;
  return out;
}

}  // namespace leeward::control
