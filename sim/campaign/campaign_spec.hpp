#pragma once
/// A campaign as data: from which houses and winds to draw, what to run on them, and with which settings.

#include "control/fixed_text.hpp"
#include "sim/campaign/fault_scenario.hpp"
#include "sim/campaign/gust_scenario.hpp"
#include "sim/campaign/test_scenario.hpp"
#include "sim/population_spec.hpp"

namespace leeward::sim {

/// Wind classes, m/s at 10 m in the local terrain.
using WindClasses = control::FixedVector<double, 8>;

struct NamedTool {
  control::Name name;
  Tool tool;
  template <class V>
  static void describe(V&& v) {
    v("name", &NamedTool::name);
    v("tool", &NamedTool::tool);
  }
};

struct CampaignSpec {
  control::Name name;
  PopulationSpec houses;
  bool has_steps = false;
  StepScenario steps;  ///< in calm air
  bool has_gusts = false;
  GustScenario gusts;
  WindClasses gust_winds_m_s;
  bool has_tests = false;
  TestScenario tests;
  WindClasses test_winds_m_s;
  bool has_faults = false;
  FaultScenario faults;
  /// One, or two to compare on the same houses and gusts.
  control::FixedVector<NamedTool, 2> tools;
  template <class V>
  static void describe(V&& v) {
    using C = CampaignSpec;
    v("name", &C::name);
    v("houses", &C::houses);
    v("has_steps", &C::has_steps);
    v("steps", &C::steps);
    v("has_gusts", &C::has_gusts);
    v("gusts", &C::gusts);
    v("gust_winds_m_s", &C::gust_winds_m_s);
    v("has_tests", &C::has_tests);
    v("tests", &C::tests);
    v("test_winds_m_s", &C::test_winds_m_s);
    v("has_faults", &C::has_faults);
    v("faults", &C::faults);
    v("tools", &C::tools);
  }
};

}  // namespace leeward::sim
