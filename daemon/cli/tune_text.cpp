#include "daemon/cli/tune_text.hpp"

#include <cmath>

#include <nlohmann/json.hpp>

#include "daemon/cli/strip_plot.hpp"
#include "daemon/report/text_block.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {
namespace {

constexpr const char* kMethods[] = {"relay", "step", "model"};
constexpr const char* kRules[] = {"simc", "amigo", "amigo-pid"};

nlohmann::json number(double v) { return std::isfinite(v) ? nlohmann::json(v) : nlohmann::json(nullptr); }

std::string row(const char* name, const std::string& value, const std::string& note) {
  return left_in(name, 22) + left_in(value, 18) + note + "\n";
}

/// Significant digits for a gain, which may be far below 1.
std::string gain_text(double v) { return fixed_text(v, v < 0.1 ? 6 : 4); }

std::string experiment_text(const TuneExperiment& e) {
  std::string out = strip_plot(e.record.pressure_pa, "pressure, Pa", 1);
  std::vector<double> percent = e.record.demand_frac;
  for (double& v : percent) v *= 100;
  out += strip_plot(percent, "demand, %", 1, 68, 5) + "\n";
  out += row("hold", pressure_text(e.rest.pressure_pa),
             "at a demand of " + fixed_text(100 * e.rest.demand_frac, 1) + " %; noise " +
                 fixed_text(e.rest.noise_pa, 2) + " Pa");
  out += row("demand moved by", "+-" + fixed_text(100 * e.amplitude_frac, 2) + " %",
             "in " + seconds_text(e.lasted_s) + "; pressure at most " + pressure_text(e.furthest_pa) +
                 " from the hold");
  if (e.relay) {
    out += row("cycle", fixed_text(e.relay->cycle.period_s, 2) + " s",
               "+-" + fixed_text(e.relay->cycle.amplitude_pa, 2) + " Pa, hysteresis " +
                   fixed_text(e.hysteresis_pa, 2) + " Pa, uneven by " +
                   fixed_text(100 * std::abs(e.relay->asymmetry), 1) + " %");
    out += row("ultimate gain", gain_text(e.ultimate_gain) + " /Pa", "by the describing function, not used");
  }
  return out + row("step explained", fixed_text(100 * e.explained_frac, 1) + " %",
                   "residual " + fixed_text(e.residual_pa, 2) + " Pa");
}

std::string trial_row(const char* name, const HouseTrial& t) {
  if (t.tripped) return row(name, "tripped", "");
  const std::string settling = t.settling_s ? fixed_text(*t.settling_s, 1) + " s" : "not within 1 min";
  return row(name, settling,
             "3 Pa less: overshoot " + fixed_text(t.overshoot_pa, 2) + " Pa; in the hold +-" +
                 fixed_text(t.unrest_pa, 2) + " Pa");
}

std::string loop_text(const TuneResult& r) {
  const auto margin = [](double v, int decimals) {
    return std::isfinite(v) ? fixed_text(v, decimals) : std::string("no limit");
  };
  std::string out = row("Kc", gain_text(r.gains.kc), "of full demand per Pa, of the plain law");
  out += row("Ti", fixed_text(r.gains.ti_s, 2) + " s", "");
  if (r.gains.td_s > 0) out += row("Td", fixed_text(r.gains.td_s, 2) + " s", "");
  out += row("Ms", margin(r.margins.ms, 2), "peak of the sensitivity; below 2 is robust");
  out += row("Mt", margin(r.margins.mt, 2), "");
  out += row("gain margin", margin(r.margins.gain_margin, 2), "");
  out += row("phase margin", margin(r.margins.phase_margin_deg, 1) + " deg", "");
  out += row("delay margin", margin(r.margins.delay_margin_s, 2) + " s", "");
  out += row("step of the target",
             r.trial.settled ? fixed_text(r.trial.settling_s, 1) + " s" : std::string("does not settle"),
             "to 5 %, overshoot " + fixed_text(100 * r.trial.overshoot_frac, 1) + " %, by the model");
  out += trial_row("on the house, before", r.before);
  return out + trial_row("on the house, with it", r.after);
}

nlohmann::json trial_json(const HouseTrial& t) {
  return {{"tripped", t.tripped},
          {"hold_sd_pa", number(t.unrest_pa)},
          {"overshoot_pa", number(t.overshoot_pa)},
          {"settling_s", t.settling_s ? nlohmann::json(*t.settling_s) : nlohmann::json(nullptr)}};
}

nlohmann::json experiment_json(const TuneExperiment& e, double period_s) {
  nlohmann::json out = {{"hold_demand_frac", e.rest.demand_frac},
                        {"hold_pa", e.rest.pressure_pa},
                        {"noise_pa", e.rest.noise_pa},
                        {"amplitude_frac", e.amplitude_frac},
                        {"lasted_s", e.lasted_s},
                        {"furthest_pa", e.furthest_pa},
                        {"step_residual_pa", e.residual_pa},
                        {"step_explained_frac", e.explained_frac},
                        {"relay", nullptr},
                        {"record",
                         {{"period_s", period_s},
                          {"demand_frac", e.record.demand_frac},
                          {"pressure_pa", e.record.pressure_pa}}}};
  if (e.relay)
    out["relay"] = {{"hysteresis_pa", e.hysteresis_pa},
                    {"amplitude_pa", e.relay->cycle.amplitude_pa},
                    {"period_s", e.relay->cycle.period_s},
                    {"period_spread", e.relay->period_spread},
                    {"asymmetry", e.relay->asymmetry},
                    {"offset_pa", e.relay->offset_pa},
                    {"describing_function_gain", e.ultimate_gain}};
  return out;
}

}  // namespace

std::string tune_text(const TuneOptions& o, const TuneResult& r) {
  std::string out = "Tuning at " + target_text(o.pressure_pa) + " on the house " +
                    std::string(o.house.name.view()) + ", seed " + std::to_string(o.seed) + ", by " +
                    kMethods[static_cast<std::size_t>(o.method)] + " and " +
                    kRules[static_cast<std::size_t>(o.rule)] + "\n\n";
  if (r.experiment) out += experiment_text(*r.experiment);
  out += row("model", fixed_text(r.model.gain, 1) + " Pa/demand",
             "lag " + fixed_text(r.model.tau_s, 2) + " s, delay " + fixed_text(r.model.delay_s, 2) + " s");
  out += "\n" + loop_text(r);
  for (const std::string& caution : r.cautions) out += "\n" + wrapped("Mind: ", caution);
  return out;
}

nlohmann::json tune_json(const TuneOptions& o, const TuneResult& r) {
  return {{"pressure_pa", o.pressure_pa},
          {"bound_pa", o.bound_pa},
          {"house", std::string(o.house.name.view())},
          {"seed", o.seed},
          {"method", kMethods[static_cast<std::size_t>(o.method)]},
          {"rule", kRules[static_cast<std::size_t>(o.rule)]},
          {"model", {{"gain_pa", r.model.gain}, {"lag_s", r.model.tau_s}, {"delay_s", r.model.delay_s}}},
          {"gains",
           {{"kc_frac_per_pa", r.gains.kc},
            {"ti_s", r.gains.ti_s},
            {"td_s", r.gains.td_s},
            {"setpoint_weight_of_rule", r.gains.setpoint_weight}}},
          {"margins",
           {{"stable", r.margins.stable},
            {"ms", number(r.margins.ms)},
            {"mt", number(r.margins.mt)},
            {"gain_margin", number(r.margins.gain_margin)},
            {"phase_margin_deg", number(r.margins.phase_margin_deg)},
            {"delay_margin_s", number(r.margins.delay_margin_s)}}},
          {"step",
           {{"settled", r.trial.settled},
            {"settling_s", number(r.trial.settling_s)},
            {"overshoot_frac", number(r.trial.overshoot_frac)}}},
          {"house_before", trial_json(r.before)},
          {"house_after", trial_json(r.after)},
          {"experiment",
           r.experiment ? experiment_json(*r.experiment, 1 / o.rig.sample_hz) : nlohmann::json(nullptr)},
          {"cautions", r.cautions}};
}

}  // namespace leeward::daemon
