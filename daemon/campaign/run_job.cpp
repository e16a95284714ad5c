#include "daemon/campaign/run_job.hpp"

#include <cmath>
#include <limits>

#include "sim/random_house.hpp"

namespace leeward::daemon {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kMostDemand = 0.97;  // of a fan that still has something in hand against gusts

double as_number(bool flag) { return flag ? 1 : 0; }

void run_step_job(const sim::CampaignSpec& spec, const sim::HouseSpec& house, const Job& job, RunRow& row) {
  sim::StepRun run = sim::run_steps(house, spec.tools[job.tool].tool, spec.steps, job.seed);
  row.figures.push_back(as_number(run.tripped));
  for (const sim::StepOutcome& step : run.steps)
    for (const double figure : {step.settling_s, step.overshoot_pa, as_number(step.settled), step.floor_s,
                                step.settling_s / step.floor_s})
      row.figures.push_back(figure);
  if (run.learnt) {
    const sim::DriveLearnt& d = *run.learnt;
    const double judged[] = {d.slew_error, d.lag_error, d.sensor_lag_error, d.signal_lag_error,
                             d.dead_band_error_frac};
    row.figures.push_back(as_number(d.found));
    row.figures.push_back(d.lasted_s);
    row.figures.push_back(d.highest_pa);
    for (const double error : judged) row.figures.push_back(d.found ? error : kNone);
  } else {
    row.figures.resize(row.figures.size() + std::size(kDriveColumns), kNone);
  }
  row.response = std::move(run.response_pa);
}

void run_gust_job(const sim::CampaignSpec& spec, const sim::HouseSpec& house, const Job& job, RunRow& row) {
  const sim::GustRun run = sim::run_gusts(house, spec.tools[job.tool].tool, spec.gusts, job.seed);
  // After a trip the fan stands: what the pressure does then says nothing of how it was held.
  const bool left_out = !run.reached || run.tripped || run.mean_demand_frac > kMostDemand;
  row.figures = {as_number(left_out), as_number(run.tripped), run.reached ? run.mean_demand_frac : kNone};
  const double rest[] = {run.rms_pa,       run.constant_rms_pa, run.rms_pa / run.constant_rms_pa,
                         run.index_half_s, run.index_1_s,       run.index_2_s};
  for (const double figure : rest) row.figures.push_back(run.reached ? figure : kNone);
}

void run_test_job(const sim::CampaignSpec& spec, const sim::HouseSpec& house, const Job& job, RunRow& row) {
  const sim::TestRun run = sim::run_test(house, spec.tools[job.tool].tool, spec.tests, job.seed);
  const bool measured = run.end == sim::TestEnd::valid || run.end == sim::TestEnd::invalid;
  row.figures = {static_cast<double>(run.end), run.minutes};
  const double rest[] = {run.q50_error_frac, run.q50_half_frac, as_number(run.q50_held),
                         run.n_error,        run.n_half,        as_number(run.n_held)};
  for (const double figure : rest) row.figures.push_back(measured ? figure : kNone);
  row.figures.push_back(measured ? run.choice_right : kNone);
  row.figures.push_back(run.changes);
  row.figures.push_back(measured ? run.excess_changes : kNone);
}

void run_fault_job(const sim::CampaignSpec& spec, const sim::HouseSpec& house, const Job& job, RunRow& row) {
  const sim::FaultKind kind = spec.faults.kinds[job.fault];
  const sim::FaultRun run = sim::run_fault(house, spec.tools[job.tool].tool, spec.faults, kind, job.seed);
  const bool measured = run.end == sim::TestEnd::valid || run.end == sim::TestEnd::invalid;
  row.figures = {run.wind_m_s,
                 as_number(run.happened),
                 run.happened ? static_cast<double>(run.phase) : kNone,
                 run.happened ? run.at_s : kNone,
                 run.size,
                 static_cast<double>(run.end),
                 static_cast<double>(run.cause),
                 as_number(run.named),
                 as_number(run.demanded),
                 run.demanded ? run.to_safe_s : kNone,
                 run.beyond_s,
                 as_number(run.false_trip),
                 measured ? run.q50_error_frac : kNone,
                 measured ? run.q50_half_frac : kNone,
                 as_number(run.wrong_as_valid)};
}

}  // namespace

RunRow run_job(const sim::CampaignSpec& spec, const Job& job, std::size_t number) {
  RunRow row{.job = number, .figures = {}, .response = {}};
  sim::HouseSpec house = sim::random_house(job.seed, spec.houses);
  house.wind.mean_m_s = job.wind_m_s;
  if (job.scenario == Scenario::steps) run_step_job(spec, house, job, row);
  if (job.scenario == Scenario::gusts) run_gust_job(spec, house, job, row);
  if (job.scenario == Scenario::tests) run_test_job(spec, house, job, row);
  if (job.scenario == Scenario::faults) run_fault_job(spec, house, job, row);
  for (double& figure : row.figures)
    if (!std::isfinite(figure)) figure = kNone;
  return row;
}

}  // namespace leeward::daemon
