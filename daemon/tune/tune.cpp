#include "daemon/tune/tune.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include "daemon/tune/run_experiment.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {
namespace {

using control::Result;

constexpr double kRoomBelowCeiling = 10;  // Pa: no experiment comes near the ceiling
constexpr double kHeld = 40;              // s of a hold that is judged
constexpr double kWatched = 60;           // s after the step of the target
constexpr double kTargetStep = 3;         // Pa
constexpr double kSettled = 1;            // Pa
constexpr double kHighMs = 2;
constexpr double kMuchNoise = 0.5;  // Pa

control::PidTuning tuning_of(const control::IsaGains& gains, const control::RegulatorSpec& regulator) {
  return {.kc = gains.kc,
          .ti_s = gains.ti_s,
          .td_s = gains.td_s,
          .derivative_n = regulator.derivative_filter_n,
          .setpoint_weight = regulator.setpoint_weight};
}

Result<Identified> identified(TuneBench& bench, const TuneOptions& options) {
  if (options.method == TuneMethod::relay) return relay_on(bench, options.bound_pa);
  if (options.method == TuneMethod::step) return step_on(bench, options.bound_pa);
  return Identified{model_of_curves(bench), {}};
}

/// To four digits: more are not known, and nobody wants to read them in a file.
double rounded(double value) {
  if (!(value > 0)) return value;
  const double unit = std::pow(10.0, 3.0 - std::floor(std::log10(value)));
  return std::round(value * unit) / unit;
}

control::RegulatorSpec with_gains(control::RegulatorSpec regulator, const control::IsaGains& gains,
                                  double pressure_pa) {
  regulator.tuned_pa = pressure_pa;
  regulator.tuned_kc_frac_per_pa = rounded(gains.kc);
  regulator.tuned_ti_s = rounded(gains.ti_s);
  regulator.derivative_s = rounded(gains.td_s);
  // The rule's set-point weight is for steps; the reference here moves, and the feed-forward goes with it.
  return regulator;
}

std::vector<std::string> cautions_of(const TuneResult& r) {
  std::vector<std::string> out;
  if (!r.margins.stable || r.margins.ms > kHighMs)
    out.emplace_back("The loop has little margin by the model: Ms above 2.");
  if (!r.experiment) {
    out.emplace_back("Nothing was measured: the model is that of the learnt curves and the nominal lags.");
    return out;
  }
  const TuneExperiment& e = *r.experiment;
  if (e.relay && std::abs(e.relay->asymmetry) > control::kMostAsymmetry)
    out.push_back("The cycle is uneven by " + percent_text(std::abs(e.relay->asymmetry)) +
                  ": the formulas hold for an even one.");
  if (e.rest.noise_pa > kMuchNoise)
    out.push_back("The wind moved the pressure by " + pressure_text(e.rest.noise_pa) +
                  " (standard deviation) during the experiment: repeat with other seeds.");
  if (r.after.tripped) out.emplace_back("With these gains the guard stopped the fan on the house.");
  return out;
}

Result<void> check(const TuneOptions& options) {
  const double ceiling = options.rig.limits.building_pressure_max_pa;
  if (options.pressure_pa + options.bound_pa + kRoomBelowCeiling > ceiling)
    return tl::make_unexpected(control::Error{
        control::Errc::out_of_range, "pressure_pa",
        "an experiment at " + target_text(options.pressure_pa) + " may come within " +
            target_text(kRoomBelowCeiling) + " of the rig's ceiling of " + target_text(ceiling) +
            ": ask for at most " + target_text(ceiling - kRoomBelowCeiling - options.bound_pa)});
  return {};
}

}  // namespace

control::IsaGains gains_by(TuneRule rule, const control::LagModel& model) {
  if (rule == TuneRule::amigo) return amigo_pi(model);
  if (rule == TuneRule::amigo_pid) return amigo_pid(model);
  const control::SimcGains g = simc_gains(model, model.delay_s);
  return {.kc = g.kc, .ti_s = g.ti_s};
}

HouseTrial try_on_house(const TuneOptions& options, const control::RegulatorSpec& regulator) {
  control::EngineConfig rig = options.rig;
  rig.regulator = regulator;
  const auto bench = std::make_unique<TuneBench>(rig, options.house, options.seed);
  HouseTrial out;
  if (!come_to_hold(*bench, options.pressure_pa)) {
    out.tripped = bench->trip().active();
    return out;
  }
  double squares = 0;
  int n = 0;
  for (double t = 0; t < kHeld; t += bench->period_s(), ++n) {
    bench->tick();
    squares += std::pow(bench->true_pressure_pa() - options.pressure_pa, 2);
  }
  out.unrest_pa = std::sqrt(squares / n);
  const double target = options.pressure_pa - kTargetStep;
  (void)bench->hold(target);
  const auto ticks = static_cast<int>(kWatched / bench->period_s());
  int outside = 0;
  for (int i = 0; i < ticks; ++i) {
    bench->tick();
    const double off = bench->true_pressure_pa() - target;
    out.overshoot_pa = std::max(out.overshoot_pa, -off);
    if (std::abs(off) > kSettled) outside = i + 1;
  }
  if (outside < ticks - ticks / 10) out.settling_s = outside / bench->rig().sample_hz;
  out.tripped = bench->trip().active();
  return out;
}

Result<TuneResult> tune(const TuneOptions& asked) {
  if (const auto sound = check(asked); !sound) return tl::unexpected(sound.error());
  TuneOptions options = asked;
  options.rig.regulator.law = control::RegulatorLaw::plain;  // whose gains they are
  const auto bench = std::make_unique<TuneBench>(options.rig, options.house, options.seed);
  if (const auto held = come_to_hold(*bench, options.pressure_pa); !held) return tl::unexpected(held.error());
  auto found = identified(*bench, options);
  bench->stop();
  if (!found) return tl::unexpected(found.error());
  TuneResult out;
  out.model = found->model;
  out.gains = gains_by(options.rule, out.model);
  control::ProcessModel process{.gain = out.model.gain, .delay_s = out.model.delay_s};
  process.lags_s.push_back(out.model.tau_s);
  const control::PidTuning tuning = tuning_of(out.gains, options.rig.regulator);
  out.margins = loop_margins(
      {.kc = tuning.kc, .ti_s = tuning.ti_s, .td_s = tuning.td_s, .filter_n = tuning.derivative_n}, process);
  // The half period that the samples add to the delay comes by itself where the loop is sampled.
  control::LagModel sampled = out.model;
  sampled.delay_s = std::max(0.0, sampled.delay_s - 0.5 * bench->period_s());
  out.trial = try_loop(sampled, tuning, bench->period_s());
  if (options.method != TuneMethod::model) out.experiment = std::move(found->experiment);
  out.regulator = with_gains(options.rig.regulator, out.gains, options.pressure_pa);
  out.before = try_on_house(options, options.rig.regulator);
  out.after = try_on_house(options, out.regulator);
  out.cautions = cautions_of(out);
  return out;
}

}  // namespace leeward::daemon
