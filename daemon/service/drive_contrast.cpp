#include "daemon/service/drive_contrast.hpp"

#include <array>
#include <cmath>

#include "daemon/words/figures.hpp"

namespace leeward::daemon {
namespace {
using control::DriveFound;
using control::RegulatorSpec;

constexpr double kStrongFactor = 2;
constexpr double kTwoSided95 = 1.96;

struct ToldFigure {
  const char* key;  ///< in [regulator] of the rig file
  double RegulatorSpec::*told;
  control::FoundFigure DriveFound::*found;
};
constexpr auto kToldFigures = std::to_array<ToldFigure>({
    {"drive_slew_s", &RegulatorSpec::drive_slew_s, &DriveFound::slew_s},
    {"drive_lag_s", &RegulatorSpec::drive_lag_s, &DriveFound::lag_s},
    {"sensor_lag_s", &RegulatorSpec::sensor_lag_s, &DriveFound::sensor_lag_s},
    {"signal_lag_s", &RegulatorSpec::signal_lag_s, &DriveFound::signal_lag_s},
});

bool is_far(double told, const control::FoundFigure& found) {
  const bool factor = told > kStrongFactor * found.value || found.value > kStrongFactor * told;
  return factor && std::abs(told - found.value) > kTwoSided95 * found.u;
}

}  // namespace

std::vector<std::string> drive_contrasts(const RegulatorSpec& told, const DriveFound& found) {
  std::vector<std::string> out;
  for (const ToldFigure& f : kToldFigures) {
    const double value = told.*f.told;
    const control::FoundFigure& figure = found.*f.found;
    if (!is_far(value, figure)) continue;
    out.push_back(std::string(f.key) + ": found " + figure_text(figure.value, "s") +
                  ", the rig file tells (or takes as usual) " + figure_text(value, "s") +
                  ". Look whether the drive and its tubes are the ones that you mean, and whether a door was "
                  "opened meanwhile; then learn again or correct the file.");
  }
  return out;
}

}  // namespace leeward::daemon
