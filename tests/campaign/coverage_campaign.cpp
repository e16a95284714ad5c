// Whole tests through the real engine on houses and winds drawn afresh: whether the stated intervals hold the
// truth, how far off the results are, and how long a test takes.
//   coverage_campaign [--runs N] [--seed FIRST] [--wind M_S]... [--procedure FILE]...
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <random>
#include <string>
#include <vector>

#include "control/analysis/density_correction.hpp"
#include "daemon/config/load_procedure.hpp"
#include "sim/house_truth.hpp"
#include "sim/random_house.hpp"
#include "tests/campaign/on_all_cores.hpp"
#include "tests/engine/closed_loop.hpp"
#include "tests/engine/procedures.hpp"

namespace leeward::bench {
namespace {

using control::Interval;

struct Options {
  int runs = 1000;
  std::uint64_t seed = 100'000;
  std::vector<double> winds;
  std::vector<std::string> procedures;
};

/// One test, its errors relative and in percent.
struct Outcome {
  bool measured = false;
  bool valid = false;
  double minutes = 0;
  double q50_percent = 0, n = 0;
  double q50_half_percent = 0, n_half = 0;
  bool q50_held = false, n_held = false, ela_held = false;
  double line_q50_percent = 0;  ///< of the plain regression
  bool line_q50_held = false, line_n_held = false;
};

bool holds(const Interval& i, double truth) { return i.known && i.low <= truth && truth <= i.high; }

double half_percent(const Interval& i) { return 50 * (i.high - i.low) / i.value; }

/// Temperatures are read by instruments good to half a kelvin, the volume is known to a tenth.
control::Request asked_of(const sim::HouseSpec& house, control::ProcedureSpec procedure, std::uint64_t seed) {
  std::mt19937_64 rng(seed * 2654435761U + 17);
  std::uniform_real_distribution<double> even(-1, 1);
  // The plain line is given the same viscosity correction as ours, so that they differ by the fit alone.
  procedure.viscosity_correction = true;
  control::Request r = start(procedure, house.volume_m3 * (1 + 0.1 * even(rng)),
                             house.indoor_c + 0.5 * even(rng), house.outdoor_c + 0.5 * even(rng));
  if (procedure.directions == control::DirectionRule::both) r.run.direction = control::DirectionChoice::both;
  r.run.conditions.has_barometric = true;
  r.run.conditions.barometric_pa = sim::barometric_pressure_pa(house);
  r.run.building.height_m = house.height_m;
  return r;
}

/// The mean of the plain lines of all directions.
Interval line_q50(const control::RunResult& result) {
  Interval mean{true, 0, 0, 0};
  const auto count = static_cast<double>(result.directions.size());
  double half = 0;
  for (const control::DirectionResult& d : result.directions) {
    mean.value += d.standard.q_ref_m3_s.value / count;
    half = std::hypot(half, 0.5 * (d.standard.q_ref_m3_s.high - d.standard.q_ref_m3_s.low) / count);
  }
  mean.low = mean.value - half;
  mean.high = mean.value + half;
  return mean;
}

Outcome judged(const ClosedLoop& loop, const sim::HouseSpec& house) {
  Outcome out;
  const control::EngineState& s = loop.state();
  out.minutes = loop.time_s() / 60;
  out.measured = s.result.computed &&
                 (s.run_state == control::RunState::done || s.run_state == control::RunState::invalid);
  out.valid = out.measured && s.result.valid;
  if (!out.measured) return out;
  const double q50 = sim::true_q50_m3_s(house);
  const double n = sim::true_n(house);
  // The area by its definition: of the power law through the truth at 50 Pa.
  const double ela = q50 * std::pow(4.0 / 50, n) * std::sqrt(1.2041 / (2 * 4.0));
  const control::RunResult& r = s.result;
  out.q50_percent = 100 * (r.q_ref_m3_s.value / q50 - 1);
  out.n = r.n.value - n;
  out.q50_half_percent = half_percent(r.q_ref_m3_s);
  out.n_half = 0.5 * (r.n.high - r.n.low);
  out.q50_held = holds(r.q_ref_m3_s, q50);
  out.n_held = holds(r.n, n);
  out.ela_held = holds(r.ela4_m2, ela);
  const Interval line = line_q50(r);
  out.line_q50_percent = 100 * (line.value / q50 - 1);
  out.line_q50_held = holds(line, q50);
  out.line_n_held = holds(r.directions[0].standard.n, n);
  return out;
}

Outcome test_of(std::uint64_t seed, double wind_m_s, const control::ProcedureSpec& procedure) {
  sim::HouseSpec house = sim::random_house(seed, {});
  house.wind.mean_m_s = wind_m_s;
  ClosedLoop loop(house, seed ^ 0x9E3779B97F4A7C15U);
  loop.fit_takes_s = 30;
  loop.request(asked_of(house, procedure, seed));
  (void)loop.run_until(
      [&] {
        const control::Phase phase = loop.state().phase;
        return phase == control::Phase::result || phase == control::Phase::tripped ||
               (phase == control::Phase::idle && loop.time_s() > 10);
      },
      7200);
  return judged(loop, house);
}

double quantile(std::vector<double> v, double p) {
  if (v.empty()) return std::nan("");
  std::sort(v.begin(), v.end());
  return v[std::min(v.size() - 1, static_cast<std::size_t>(p * static_cast<double>(v.size())))];
}

double mean(const std::vector<double>& v) {
  double sum = 0;
  for (const double x : v) sum += x;
  return v.empty() ? std::nan("") : sum / static_cast<double>(v.size());
}

/// Half-width of the 95 % interval of a quantile over houses, by resampling.
double quantile_half_width(const std::vector<double>& v, double p) {
  std::mt19937_64 rng(1);
  std::vector<double> quantiles;
  for (int i = 0; i < 300; ++i) {
    std::vector<double> again(v.size());
    for (double& x : again) x = v[rng() % v.size()];
    quantiles.push_back(quantile(again, p));
  }
  return 0.5 * (quantile(quantiles, 0.975) - quantile(quantiles, 0.025));
}

struct Sums {
  std::vector<double> q50, n, line, minutes, q50_half, n_half;
  int measured = 0, valid = 0, q50_held = 0, n_held = 0, ela_held = 0, line_q50_held = 0, line_n_held = 0;
};

Sums sums_of(const std::vector<Outcome>& outcomes) {
  Sums s;
  for (const Outcome& o : outcomes) {
    if (!o.measured) continue;
    s.measured += 1;
    s.valid += o.valid ? 1 : 0;
    s.q50.push_back(std::abs(o.q50_percent));
    s.n.push_back(std::abs(o.n));
    s.line.push_back(std::abs(o.line_q50_percent));
    s.minutes.push_back(o.minutes);
    s.q50_half.push_back(o.q50_half_percent);
    s.n_half.push_back(o.n_half);
    s.q50_held += o.q50_held ? 1 : 0;
    s.n_held += o.n_held ? 1 : 0;
    s.ela_held += o.ela_held ? 1 : 0;
    s.line_q50_held += o.line_q50_held ? 1 : 0;
    s.line_n_held += o.line_n_held ? 1 : 0;
  }
  return s;
}

void print_row(const std::string& name, double wind_m_s, const std::vector<Outcome>& outcomes) {
  const Sums s = sums_of(outcomes);
  const double count = std::max(1, s.measured);
  const auto share = [&](int hits) { return 100 * hits / count; };
  std::printf(
      "%-14s %4.0f %5zu %5d %5d | %5.1f %5.1f %5.1f | %5.1f %5.1f | %6.2f %5.2f+-%.2f %6.2f %5.2f | %.4f "
      "%.3f | %5.2f %5.3f | %5.1f %5.1f\n",
      name.c_str(), wind_m_s, outcomes.size(), static_cast<int>(outcomes.size()) - s.measured,
      s.measured - s.valid, share(s.q50_held), share(s.ela_held), share(s.n_held), share(s.line_q50_held),
      share(s.line_n_held), mean(s.q50), quantile(s.q50, 0.95), quantile_half_width(s.q50, 0.95),
      mean(s.line), quantile(s.line, 0.95), mean(s.n), quantile(s.n, 0.95), quantile(s.q50_half, 0.5),
      quantile(s.n_half, 0.5), mean(s.minutes), quantile(s.minutes, 0.95));
  std::fflush(stdout);
}

std::vector<Outcome> all_tests(const Options& o, double wind_m_s, const control::ProcedureSpec& procedure) {
  return on_all_cores<Outcome>(o.runs, o.seed,
                               [&](std::uint64_t seed) { return test_of(seed, wind_m_s, procedure); });
}

/// What many do: eight stations of 30 s in chased pressure, 30 s of zero-flow pressure, judged by the line.
control::ProcedureSpec eight_fixed(const control::ProcedureSpec& like) {
  control::ProcedureSpec p = like;
  p.id = "eight-fixed-30";
  p.baseline_s = 30;
  p.baseline_most_s = 0;
  p.station_average_s = 30;
  p.station_most_s = 0;
  p.keep_speed = false;
  return p;
}

Options options_of(int argc, char** argv) {
  Options o;
  for (int i = 1; i + 1 < argc; i += 2) {
    const std::string key = argv[i];
    if (key == "--runs") o.runs = std::atoi(argv[i + 1]);
    if (key == "--seed") o.seed = std::strtoull(argv[i + 1], nullptr, 10);
    if (key == "--wind") o.winds.push_back(std::atof(argv[i + 1]));
    if (key == "--procedure") o.procedures.emplace_back(argv[i + 1]);
  }
  if (o.winds.empty()) o.winds = {0, 3, 6, 9};
  return o;
}

int run(const Options& o) {
  std::printf(
      "%d tests a row, house and gust seeds %llu to %llu; temperatures read to +-0.5 K, volume to +-10 %%\n",
      o.runs, static_cast<unsigned long long>(o.seed),
      static_cast<unsigned long long>(o.seed) + static_cast<unsigned long long>(o.runs) - 1);
  std::printf("%-14s %4s %5s %5s %5s | %-17s | %-11s | %-31s | %-12s | %-11s | %s\n", "procedure", "wind",
              "tests", "lost", "inval", "held %: q50 ELA n", "line: q50 n",
              "q50 off %: mean p95, line's same", "n off: mean p95", "half-widths", "minutes mean p95");
  for (const std::string& file : o.procedures) {
    const auto loaded = daemon::load_procedure(file);
    if (!loaded.value) {
      std::fprintf(stderr, "%s does not load; leeward check says why\n", file.c_str());
      return 1;
    }
    for (const control::ProcedureSpec& p : {*loaded.value, eight_fixed(*loaded.value)})
      for (const double wind : o.winds) print_row(std::string(p.id.view()), wind, all_tests(o, wind, p));
  }
  return 0;
}

}  // namespace
}  // namespace leeward::bench

int main(int argc, char** argv) { return leeward::bench::run(leeward::bench::options_of(argc, argv)); }
