#include "sim/campaign/ar_index.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace leeward::sim {

namespace {

/// Lower triangle of a symmetric matrix, row by row, factored in place.
/// @returns false where it is not positive definite
bool factor_triangle(std::vector<double>& m, std::size_t size) {
  const auto at = [](std::size_t row, std::size_t column) { return row * (row + 1) / 2 + column; };
  for (std::size_t i = 0; i < size; ++i)
    for (std::size_t j = 0; j <= i; ++j) {
      double sum = m[at(i, j)];
      for (std::size_t k = 0; k < j; ++k) sum -= m[at(i, k)] * m[at(j, k)];
      if (i != j) {
        m[at(i, j)] = sum / m[at(j, j)];
      } else {
        if (!(sum > 0)) return false;
        m[at(i, i)] = std::sqrt(sum);
      }
    }
  return true;
}

std::vector<double> solve_triangles(const std::vector<double>& m, std::vector<double> b) {
  const auto at = [](std::size_t row, std::size_t column) { return row * (row + 1) / 2 + column; };
  const std::size_t size = b.size();
  for (std::size_t i = 0; i < size; ++i) {
    for (std::size_t k = 0; k < i; ++k) b[i] -= m[at(i, k)] * b[k];
    b[i] /= m[at(i, i)];
  }
  for (std::size_t i = size; i-- > 0;) {
    for (std::size_t k = i + 1; k < size; ++k) b[i] -= m[at(k, i)] * b[k];
    b[i] /= m[at(i, i)];
  }
  return b;
}

}  // namespace

ArModel fit_ar(std::span<const double> y, std::size_t order) {
  if (order == 0 || y.size() < 3 * order) return {};
  std::vector<double> normal(order * (order + 1) / 2);
  std::vector<double> right(order);
  double total = 0;
  for (std::size_t t = order; t < y.size(); ++t) {
    total += y[t] * y[t];
    for (std::size_t i = 0; i < order; ++i) {
      right[i] += y[t] * y[t - 1 - i];
      for (std::size_t j = 0; j <= i; ++j) normal[i * (i + 1) / 2 + j] += y[t - 1 - i] * y[t - 1 - j];
    }
  }
  if (!factor_triangle(normal, order)) return {};
  ArModel model;
  model.phi = solve_triangles(normal, right);
  double left = 0;
  for (std::size_t t = order; t < y.size(); ++t) {
    double residual = y[t];
    for (std::size_t i = 0; i < order; ++i) residual -= model.phi[i] * y[t - 1 - i];
    left += residual * residual;
  }
  const auto count = static_cast<double>(y.size() - order);
  model.variance = left / count;
  model.mean_square_y = total / count;
  return model;
}

double unpredictable_share(const ArModel& model, std::size_t horizon) {
  if (model.phi.empty() || !(model.mean_square_y > 0)) return std::numeric_limits<double>::quiet_NaN();
  std::vector<double> impulse{1};
  double sum = 1;
  for (std::size_t i = 1; i < horizon; ++i) {
    double f = 0;
    for (std::size_t k = 1; k <= std::min(i, model.phi.size()); ++k) f += model.phi[k - 1] * impulse[i - k];
    impulse.push_back(f);
    sum += f * f;
  }
  return model.variance * sum / model.mean_square_y;
}

}  // namespace leeward::sim
