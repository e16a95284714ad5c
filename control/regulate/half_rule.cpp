#include "control/regulate/half_rule.hpp"

#include <algorithm>
#include <functional>
#include <limits>
#include <utility>

namespace leeward::control {
namespace {

constexpr int kRounds = 30;  // the delay settles in two or three

struct Parts {
  double gain = 1;
  Factors lags_s;
  double delay_s = 0;  ///< the true one, inverse responses and half a period
};

/// Index of the lag next above a zero, else next below it; lags come in falling order.
std::size_t partner_of(double zero, const Factors& lags) {
  std::size_t best = 0;
  for (std::size_t i = 0; i < lags.size(); ++i)
    if (lags[i] >= zero) best = i;
  return best;
}

void sort_falling(Factors& lags) { std::sort(lags.begin(), lags.end(), std::greater<>()); }

/// @param theta  the delay of the reduced model, as far as known
void cancel(double zero, double theta, Parts& parts) {
  if (parts.lags_s.empty()) return;
  const std::size_t i = partner_of(zero, parts.lags_s);
  const double lag = parts.lags_s[i];
  parts.lags_s.erase_at(i);
  if (zero >= lag) {
    if (zero >= theta) parts.gain *= zero / std::max(lag, theta);
  } else if (zero >= 5 * theta) {
    parts.gain *= zero / lag;
  } else {
    const double kept = std::max(zero, std::min(lag, 5 * theta));
    parts.gain *= kept / lag;
    if (kept > zero) parts.lags_s.push_back(kept - zero);
  }
  sort_falling(parts.lags_s);
}

Parts parts_of(const ProcessModel& process, double period_s, double theta) {
  Parts parts{process.gain, process.lags_s, process.delay_s + 0.5 * period_s};
  sort_falling(parts.lags_s);
  Factors zeros = process.zeros_s;
  sort_falling(zeros);
  for (const double zero : zeros) {
    if (zero > 0)
      cancel(zero, theta, parts);
    else
      parts.delay_s -= zero;
  }
  return parts;
}

ReducedModel reduced(const Parts& parts, bool integrates, ModelOrder order) {
  ReducedModel out;
  out.integrates = integrates;
  LagModel& m = out.model;
  m = {.gain = parts.gain, .tau_s = std::numeric_limits<double>::infinity(), .delay_s = parts.delay_s};
  std::size_t next = 0;
  const auto take = [&] { return next < parts.lags_s.size() ? parts.lags_s[next++] : 0.0; };
  if (!integrates) m.tau_s = take();
  if (order == ModelOrder::second) m.tau2_s = take();
  const double halved = take();
  m.delay_s += 0.5 * halved;
  (order == ModelOrder::second ? m.tau2_s : m.tau_s) += 0.5 * halved;
  if (m.tau2_s > m.tau_s) std::swap(m.tau_s, m.tau2_s);  // of equal lags the halved one has grown
  while (next < parts.lags_s.size()) m.delay_s += take();
  return out;
}

}  // namespace

ReducedModel half_rule(const ProcessModel& process, ModelOrder order, double period_s) noexcept {
  ReducedModel out;
  double theta = process.delay_s;
  for (int round = 0; round < kRounds; ++round) {
    out = reduced(parts_of(process, period_s, theta), process.integrates, order);
    if (out.model.delay_s == theta) break;
    theta = out.model.delay_s;
  }
  return out;
}

}  // namespace leeward::control
