#include "control/analysis/change_lens.hpp"

#include <algorithm>
#include <cmath>

#include "control/analysis/change_columns.hpp"
#include "control/analysis/gust_grid.hpp"

namespace leeward::control {

ChangeLens::ChangeLens(const ChangeRows& rows, const GustProcess& gusts, const ChangePriors& priors,
                       Use use) noexcept
    : rows_(rows), gusts_(gusts), priors_(priors) {
  make_steps();
  whiten_rows();
  if (use == Use::changes) whiten_back();
  set_prior(ln_gust_prior(gusts));
  factorize();
}

/// The filter of the gusts (see GustFilter) does the same to every column, so its steps are made once.
void ChangeLens::make_steps() noexcept {
  const double stationary = gusts_.sd_pa * gusts_.sd_pa;
  double variance = stationary;
  double end_s = 0;
  for (std::size_t i = 0; i < rows_.rows.size(); ++i) {
    const ChangeRow& row = rows_.rows[i];
    const GustStep s = gust_step(gusts_, variance, i == 0 ? -1 : std::max(0.0, row.begin_s - end_s),
                                 row.length_s, row.white_pa);
    steps_[i] = {s.pass, s.into_mean, s.keeps, s.gain, std::sqrt(s.weight)};
    ln_likelihood_ += 0.5 * std::log(s.weight);
    variance = s.end_variance;
    end_s = row.begin_s + row.length_s;
  }
}

void ChangeLens::whiten_rows() noexcept {
  ChangeColumns mean_x{};
  double mean_y = 0;
  const std::size_t count = rows_.rows.size();
  for (std::size_t i = 0; i < count; ++i) {
    const Step& s = steps_[i];
    const ChangeRow& row = rows_.rows[i];
    for (std::size_t k = 0; k < kSize; ++k) {
      mean_x[k] *= s.pass;
      const double e = row.x[k] - s.into_mean * mean_x[k];
      white_x_[i][k] = s.root_weight * e;
      mean_x[k] = s.keeps * mean_x[k] + s.gain * e;
    }
    mean_y *= s.pass;
    const double e = row.y - s.into_mean * mean_y;
    white_y_[i] = s.root_weight * e;
    mean_y = s.keeps * mean_y + s.gain * e;
    yy_ += white_y_[i] * white_y_[i];
    add_scaled(xy_, white_y_[i], white_x_[i]);
    for (std::size_t k = 0; k < kSize; ++k)
      for (std::size_t j = 0; j <= k; ++j) normal_[k][j] += white_x_[i][k] * white_x_[i][j];
  }
}

/// Backwards through the adjoint of the filter: the inverse covariance times each column.
void ChangeLens::whiten_back() noexcept {
  ChangeColumns ahead_x{};
  double ahead_y = 0;
  for (std::size_t i = rows_.rows.size(); i-- > 0;) {
    const Step& s = steps_[i];
    for (std::size_t k = 0; k < kSize; ++k) {
      const double e = s.root_weight * white_x_[i][k] + s.gain * ahead_x[k];
      back_x_[i][k] = e;
      ahead_x[k] = s.pass * (s.keeps * ahead_x[k] - s.into_mean * e);
    }
    const double e = s.root_weight * white_y_[i] + s.gain * ahead_y;
    back_y_[i] = e;
    ahead_y = s.pass * (s.keeps * ahead_y - s.into_mean * e);
  }
}

void ChangeLens::set_prior(double ln_gusts) noexcept {
  const LoadPrior load = rough_load_prior(rows_.stack_pa, gusts_.sd_pa);
  ChangeColumns u = rows_.prior_u;
  ChangeColumns mean = rows_.prior_mean;
  u[kLoad] = load.load_pa;
  u[kSpread] = load.spread_u_pa2 + 1e-6;
  mean[kSpread] = load.spread_pa2;
  u[kAfterColumn] = std::hypot(priors_.after_pa, priors_.after_of_gusts * gusts_.sd_pa);
  u[kDriftColumn] = std::hypot(priors_.drift_pa, priors_.drift_of_gusts * gusts_.sd_pa);
  ln_likelihood_ += ln_gusts;
  for (std::size_t k = 0; k < kSize; ++k) {
    if (!(u[k] > 0)) u[k] = 1;  // a column without a use
    const double precision = 1 / (u[k] * u[k]);
    normal_[k][k] += precision;
    xy_[k] += precision * mean[k];
    yy_ += precision * mean[k] * mean[k];
    ln_likelihood_ -= std::log(u[k]);
  }
}

void ChangeLens::factorize() noexcept {
  for (std::size_t k = 0; k < kSize; ++k) {
    for (std::size_t j = 0; j <= k; ++j) {
      double sum = normal_[k][j];
      for (std::size_t i = 0; i < j; ++i) sum -= normal_[k][i] * normal_[j][i];
      normal_[k][j] = k == j ? std::sqrt(std::max(sum, 1e-30)) : sum / normal_[j][j];
    }
    ln_likelihood_ -= std::log(normal_[k][k]);
  }
  half_xy_ = half(xy_);
  mean_ = whole(half_xy_);
  ln_likelihood_ -= 0.5 * (yy_ - column_dot(half_xy_, half_xy_));
}

ChangeColumns ChangeLens::half(ChangeColumns v) const noexcept {
  for (std::size_t k = 0; k < kSize; ++k) {
    for (std::size_t j = 0; j < k; ++j) v[k] -= normal_[k][j] * v[j];
    v[k] /= normal_[k][k];
  }
  return v;
}

ChangeColumns ChangeLens::whole(ChangeColumns v) const noexcept {
  for (std::size_t k = kSize; k-- > 0;) {
    for (std::size_t j = k + 1; j < kSize; ++j) v[k] -= normal_[j][k] * v[j];
    v[k] /= normal_[k][k];
  }
  return v;
}

double ChangeLens::unknown_u(int column) const noexcept {
  ChangeColumns one{};
  one[static_cast<std::size_t>(column)] = 1;
  const ChangeColumns h = half(one);
  return std::sqrt(column_dot(h, h));
}

void ChangeLens::whiten(const Whitened& effect, std::size_t from, Whitened& out) const noexcept {
  double mean = 0;
  for (std::size_t i = from; i < rows_.rows.size(); ++i) {
    const Step& s = steps_[i];
    mean *= s.pass;
    const double e = effect[i] - s.into_mean * mean;
    out[i] = s.root_weight * e;
    mean = s.keeps * mean + s.gain * e;
  }
}

ChangeGain ChangeLens::gain_of(ChangeKind kind, double with_y, double itself) const noexcept {
  const double u = priors_.size_u[static_cast<std::size_t>(kind)];
  const double precision = std::max(0.0, itself) + 1 / (u * u);
  return {0.5 * with_y * with_y / precision - 0.5 * std::log(u * u * precision), with_y / precision,
          1 / std::sqrt(precision)};
}

ChangeLens::Column ChangeLens::column(const Change& change) const noexcept {
  Whitened effect{};
  Whitened white{};
  const auto kind = static_cast<std::size_t>(change.kind);
  ChangeColumns with_x{};
  Column out;
  for (std::size_t i = change.from; i < rows_.rows.size(); ++i) {
    double share = i == change.from ? 1 - change.from_part : 1;
    if (change.passing && i >= change.to) share = i == change.to ? change.to_part : 0;
    effect[i] = share * rows_.rows[i].effect[kind];
    add_scaled(with_x, effect[i], back_x_[i]);
    out.with_y += effect[i] * back_y_[i];
  }
  whiten(effect, change.from, white);
  for (std::size_t i = change.from; i < rows_.rows.size(); ++i) out.itself += white[i] * white[i];
  out.half = half(with_x);
  out.with_y -= column_dot(out.half, half_xy_);
  out.itself -= column_dot(out.half, out.half);
  return out;
}

ChangeGain ChangeLens::gain(const Change& change) const noexcept {
  const Column c = column(change);
  return gain_of(change.kind, c.with_y, c.itself);
}

ChangeColumns ChangeLens::unknowns_with(const Change& change) const noexcept {
  const Column c = column(change);
  const ChangeGain found = gain_of(change.kind, c.with_y, c.itself);
  ChangeColumns left = half_xy_;
  add_scaled(left, -found.size, c.half);
  return whole(left);
}

}  // namespace leeward::control
