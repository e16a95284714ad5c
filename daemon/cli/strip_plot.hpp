#pragma once
/// A course of values over time for a terminal.

#include <string>
#include <vector>

namespace leeward::daemon {

/// @param width   columns of the course; each shows all values of its time, from the lowest to the highest
/// @param height  rows
/// @returns lines with the scale at their left; empty without two finite values
[[nodiscard]] std::string strip_plot(const std::vector<double>& values, const std::string& title,
                                     int decimals, std::size_t width = 68, std::size_t height = 9);

}  // namespace leeward::daemon
