#pragma once
/// A pressure trace of any length in a bounded number of bins, each with its lowest and highest value.

#include <cstddef>
#include <vector>

namespace leeward::daemon {

struct EnvelopeBin {
  double at_s = 0;  ///< of the first value
  double low_pa = 0;
  double high_pa = 0;
  bool after_gap = false;  ///< values are missing just before it
};

class PressureEnvelope {
 public:
  static constexpr std::size_t kMostBins = 3000;

  /// Values in the order of time; one that is not finite makes a gap.
  void add(double at_s, double pressure_pa);
  [[nodiscard]] const std::vector<EnvelopeBin>& bins() const { return bins_; }

 private:
  void halve();
  std::vector<EnvelopeBin> bins_;
  double width_s_ = 0;  ///< of a bin; 0: every value has its own
  bool gap_ = false;
};

}  // namespace leeward::daemon
