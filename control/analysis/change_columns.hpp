#pragma once

#include "control/analysis/change_rows.hpp"

namespace leeward::control {

inline double column_dot(const ChangeColumns& a, const ChangeColumns& b) {
  double sum = 0;
  for (std::size_t k = 0; k < a.size(); ++k) sum += a[k] * b[k];
  return sum;
}

inline void add_scaled(ChangeColumns& to, double factor, const ChangeColumns& v) {
  for (std::size_t k = 0; k < to.size(); ++k) to[k] += factor * v[k];
}

}  // namespace leeward::control
