#include "daemon/api/report_handler.hpp"

#include <algorithm>
#include <string_view>

#include "daemon/api/checked_json.hpp"
#include "daemon/api/problem.hpp"
#include "daemon/document/report_pdf.hpp"

namespace leeward::daemon {
namespace {

bool take_paper(std::string_view value, ReportOptions& options) {
  if (value != "a4" && value != "letter") return false;
  options.paper = value == "a4" ? Paper::a4 : Paper::letter;
  return true;
}

bool take_units(std::string_view value, ReportOptions& options) {
  if (value != "si" && value != "metric" && value != "ip") return false;
  options.units = value == "si" ? UnitSystem::si : value == "ip" ? UnitSystem::ip : UnitSystem::metric;
  return true;
}

bool take_option(std::string_view pair, ReportOptions& options) {
  const std::size_t equals = pair.find('=');
  if (equals == std::string_view::npos) return false;
  const std::string_view key = pair.substr(0, equals);
  const std::string_view value = pair.substr(equals + 1);
  return (key == "paper" && take_paper(value, options)) || (key == "units" && take_units(value, options));
}

}  // namespace

bool read_report_query(std::string_view query, ReportOptions& options) {
  while (!query.empty()) {
    const std::size_t end = std::min(query.find('&'), query.size());
    if (!take_option(query.substr(0, end), options)) return false;
    query.remove_prefix(std::min(end + 1, query.size()));
  }
  return true;
}

namespace {

void read_choice(FieldReader& fields, const char* key, bool (*take)(std::string_view, ReportOptions&),
                 const char* allowed, ReportOptions& options) {
  const auto text = fields.text(key, 16);
  if (text && !take(*text, options)) fields.add_problem(key, "out_of_range", allowed);
}

void read_particulars(FieldReader& top, Particulars& out, std::vector<Problem>& problems) {
  const nlohmann::json* object = top.object("particulars");
  if (object == nullptr) return;
  FieldReader fields(*object, "particulars", problems);
  for (const ParticularKey& key : kParticulars) {
    const auto text = fields.text(key.key, key.most_bytes);
    if (!text) continue;
    const std::string fault = particular_fault(key, *text);
    if (!fault.empty()) fields.add_problem(key.key, "out_of_range", fault);
    out.*key.member = *text;
  }
  fields.refuse_unknown();
}

void reply_report(const ApiContext& context, const std::string& id, const ReportOptions& options,
                  const Reply& reply) {
  const auto path = context.runs.find(id);
  if (!path) return reply(unknown_run_response(id));
  auto pdf = report_pdf(*path, options);
  if (!pdf)
    return reply(problem_response(
        {500, "no_report", "The report of " + id + " cannot be made: " + pdf.error().text, "", ""}));
  ApiResponse response;
  response.content_type = "application/pdf";
  response.headers.emplace_back("Content-Disposition", "attachment; filename=\"" + id + ".pdf\"");
  response.body = std::move(*pdf);
  reply(std::move(response));
}

}  // namespace

void get_run_report(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                    const Reply& reply) {
  ReportOptions options;
  if (!read_report_query(request.query, options))
    return reply(
        problem_response({422, "bad_query", "The query takes paper=a4 or letter, and units=si, metric or ip.",
                          "query", "names and the purpose go into the body of a POST"}));
  reply_report(context, args[0], options, reply);
}

ReportOptions read_report_body(const std::string& body, std::vector<Problem>& problems) {
  ReportOptions options;
  nlohmann::json json;
  if (const auto problem = parse_body(body, json)) {
    problems.push_back(*problem);
    return options;
  }
  FieldReader top(json, "", problems);
  read_choice(top, "paper", take_paper, "must be a4 or letter", options);
  read_choice(top, "units", take_units, "must be si, metric or ip", options);
  read_particulars(top, options.particulars, problems);
  top.refuse_unknown();
  return options;
}

void post_run_report(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                     const Reply& reply) {
  std::vector<Problem> problems;
  const ReportOptions options = read_report_body(request.body, problems);
  if (!problems.empty()) return reply(problems_response(problems));
  reply_report(context, args[0], options, reply);
}

}  // namespace leeward::daemon
