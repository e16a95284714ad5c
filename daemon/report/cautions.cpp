#include "daemon/report/cautions.hpp"

#include <algorithm>

#include "daemon/report/assumed_exponent.hpp"
#include "daemon/words/figures.hpp"
#include "daemon/words/fit_text.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/take_up_text.hpp"

namespace leeward::daemon {

namespace {

using control::CheckOutcome;
using control::RunState;

using Cautions = std::vector<std::string>;

void about_state(RunState state, const control::RunResult& result, Cautions& out) {
  if (state != RunState::done && state != RunState::invalid)
    out.push_back("The run did not go to its end (" + std::string(name_of(state)) + ").");
  if (!result.computed) out.push_back("There were not enough stations for a result.");
}

void about_direction(const control::DirectionResult& d, double reference_pa, Cautions& out) {
  const std::string which(name_of(d.direction));
  if (d.extrapolated)
    out.push_back("The highest pressure reached (" + which + ") was " + pressure_text(d.highest_pa) +
                  ". The flow at " + target_text(reference_pa) +
                  " is extrapolated along the curve, with a larger uncertainty: " +
                  figure_text(100 * d.budget.exponent, "%") + " of its standard uncertainty of " +
                  figure_text(100 * d.budget.total, "%") + " come from that.");
  if (!d.own.valid && d.own.n.known) out.push_back("The stations (" + which + ") do not give an exponent.");
  const auto out_of_range =
      std::count_if(d.stations.begin(), d.stations.end(), [](const auto& s) { return !s.signal_in_range; });
  if (out_of_range > 0)
    out.push_back(std::to_string(out_of_range) + " of " + std::to_string(d.stations.size()) + " stations (" +
                  which +
                  ") have a fan-side signal outside the range for which the restriction is calibrated.");
  const auto unsettled =
      std::count_if(d.stations.begin(), d.stations.end(), [](const auto& s) { return !s.settled; });
  if (unsettled > 0)
    out.push_back(std::to_string(unsettled) + " of " + std::to_string(d.stations.size()) + " stations (" +
                  which + ") were taken as they were: the target was not reached and held.");
}

void about_checks(const control::RunRecord& record, const control::RunResult& result, Cautions& out) {
  bool unchecked = false;
  for (const control::Verdict& v : result.verdicts) {
    const auto check = static_cast<std::size_t>(v.check);
    if (v.check < 0 || check >= record.procedure.checks.size()) continue;
    unchecked = unchecked || (v.outcome != CheckOutcome::not_applicable &&
                              record.procedure.checks[check].mark == control::Mark::memory);
  }
  if (unchecked)
    out.push_back("Some limits are not checked against the standard's text: see each verdict's mark.");
}

void about_wind(const control::RunRecord& record, const control::RunResult& result, Cautions& out) {
  constexpr double worth_saying_frac = 0.01;
  if (!record.conditions.has_wind || result.wind_bound_frac < worth_saying_frac) return;
  out.push_back("A steady wind of " + figure_text(record.conditions.wind_m_s, "m/s") +
                ", as reported, can shift the flow of one direction at " +
                target_text(record.procedure.reference_pressure_pa) + " by up to " +
                figure_text(100 * result.wind_bound_frac, "%") +
                ", however the leaks lie; most of it cancels in the mean of both directions.");
}

void about_uncertainty(const control::RunRecord& record, Cautions& out) {
  if (!calibration_is_stated(record))
    out.push_back("The fan file states no uncertainty of the calibration, so the intervals leave it out.");
  if (!(record.building_gauge_accuracy_frac > 0))
    out.push_back("No accuracy of the building pressure's gauge is stated, so the intervals leave it out.");
}

}  // namespace

bool calibration_is_stated(const control::RunRecord& record) {
  bool stated = true;
  for (const control::DirectionRecord& d : record.directions)
    for (const control::StationRecord& s : d.stations) stated = stated && s.flow_k_relative_u > 0;
  return stated;
}

Cautions cautions_of(RunState state, const control::RunRecord& record, const control::RunResult& result) {
  Cautions out;
  if (std::string text = continuation_text(record); !text.empty()) out.push_back(std::move(text));
  about_state(state, result, out);
  for (const control::DirectionResult& d : result.directions)
    about_direction(d, record.procedure.reference_pressure_pa, out);
  if (result.computed && exponent_assumed(result, record.procedure))
    out.push_back(assumed_exponent_text(record.procedure));
  if (result.computed) about_uncertainty(record, out);
  if (result.computed) about_wind(record, result, out);
  about_checks(record, result, out);
  return out;
}

}  // namespace leeward::daemon
