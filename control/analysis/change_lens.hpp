#pragma once
/// The rows of one direction seen through given gusts: how likely they are without a change, and how much
/// likelier with one. Made once for all the places where a change may have begun.

#include "control/analysis/change_rows.hpp"

namespace leeward::control {

/// A change that begins at a row and lasts, or ends again. A row's part: it begins or ends inside the block.
struct Change {
  ChangeKind kind = ChangeKind::opening;
  std::size_t from = 0;
  double from_part = 0;  ///< of the block that is still as before, 0 to 1
  bool passing = false;
  std::size_t to = 0;
  double to_part = 0;  ///< of the block that is still changed
};

/// What a change explains, with its size averaged over its prior.
struct ChangeGain {
  double ln_ratio = 0;  ///< logarithm of the likelihood with it over that without
  double size = 0;      ///< in the kind's unit
  double u = 0;
};

/// What the lens takes to be possible beforehand: standard uncertainties.
struct ChangePriors {
  std::array<double, kChangeKinds> size_u{};
  double drift_pa = 0;        ///< slow drift of the zero flow ...
  double drift_of_gusts = 0;  ///< ... with this part of the gusts' standard deviation
  double after_pa = 0;        ///< what the closing reading may differ by more, likewise
  double after_of_gusts = 0;
};

class ChangeLens {
 public:
  enum class Use : std::uint8_t { likelihood, changes };  ///< the first is cheaper, and can't look at changes
  ChangeLens(const ChangeRows& rows, const GustProcess& gusts, const ChangePriors& priors,
             Use use = Use::changes) noexcept;

  /// Logarithm of the likelihood without a change times the prior of the gusts, up to a constant.
  [[nodiscard]] double ln_likelihood() const noexcept { return ln_likelihood_; }
  [[nodiscard]] const ChangeColumns& unknowns() const noexcept { return mean_; }
  [[nodiscard]] double unknown_u(int column) const noexcept;

  [[nodiscard]] ChangeGain gain(const Change& change) const noexcept;
  /// The unknowns with that change.
  [[nodiscard]] ChangeColumns unknowns_with(const Change& change) const noexcept;

  /// Gains of the changes of a kind that last, by the row in which they begin: the best place in it.
  struct Lasting {
    std::array<ChangeGain, kMostChangeRows> gain;
    std::array<double, kMostChangeRows> part;
  };
  void lasting(ChangeKind kind, Lasting& out) const noexcept;
  /// The best change that begins and ends between or inside rows of the stations.
  /// @returns whether there is a place for one
  bool best_passing(ChangeKind kind, Change& best, ChangeGain& gain) const noexcept;

 private:
  static constexpr std::size_t kSize = kChangeColumns;
  struct Step {       ///< of the filter over a row
    double pass = 1;  ///< what a gust keeps over the gap before
    double into_mean = 1;
    double keeps = 1;
    double gain = 0;
    double root_weight = 1;  ///< 1 / standard deviation of the innovation
  };
  struct Column {  ///< what a change has to do with the unknowns, with what was read, with itself
    ChangeColumns half{};
    double with_y = 0;
    double itself = 0;
  };
  using Whitened = std::array<double, kMostChangeRows>;
  /// A change that begins at a row and lasts, in the lens.
  struct Place {
    Whitened white;
    ChangeColumns half;
    double with_y;
    double itself;
  };
  struct Places {
    std::array<Place, kMostStationRows> at;
    std::array<std::array<double, kMostStationRows>, kMostStationRows> both;  ///< [earlier][later]
  };
  struct Sum {  ///< over the rows from one on
    Sum(const ChangeRows& rows, ChangeKind kind);
    Whitened effect{};
    ChangeColumns with_x{};
    double with_y = 0;
  };
  struct Start;
  void take_row(std::size_t row, Sum& sum) const noexcept;
  void set_place(const Sum& sum, std::size_t from, Place& place) const noexcept;
  void set_places(ChangeKind kind, Places& places) const noexcept;
  [[nodiscard]] double together(const Place& a, const Place& b, std::size_t from) const noexcept;
  [[nodiscard]] ChangeGain best_part(ChangeKind kind, const Place& here, const Place& next, double both,
                                     bool inside, double& best) const noexcept;
  void make_steps() noexcept;
  void whiten_rows() noexcept;
  void whiten_back() noexcept;
  void set_prior(double ln_gusts) noexcept;
  void factorize() noexcept;
  [[nodiscard]] ChangeColumns half(ChangeColumns v) const noexcept;   ///< root^-1 v
  [[nodiscard]] ChangeColumns whole(ChangeColumns v) const noexcept;  ///< root^-T v
  void whiten(const Whitened& effect, std::size_t from, Whitened& out) const noexcept;
  [[nodiscard]] Column column(const Change& change) const noexcept;
  [[nodiscard]] ChangeGain gain_of(ChangeKind kind, double with_y, double itself) const noexcept;

  const ChangeRows& rows_;
  GustProcess gusts_;
  ChangePriors priors_;
  std::array<Step, kMostChangeRows> steps_;
  std::array<ChangeColumns, kMostChangeRows> white_x_;
  std::array<double, kMostChangeRows> white_y_;
  std::array<ChangeColumns, kMostChangeRows> back_x_;  ///< inverse covariance times the columns
  std::array<double, kMostChangeRows> back_y_;
  std::array<ChangeColumns, kSize> normal_{};  ///< then its lower root
  ChangeColumns xy_{};
  ChangeColumns half_xy_{};
  ChangeColumns mean_{};
  double yy_ = 0;
  double ln_likelihood_ = 0;
};

}  // namespace leeward::control
