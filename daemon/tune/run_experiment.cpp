#include "daemon/tune/run_experiment.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "control/regulate/first_order_fit.hpp"
#include "control/regulate/half_rule.hpp"
#include "control/regulate/step_experiment.hpp"
#include "daemon/words/figures.hpp"
#include "daemon/words/trip_text.hpp"

namespace leeward::daemon {
namespace {

using control::ExperimentEnd;
using control::Refusal;
using control::Result;

constexpr double kBaseline = 20;          // s
constexpr double kReach = 240;            // s in which a pressure must stand
constexpr double kStands = 20;            // s without leaving ...
constexpr double kNear = 1.5;             // ... so many Pa about it
constexpr double kMean = 10;              // s over which the demand of the hold is taken
constexpr double kQuiet = 20;             // s at that demand, to see the noise
constexpr double kReachShare = 0.7;       // of the bound: where the pressure would end up if the relay stuck
constexpr double kMostAmplitude = 0.045;  // both ways and back within what a hold may be moved by
constexpr double kNoiseFactor = 3.3;      // hysteresis over the noise: above 3 none turns the relay
constexpr double kLeastHysteresis = 0.3;  // Pa: three steps of a usual gauge
constexpr double kMostHysteresis = 0.5;   // of the pressure's reach: beyond it the wind would turn the relay
constexpr int kTries = 3;
constexpr double kSmaller = 0.6;  // step after one that left the bounds
constexpr double kLeastExplained = 0.7;
constexpr double kAfter = 20;  // s with the regulator after it

tl::unexpected<control::Error> failed(std::string text) {
  return tl::make_unexpected(control::Error{control::Errc::out_of_range, "tune", std::move(text)});
}

std::string end_text(ExperimentEnd end, double bound_pa, const TuneRest& rest) {
  switch (end) {
    case ExperimentEnd::out_of_bounds:
      return "the pressure left its bounds of " + pressure_text(bound_pa) +
             " about the hold; at a kept demand the wind alone had moved it by " +
             pressure_text(rest.noise_pa) + " (standard deviation)";
    case ExperimentEnd::out_of_time:
      return "the loop did not swing within the time: the wind, or a fan that does not follow";
    case ExperimentEnd::bad_reading:
      return "the readings failed";
    default:
      return "it was stopped";
  }
}

double mean_of_last(const std::vector<double>& values, std::size_t count) {
  const auto n = std::min(count, values.size());
  return std::accumulate(values.end() - static_cast<std::ptrdiff_t>(n), values.end(), 0.0) /
         static_cast<double>(n);
}

std::size_t ticks_in(const TuneBench& bench, double seconds) {
  return static_cast<std::size_t>(std::lround(seconds / bench.period_s()));
}

/// Keeps the mean demand of the hold and looks at what the pressure does by itself.
Result<TuneRest> rest_on(TuneBench& bench) {
  TuneRest rest;
  rest.demand_frac = mean_of_last(bench.record().demand_frac, ticks_in(bench, kMean));
  if (bench.keep(rest.demand_frac) != Refusal::accepted) return failed("the hold can't be kept");
  bench.tick_for(kQuiet);
  if (bench.trip().active()) return failed(trip_text(bench.trip()));
  const auto& y = bench.record().pressure_pa;
  const std::size_t n = ticks_in(bench, 0.8 * kQuiet);
  rest.pressure_pa = mean_of_last(y, n);
  double squares = 0;
  for (std::size_t i = y.size() - n; i < y.size(); ++i)
    squares += (y[i] - rest.pressure_pa) * (y[i] - rest.pressure_pa);
  rest.noise_pa = std::sqrt(squares / static_cast<double>(n));
  return rest;
}

/// Steps an experiment along the bench until it ends; the demand is base again and the regulator takes over.
template <class Step>
Result<ExperimentEnd> drive(TuneBench& bench, TuneExperiment& experiment,
                            const control::ExperimentWatch& watch, const Step& step) {
  const double began_s = bench.time_s();
  const std::size_t first = bench.record().pressure_pa.size();
  while (watch.end == ExperimentEnd::running && !bench.trip().active()) {
    const control::ExperimentInput in{bench.period_s(), bench.fresh(), bench.pressure_pa(), false};
    const double demand = step(in);
    if (bench.keep(demand) != Refusal::accepted) break;
  }
  const auto& record = bench.record();
  const auto from = static_cast<std::ptrdiff_t>(first);
  experiment.record.demand_frac.assign(record.demand_frac.begin() + from, record.demand_frac.end());
  experiment.record.pressure_pa.assign(record.pressure_pa.begin() + from, record.pressure_pa.end());
  experiment.lasted_s = bench.time_s() - began_s;
  for (const double y : experiment.record.pressure_pa)
    experiment.furthest_pa = std::max(experiment.furthest_pa, std::abs(y - watch.centre_pa));
  if (bench.trip().active()) return failed("a trip ended the experiment: " + trip_text(bench.trip()));
  return watch.end;
}

double amplitude_for(const TuneBench& bench, double pressure_pa, double bound_pa) {
  const double gain = control::plant_gain_pa(bench.learnt(), pressure_pa, bench.rig().limits.demand_max_frac);
  return std::min(kMostAmplitude, kReachShare * bound_pa / gain);
}

/// How long a step must last to be seen whole.
double step_time_s(const TuneBench& bench, double pressure_pa) {
  const double lags = bench.rig().regulator.drive_lag_s + bench.rig().regulator.sensor_lag_s +
                      control::zone_time_s(bench.learnt(), pressure_pa);
  return std::clamp(6.0 * lags, 15.0, 90.0);
}

/// One step up and back, as it went.
Result<ExperimentEnd> drive_step(TuneBench& bench, double bound_pa, TuneExperiment& experiment) {
  const double up_s = step_time_s(bench, experiment.rest.pressure_pa);
  const control::StepSpec spec{.amplitude_frac = experiment.amplitude_frac,
                               .rest_s = 5,
                               .up_s = up_s,
                               .back_s = up_s,
                               .bounds = {.bound_pa = bound_pa, .most_s = 3 * up_s + 60}};
  control::StepState s = control::step_start(experiment.rest.demand_frac, experiment.rest.pressure_pa);
  return drive(bench, experiment, s.watch,
               [&](const control::ExperimentInput& in) { return control::step_step(spec, s, in); });
}

/// The step with what it says. Where the plant has more gain than was learnt of it, the step is made smaller.
Result<control::LagModel> one_step(TuneBench& bench, double bound_pa, TuneExperiment& experiment) {
  auto end = drive_step(bench, bound_pa, experiment);
  for (int again = 1; again < kTries && end && *end == ExperimentEnd::out_of_bounds; ++again) {
    experiment.amplitude_frac *= kSmaller;
    bench.tick_for(kQuiet);
    if (bench.trip().active()) return failed(trip_text(bench.trip()));
    end = drive_step(bench, bound_pa, experiment);
  }
  if (!end) return tl::unexpected(end.error());
  if (*end != ExperimentEnd::done) return failed(end_text(*end, bound_pa, experiment.rest));
  const auto fit = control::fit_first_order(experiment.record.demand_frac, experiment.record.pressure_pa,
                                            bench.period_s());
  if (!fit || !(fit->model.gain > 0) || fit->explained_frac < kLeastExplained)
    return failed("the step drowns in the wind: choose a calmer house, or --method model");
  experiment.residual_pa = fit->residual_pa;
  experiment.explained_frac = fit->explained_frac;
  return fit->model;
}

/// The relay, with its base demand moved until the cycle is even.
Result<control::RelayMeasure> one_relay(TuneBench& bench, double bound_pa, TuneExperiment& experiment) {
  for (int attempt = 0; attempt < kTries; ++attempt) {
    const control::RelaySpec spec{.amplitude_frac = experiment.amplitude_frac,
                                  .hysteresis_pa = experiment.hysteresis_pa,
                                  .bounds = {.bound_pa = bound_pa, .most_s = 240}};
    control::RelayState s = control::relay_start(experiment.rest.demand_frac, experiment.rest.pressure_pa);
    const auto end = drive(bench, experiment, s.watch, [&](const control::ExperimentInput& in) {
      return control::relay_step(spec, s, in);
    });
    if (!end) return tl::unexpected(end.error());
    if (*end != ExperimentEnd::done) return failed(end_text(*end, bound_pa, experiment.rest));
    const auto measured = control::measure_of(s);
    if (!measured) return failed("the relay made no whole cycle");
    experiment.relay = measured;
    if (std::abs(measured->asymmetry) <= control::kMostAsymmetry) return *measured;
    experiment.rest.demand_frac += measured->asymmetry * experiment.amplitude_frac;
  }
  return *experiment.relay;
}

/// The regulator takes over where the experiment ended.
void give_back(TuneBench& bench) {
  (void)bench.keep(0);
  bench.tick_for(kAfter);
}

/// Both begin alike: rest, noise, amplitude.
Result<TuneExperiment> prepared(TuneBench& bench, double bound_pa) {
  const auto rest = rest_on(bench);
  if (!rest) return tl::unexpected(rest.error());
  TuneExperiment out;
  out.rest = *rest;
  out.amplitude_frac = amplitude_for(bench, rest->pressure_pa, bound_pa);
  return out;
}

}  // namespace

Result<void> come_to_hold(TuneBench& bench, double pressure_pa) {
  if (!bench.take_baseline(kBaseline)) return failed("the zero-flow pressure could not be taken");
  if (bench.hold(pressure_pa) != Refusal::accepted)
    return failed("a hold at " + target_text(pressure_pa) + " is refused on this rig");
  double stands_s = 0;
  double smooth = 0;
  const bool stands = bench.tick_until(
      [&] {
        smooth += (bench.pressure_pa() - smooth) * std::min(1.0, bench.period_s() / 3.0);
        stands_s = std::abs(smooth - pressure_pa) < kNear ? stands_s + bench.period_s() : 0;
        return stands_s >= kStands;
      },
      kReach);
  if (bench.trip().active()) return failed("the guard stopped the fan: " + trip_text(bench.trip()));
  if (!stands)
    return failed("the fan can't hold " + target_text(pressure_pa) + " in this house: the pressure came to " +
                  pressure_text(bench.pressure_pa()) + " at a demand of " +
                  percent_text(bench.demand_frac()));
  return {};
}

Result<Identified> step_on(TuneBench& bench, double bound_pa) {
  auto experiment = prepared(bench, bound_pa);
  if (!experiment) return tl::unexpected(experiment.error());
  const auto model = one_step(bench, bound_pa, *experiment);
  if (!model) return tl::unexpected(model.error());
  give_back(bench);
  Identified out{*model, std::move(*experiment)};
  out.model.delay_s += 0.5 * bench.period_s();  // the demand stays between samples
  return out;
}

Result<Identified> relay_on(TuneBench& bench, double bound_pa) {
  auto experiment = prepared(bench, bound_pa);
  if (!experiment) return tl::unexpected(experiment.error());
  TuneExperiment& e = *experiment;
  e.hysteresis_pa = std::max(kLeastHysteresis, kNoiseFactor * e.rest.noise_pa);
  if (e.hysteresis_pa > kMostHysteresis * kReachShare * bound_pa)
    return failed("the wind moves the pressure by " + pressure_text(e.rest.noise_pa) +
                  " (standard deviation), too much for a relay within " + pressure_text(bound_pa) +
                  ": choose a calmer house, or --method step or model");
  TuneExperiment gain_step = e;  // a relay alone does not show the gain
  const auto known = one_step(bench, bound_pa, gain_step);
  if (!known) return tl::unexpected(known.error());
  e.amplitude_frac = std::min(kMostAmplitude, kReachShare * bound_pa / known->gain);
  const auto measured = one_relay(bench, bound_pa, e);
  if (!measured) return tl::unexpected(measured.error());
  give_back(bench);
  const auto model =
      control::model_from_cycle(known->gain, e.amplitude_frac, e.hysteresis_pa, measured->cycle);
  if (!model)
    return failed("no first-order lag with the gain of the step has such a cycle: use --method step");
  e.ultimate_gain =
      control::describing_function_gain(e.amplitude_frac, e.hysteresis_pa, measured->cycle.amplitude_pa);
  e.residual_pa = gain_step.residual_pa;
  e.explained_frac = gain_step.explained_frac;
  e.furthest_pa = std::max(e.furthest_pa, gain_step.furthest_pa);
  e.lasted_s += gain_step.lasted_s;
  Identified out{*model, std::move(e)};
  // The bench's relay acts a sample later than the regulator does.
  out.model.delay_s = std::max(0.5 * bench.period_s(), out.model.delay_s - bench.period_s());
  return out;
}

control::LagModel model_of_curves(const TuneBench& bench) {
  const control::RegulatorSpec& r = bench.rig().regulator;
  const double pa = bench.pressure_pa();
  const control::PlantView plant = bench.learnt();
  control::ProcessModel process;
  process.gain = control::plant_gain_pa(plant, pa, bench.rig().limits.demand_max_frac);
  for (const double lag : {r.drive_lag_s, r.sensor_lag_s, control::zone_time_s(plant, pa)})
    if (lag > 0) process.lags_s.push_back(lag);
  process.delay_s = bench.period_s();  // a demand acts from the next sample on
  return control::half_rule(process, control::ModelOrder::first, bench.period_s()).model;
}

}  // namespace leeward::daemon
