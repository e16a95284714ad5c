#include "daemon/campaign/measures.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/campaign/percentile.hpp"

namespace leeward::daemon {

namespace {

using Figures = std::vector<double>;
constexpr double kNoFigure = std::numeric_limits<double>::quiet_NaN();
constexpr double kMostBeyond = 1.0;   // s with the pressure beyond the ceiling through the fan
constexpr double kWorseRatio = 1.02;  // than a command that stands still

std::size_t place_of(const Outline& outline, Scenario scenario, const std::string& name) {
  const std::vector<RunColumn> columns = columns_of(outline, scenario);
  const auto found =
      std::find_if(columns.begin(), columns.end(), [&name](const RunColumn& c) { return c.name == name; });
  return static_cast<std::size_t>(found - columns.begin());
}

/// Reads columns by name, once; a run without the column gives NaN.
struct Reader {
  const Outline& outline;
  Scenario scenario;
  [[nodiscard]] std::function<double(const Figures&)> operator()(const std::string& name) const {
    const std::size_t at = place_of(outline, scenario, name);
    return [at](const Figures& f) { return at < f.size() ? f[at] : kNoFigure; };
  }
};

using Value = std::function<double(const Figures&)>;

Value percent(Value value) {
  return [value = std::move(value)](const Figures& f) { return 100 * value(f); };
}
Value size_of(Value value) {
  return [value = std::move(value)](const Figures& f) { return std::abs(value(f)); };
}
/// 100 where it is so, else 0.
Value share_where(Value value, std::function<bool(double)> is_so) {
  return [value = std::move(value), is_so = std::move(is_so)](const Figures& f) {
    const double v = value(f);
    return std::isnan(v) ? kNoFigure : (is_so(v) ? 100.0 : 0.0);
  };
}
Value not_left_out(Value left_out, Value value) {
  return [left_out = std::move(left_out), value = std::move(value)](const Figures& f) {
    return left_out(f) == 0 ? value(f) : kNoFigure;
  };
}
bool is_set(double v) { return v == 1; }
bool is_clear(double v) { return v == 0; }

std::vector<Measure> step_measures(const Outline& o) {
  using enum Figure;
  const Reader column{o, Scenario::steps};
  std::vector<Measure> out;
  for (std::size_t i = 0; i < o.step_targets_pa.size(); ++i) {
    const std::string prefix = "step_" + std::to_string(i + 1) + "_";
    const std::string label = step_label(o, i);
    out.push_back({"settling " + label, "s", column(prefix + "settling_s"), {p50, p95, p99}, true});
    out.push_back({"overshoot " + label, "Pa", column(prefix + "overshoot_pa"), {p50, p95, p99, most}, true});
    out.push_back({"not settled " + label, "%", share_where(column(prefix + "settled"), is_clear), {share}});
    out.push_back({"floor " + label, "s", column(prefix + "floor_s"), {p50, p95, p99}});
    out.push_back({"settling over floor " + label, "", column(prefix + "ratio"), {p50, p90, p95}});
  }
  out.push_back({"tripped", "%", share_where(column("tripped"), is_set), {share}});
  out.push_back({"drive found", "%", share_where(column("drive_found"), is_set), {share}});
  out.push_back({"drive experiment lasted", "s", column("drive_learnt_s"), {p50, most}});
  out.push_back({"drive experiment, highest pressure", "Pa", column("drive_highest_pa"), {p50, p95, most}});
  const auto error = [&](const char* label, const char* name) {
    out.push_back({label, "%", percent(size_of(column(name))), {p50, p95}});
  };
  error("found slew, error", "drive_slew_error");
  error("found lag, error", "drive_lag_error");
  error("found building gauge lag, error", "drive_sensor_lag_error");
  error("found fan-side gauge lag, error", "drive_signal_lag_error");
  error("found dead band, error of full demand", "drive_dead_band_error_frac");
  return out;
}

std::vector<Measure> gust_measures(const Outline& o) {
  using enum Figure;
  const Reader column{o, Scenario::gusts};
  const Value left_out = column("left_out");
  const auto counted = [left_out](Value value) { return not_left_out(left_out, std::move(value)); };
  const auto worse = [](double ratio) { return ratio > kWorseRatio; };
  return {
      {"rms error", "Pa", counted(column("rms_pa")), {p50, p90}, true},
      {"rms error, constant command", "Pa", counted(column("constant_rms_pa")), {p50, p90}},
      {"rms error over constant command", "", counted(column("ratio")), {p50, p90}, true},
      {"worse than constant command", "%", share_where(counted(column("ratio")), worse), {share}},
      {"unpredictable 0.5 s ahead", "", counted(column("index_half_s")), {p50}},
      {"unpredictable 1 s ahead", "", counted(column("index_1_s")), {p50}},
      {"unpredictable 2 s ahead", "", counted(column("index_2_s")), {p50}},
      {"left out: not reached, tripped or above 97 %", "%", share_where(left_out, is_set), {share}},
      {"tripped", "%", share_where(column("tripped"), is_set), {share}},
  };
}

std::vector<Measure> test_measures(const Outline& o) {
  using enum Figure;
  const Reader column{o, Scenario::tests};
  const Value end = column("end");
  // Accuracy counts where the tool itself stands by the result.
  const auto valid = [end](Value value) -> Value {
    return [end, value = std::move(value)](const Figures& f) { return end(f) == 0 ? value(f) : kNoFigure; };
  };
  const auto ended = [end](sim::TestEnd how) {
    return share_where(end, [how](double v) { return v == static_cast<double>(how); });
  };
  return {
      {"q50 error, size", "%", valid(percent(size_of(column("q50_error_frac")))), {mean, p95}, true},
      {"q50 error, signed", "%", valid(percent(column("q50_error_frac"))), {mean}},
      {"q50 within its 95 % interval", "%", share_where(valid(column("q50_held")), is_set), {share}},
      {"q50 interval, half-width", "%", valid(percent(column("q50_half_frac"))), {p50}},
      {"n error, size", "", valid(size_of(column("n_error"))), {mean, p95}, true},
      {"n within its 95 % interval", "%", share_where(valid(column("n_held")), is_set), {share}},
      {"n interval, half-width", "", valid(column("n_half")), {p50}},
      {"duration", "min", valid(column("minutes")), {p50, p95}, true},
      {"first restriction right, where one is",
       "%",
       share_where(valid(column("choice_right")), is_set),
       {share}},
      {"restriction changes", "", valid(column("changes")), {mean, most}},
      {"restriction changes beyond the fewest", "", valid(column("excess_changes")), {mean, most}},
      {"invalid", "%", ended(sim::TestEnd::invalid), {share}},
      {"refused or without a result", "%", ended(sim::TestEnd::refused), {share}},
      {"tripped", "%", ended(sim::TestEnd::tripped), {share}},
      {"not ended in time", "%", ended(sim::TestEnd::unfinished), {share}},
  };
}

std::vector<Measure> fault_measures(const Outline& o) {
  using enum Figure;
  const Reader column{o, Scenario::faults};
  const Value happened = column("happened");
  const auto tripped = [](double v) { return v != 0; };
  const auto beyond = [](double s) { return s > kMostBeyond; };
  const auto too_late = [](double s) { return s > sim::kMostToSafe + 1e-6; };
  return {
      {"the fault happened", "%", share_where(happened, is_set), {share}},
      {"tripped", "%", share_where(column("trip_cause"), tripped), {share}},
      {"tripped by a fitting name", "%", share_where(column("trip_named"), is_set), {share}},
      {"had to stop", "%", share_where(column("demanded"), is_set), {share}},
      {"from observable to off", "s", column("to_safe_s"), {p50, p95, most}, true},
      {"off too late", "%", share_where(column("to_safe_s"), too_late), {share}},
      {"beyond the ceiling by the fan", "%", share_where(column("beyond_s"), beyond), {share}},
      {"wrong and stated as valid", "%", share_where(column("wrong_as_valid"), is_set), {share}},
      {"tripped without a fault", "%", share_where(column("false_trip"), is_set), {share}},
  };
}

}  // namespace

const char* figure_name(Figure figure) {
  constexpr const char* names[] = {"mean", "p50", "p90", "p95", "p99", "max", "share"};
  return names[static_cast<std::size_t>(figure)];
}

double figure_of(Figure figure, std::span<const double> sorted) {
  switch (figure) {
    case Figure::p50:
      return sim::percentile(sorted, 0.5);
    case Figure::p90:
      return sim::percentile(sorted, 0.9);
    case Figure::p95:
      return sim::percentile(sorted, 0.95);
    case Figure::p99:
      return sim::percentile(sorted, 0.99);
    case Figure::most:
      return sim::percentile(sorted, 1);
    case Figure::mean:
    case Figure::share:
      break;
  }
  return sim::mean(sorted);
}

std::vector<Measure> measures_of(const Outline& outline, Scenario scenario) {
  if (scenario == Scenario::steps) return step_measures(outline);
  if (scenario == Scenario::faults) return fault_measures(outline);
  return scenario == Scenario::gusts ? gust_measures(outline) : test_measures(outline);
}

namespace {

/// How many of the three things happened that must not, and how badly.
Measure fault_badness(const Outline& outline) {
  const Reader column{outline, Scenario::faults};
  const auto value = [late = column("to_safe_s"), beyond = column("beyond_s"),
                      wrong = column("wrong_as_valid"), false_trip = column("false_trip")](const Figures& f) {
    const double late_s = std::isnan(late(f)) ? 0 : std::max(0.0, late(f) - sim::kMostToSafe);
    const double sum = late_s + std::max(0.0, beyond(f) - kMostBeyond) + wrong(f) + false_trip(f);
    return sum > 1e-6 ? sum : kNoFigure;
  };
  return {.label = "unsafe, time and number", .unit = "", .value = value, .statistics = {}};
}

}  // namespace

Measure badness_of(const Outline& outline, Scenario scenario) {
  const Reader column{outline, scenario};
  if (scenario == Scenario::gusts)
    return {.label = "rms error over constant command",
            .unit = "",
            .value = not_left_out(column("left_out"), column("ratio")),
            .statistics = {}};
  if (scenario == Scenario::faults) return fault_badness(outline);
  if (scenario == Scenario::tests)
    return {.label = "q50 error, size",
            .unit = "%",
            .value = percent(size_of(column("q50_error_frac"))),
            .statistics = {}};
  std::vector<Value> times;
  for (std::size_t i = 0; i < outline.step_targets_pa.size(); ++i)
    times.push_back(column("step_" + std::to_string(i + 1) + "_settling_s"));
  const auto sum = [times](const Figures& f) {
    double all = 0;
    for (const Value& time : times) all += time(f);
    return all;
  };
  return {.label = "settling, all steps together", .unit = "s", .value = sum, .statistics = {}};
}

}  // namespace leeward::daemon
