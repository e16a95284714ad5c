#include "daemon/api/router.hpp"

#include <array>
#include <optional>
#include <string_view>

#include "daemon/api/access_handlers.hpp"
#include "daemon/api/ask_handlers.hpp"
#include "daemon/api/command_handlers.hpp"
#include "daemon/api/drive_handlers.hpp"
#include "daemon/api/library_handlers.hpp"
#include "daemon/api/metrics.hpp"
#include "daemon/api/problem.hpp"
#include "daemon/api/report_handler.hpp"
#include "daemon/api/resume_handler.hpp"
#include "daemon/api/run_handlers.hpp"
#include "daemon/api/status_handlers.hpp"
#include "daemon/api/trace_handler.hpp"

namespace leeward::daemon {
namespace {
using Handler = void (*)(const ApiContext&, const ApiRequest&, const PathArgs&, const Reply&);

struct Route {
  std::string_view method;
  std::string_view pattern;  ///< a segment `*` stands for any text
  Handler handler;
  Needs needs;
  bool is_slow;
};

constexpr std::array kRoutes{
    Route{"GET", "/v1/status", get_status, Needs::reading, false},
    Route{"GET", "/v1/healthz", get_healthz, Needs::reading, false},
    Route{"GET", "/v1/readyz", get_readyz, Needs::reading, false},
    Route{"GET", "/metrics", get_metrics, Needs::reading, false},
    Route{"GET", "/v1/openapi.json", get_openapi, Needs::reading, false},
    Route{"GET", "/v1/session", get_session, Needs::reading, false},
    Route{"POST", "/v1/session", post_session, Needs::nothing, false},
    Route{"DELETE", "/v1/session", delete_session, Needs::nothing, false},
    Route{"POST", "/v1/helm", post_helm, Needs::operating, false},
    Route{"DELETE", "/v1/helm", delete_helm, Needs::operating, false},
    Route{"GET", "/v1/procedures", get_procedures, Needs::reading, true},
    Route{"GET", "/v1/procedures/*", get_procedure, Needs::reading, true},
    Route{"GET", "/v1/targets", get_targets, Needs::reading, true},
    Route{"POST", "/v1/baseline", post_baseline, Needs::helm, false},
    Route{"POST", "/v1/hold", post_hold, Needs::helm, false},
    Route{"POST", "/v1/climb", post_climb, Needs::helm, false},
    Route{"POST", "/v1/rig-learn", post_rig_learn, Needs::helm, false},
    Route{"GET", "/v1/rig-learn", get_rig_learn, Needs::reading, true},
    Route{"POST", "/v1/continue", post_continue, Needs::helm, false},
    Route{"POST", "/v1/presence", post_presence, Needs::operating, false},
    Route{"POST", "/v1/stop", post_stop, Needs::operating, false},
    Route{"POST", "/v1/clear-trip", post_clear_trip, Needs::helm, false},
    Route{"GET", "/v1/asks", get_asks, Needs::reading, false},
    Route{"POST", "/v1/asks/*", post_ask, Needs::operating, false},
    Route{"GET", "/v1/runs", get_runs, Needs::reading, true},
    Route{"POST", "/v1/runs", post_run, Needs::helm, true},
    Route{"POST", "/v1/runs/*/resume", post_run_resume, Needs::helm, true},
    Route{"GET", "/v1/runs/*", get_run, Needs::reading, true},
    Route{"GET", "/v1/runs/*/result", get_run_result, Needs::reading, true},
    Route{"GET", "/v1/runs/*/trace", get_run_trace, Needs::reading, true},
    Route{"GET", "/v1/runs/*/samples.csv", get_run_samples, Needs::reading, true},
    Route{"GET", "/v1/runs/*/report.pdf", get_run_report, Needs::reading, true},
    Route{"POST", "/v1/runs/*/report.pdf", post_run_report, Needs::reading, true},
};

std::string_view next_segment(std::string_view& path) {
  if (path.starts_with('/')) path.remove_prefix(1);
  const std::size_t end = std::min(path.find('/'), path.size());
  const std::string_view segment = path.substr(0, end);
  path.remove_prefix(end);
  return segment;
}

std::optional<PathArgs> match(std::string_view pattern, std::string_view path) {
  PathArgs args;
  while (!pattern.empty() && !path.empty()) {
    const std::string_view wanted = next_segment(pattern);
    const std::string_view given = next_segment(path);
    if (wanted == "*" && !given.empty()) {
      args.emplace_back(given);
    } else if (wanted != given) {
      return std::nullopt;
    }
  }
  if (!pattern.empty() || !path.empty()) return std::nullopt;
  return args;
}

bool is_json(std::string_view content_type) {
  const std::string_view type = content_type.substr(0, content_type.find(';'));
  constexpr std::string_view kJson = "application/json";
  return type.size() >= kJson.size() && type.starts_with(kJson) &&
         type.find_first_not_of(' ', kJson.size()) == std::string_view::npos;
}

ApiResponse no_route(const ApiRequest& request) {
  std::string allowed;
  for (const Route& route : kRoutes)
    if (match(route.pattern, request.path))
      allowed += (allowed.empty() ? "" : ", ") + std::string(route.method);
  if (allowed.empty())
    return problem_response({404, "unknown_path", "there is nothing at " + request.path, "", ""});
  ApiResponse response = problem_response(
      {405, "wrong_method", request.path + " does not take " + request.method, "", "use " + allowed});
  response.headers.emplace_back("Allow", allowed);
  return response;
}
}  // namespace

void Router::handle(const ApiRequest& request, Reply reply) const {
  for (const Route& route : kRoutes) {
    if (route.method != request.method) continue;
    const auto args = match(route.pattern, request.path);
    if (!args) continue;
    // Nothing about a body may stand between a person and the stop.
    if (route.handler != post_stop && !request.body.empty() && !is_json(request.content_type))
      return reply(problem_response({415, "wrong_content_type", "a body must be application/json",
                                     "Content-Type", "send the header Content-Type: application/json"}));
    return route.handler(context_, request, *args, reply);
  }
  reply(no_route(request));
}

Needs Router::needs(std::string_view method, std::string_view path) const {
  for (const Route& route : kRoutes)
    if (route.method == method && match(route.pattern, path)) return route.needs;
  return Needs::reading;
}

std::vector<RouteName> Router::routes() {
  std::vector<RouteName> out;
  for (const Route& route : kRoutes) out.push_back({route.method, route.pattern, route.needs});
  return out;
}

bool Router::is_slow(const ApiRequest& request) const {
  for (const Route& route : kRoutes)
    if (route.is_slow && route.method == request.method && match(route.pattern, request.path)) return true;
  return false;
}

}  // namespace leeward::daemon
