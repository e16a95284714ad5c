#include "control/analysis/density_correction.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/control/analysis/worked_example.hpp"

namespace leeward::control {
namespace {

const SiteAir kExampleAir = site_air(worked_example::run().conditions);

TEST(SiteAir, MeetsTheWorkedExample) {
  // Ideal moist air with the Magnus form, computed apart.
  EXPECT_NEAR(kExampleAir.indoor.density.si(), 1.1621043, 1e-7);
  EXPECT_NEAR(kExampleAir.outdoor.density.si(), 1.2396945, 1e-7);
}

TEST(SiteAir, TakesTheStandardAtmosphereWithoutABarometer) {
  ConditionsSpec conditions;
  conditions.altitude_m = 2000;

  EXPECT_NEAR(site_air(conditions).barometric.si(), 79501.4, 0.2);  // US Standard Atmosphere, geometric
}

TEST(MeterFactor, UsesTheAirThatPassesTheFan) {
  // Computed apart for the worked example.
  EXPECT_NEAR(meter_factor(Direction::depressurize, kExampleAir, kg_per_m3(1.2041)), 1.0179085, 1e-7);
  EXPECT_NEAR(meter_factor(Direction::pressurize, kExampleAir, kg_per_m3(1.2041)), 0.9855393, 1e-7);
}

TEST(LeakFactor, KeepsTheMassAndTurnsWithTheDirection) {
  const double out = leak_factor(Direction::depressurize, kExampleAir);
  const double in = leak_factor(Direction::pressurize, kExampleAir);

  // Computed apart for the worked example.
  EXPECT_NEAR(out, 0.9374118, 1e-7);
  EXPECT_NEAR(in, 1.0667670, 1e-7);
  // The wrong direction's factor is off by the squared density ratio.
  EXPECT_NEAR(in / out, 1.13799, 1e-5);
  EXPECT_NEAR(in / out, std::pow(kExampleAir.outdoor.density / kExampleAir.indoor.density, 2), 1e-14);
}

TEST(ReferenceFactor, MeetsTheWorkedExample) {
  const Air reference = dry_air(celsius(20), pascals_absolute(101325));

  // Computed apart: factors of C with the fitted exponents 0.6867951 and 0.6729827.
  EXPECT_NEAR(reference_factor(0.6867951, kExampleAir.outdoor, reference, false), 1.0091662, 1e-6);
  EXPECT_NEAR(reference_factor(0.6729827, kExampleAir.indoor, reference, false), 0.9884580, 1e-6);
  EXPECT_NEAR(reference_factor(0.6867951, kExampleAir.outdoor, reference, true) /
                  reference_factor(0.6867951, kExampleAir.outdoor, reference, false),
              0.982752, 1e-6);
  EXPECT_NEAR(reference_factor(0.6729827, kExampleAir.indoor, reference, true) /
                  reference_factor(0.6729827, kExampleAir.indoor, reference, false),
              1.000911, 1e-6);
}

TEST(ReferenceFactor, MeetsBothLimitsOfTheFlowThroughALeak) {
  const Air leak{celsius(-5), kg_per_m3(1.3)};
  const Air reference{celsius(20), kg_per_m3(1.2)};

  // An orifice depends on density alone, a laminar leak on viscosity alone.
  EXPECT_NEAR(reference_factor(0.5, leak, reference, true), std::sqrt(1.3 / 1.2), 1e-14);
  EXPECT_EQ(reference_factor(1.0, leak, reference, false), 1);
  EXPECT_LT(reference_factor(1.0, leak, reference, true), 1);  // cold air is less viscous
  EXPECT_EQ(reference_factor(0.7, reference, reference, true), 1);
}

TEST(ReferenceFactor, HasTheSlopeThatItStates) {
  const Air leak{celsius(-5), kg_per_m3(1.3)};
  const Air reference{celsius(20), kg_per_m3(1.2)};
  for (const bool viscosity : {false, true}) {
    const double up = std::log(reference_factor(0.66, leak, reference, viscosity));
    const double down = std::log(reference_factor(0.64, leak, reference, viscosity));
    EXPECT_NEAR(reference_factor_slope(leak, reference, viscosity), (up - down) / 0.02, 1e-12);
  }
}

TEST(DensityCorrection, InSteadyAirIsTheKnownAltitudeFactor) {
  // q_std / q_read = (rho_0 / rho)^(n - 1/2); at n = 0.65 and 5000 ft 1.0280, computed apart.
  ConditionsSpec conditions{.indoor_rh_frac = 0, .outdoor_rh_frac = 0, .altitude_m = 1524};
  const SiteAir site = site_air(conditions);
  const Air reference = dry_air(celsius(20), pascals_absolute(101325));

  const double factor = meter_factor(Direction::depressurize, site, reference.density) *
                        leak_factor(Direction::depressurize, site) *
                        reference_factor(0.65, site.outdoor, reference, false);

  EXPECT_NEAR(factor, std::pow(reference.density / site.indoor.density, 0.15), 1e-12);
  EXPECT_NEAR(factor, 1.0280, 1e-4);
}

}  // namespace
}  // namespace leeward::control
