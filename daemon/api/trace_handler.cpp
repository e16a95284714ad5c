#include "daemon/api/trace_handler.hpp"

#include <charconv>
#include <optional>

#include <nlohmann/json.hpp>

#include "daemon/api/problem.hpp"
#include "daemon/recorder/trace_reader.hpp"

namespace leeward::daemon {
namespace {
constexpr std::size_t kUsualPoints = 1200;
constexpr std::size_t kFewestPoints = 10;
constexpr std::size_t kMostPoints = 5000;

/// "points=1200", or nothing.
std::optional<std::size_t> points_of(std::string_view query) {
  if (query.empty()) return kUsualPoints;
  constexpr std::string_view kKey = "points=";
  if (!query.starts_with(kKey)) return std::nullopt;
  query.remove_prefix(kKey.size());
  std::size_t points = 0;
  const auto [end, error] = std::from_chars(query.data(), query.data() + query.size(), points);
  const bool is_good = error == std::errc{} && end == query.data() + query.size() &&
                       points >= kFewestPoints && points <= kMostPoints;
  return is_good ? std::optional(points) : std::nullopt;
}

nlohmann::json trace_json(const std::string& id, const RecordedTrace& trace) {
  using nlohmann::json;
  json t_s = json::array();
  json low_pa = json::array();
  json high_pa = json::array();
  json target_pa = json::array();
  for (const TracePoint& point : trace.points) {
    t_s.push_back(point.at_s - trace.begin_s);
    low_pa.push_back(point.induced_low_pa);
    high_pa.push_back(point.induced_high_pa);
    target_pa.push_back(point.target_pa > 0 ? json(point.target_pa) : json(nullptr));
  }
  json phases = json::array();
  for (const TracePhase& phase : trace.phases)
    phases.push_back({{"phase", phase.phase}, {"from_s", phase.from_s - trace.begin_s}});
  json marks = json::array();
  for (const TraceMark& mark : trace.marks)
    marks.push_back({{"t_s", mark.at_s - trace.begin_s}, {"kind", mark.kind}, {"text", mark.text}});
  return {{"run_id", id},
          {"t0_engine_s", trace.begin_s},
          {"t_s", std::move(t_s)},
          {"induced_min_pa", std::move(low_pa)},
          {"induced_max_pa", std::move(high_pa)},
          {"target_pa", std::move(target_pa)},
          {"phases", std::move(phases)},
          {"marks", std::move(marks)}};
}
}  // namespace

void get_run_trace(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                   const Reply& reply) {
  const auto points = points_of(request.query);
  if (!points)
    return reply(
        problem_response({422, "out_of_range", "the query may hold points=N, a whole number from 10 to 5000",
                          "points", "leave it away for 1200"}));
  const auto path = context.runs.find(args[0]);
  if (!path) return reply(unknown_run_response(args[0]));
  const auto trace = read_trace(*path, *points);
  if (!trace)
    return reply(
        problem_response({500, "unreadable",
                          "the recording of " + args[0] + " cannot be read: " + trace.error().text, "", ""}));
  reply(json_response(200, trace_json(args[0], *trace)));
}

}  // namespace leeward::daemon
