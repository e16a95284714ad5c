#include "daemon/document/pressure_envelope.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::daemon {

void PressureEnvelope::add(double at_s, double pressure_pa) {
  if (!std::isfinite(at_s) || !std::isfinite(pressure_pa)) {
    gap_ = true;
    return;
  }
  if (!bins_.empty() && !gap_ && at_s < bins_.back().at_s + width_s_) {
    EnvelopeBin& bin = bins_.back();
    bin.low_pa = std::min(bin.low_pa, pressure_pa);
    bin.high_pa = std::max(bin.high_pa, pressure_pa);
    return;
  }
  bins_.push_back({at_s, pressure_pa, pressure_pa, gap_});
  gap_ = false;
  if (bins_.size() >= kMostBins) halve();
}

void PressureEnvelope::halve() {
  const double span_s = bins_.back().at_s - bins_.front().at_s;
  width_s_ = 2 * span_s / static_cast<double>(kMostBins);
  std::vector<EnvelopeBin> merged;
  for (std::size_t i = 0; i + 1 < bins_.size(); i += 2) {
    EnvelopeBin bin = bins_[i];
    bin.low_pa = std::min(bin.low_pa, bins_[i + 1].low_pa);
    bin.high_pa = std::max(bin.high_pa, bins_[i + 1].high_pa);
    bin.after_gap = bin.after_gap || bins_[i + 1].after_gap;
    merged.push_back(bin);
  }
  if (bins_.size() % 2 == 1) merged.push_back(bins_.back());
  bins_ = std::move(merged);
}

}  // namespace leeward::daemon
