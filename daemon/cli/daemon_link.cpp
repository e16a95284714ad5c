#include "daemon/cli/daemon_link.hpp"

#include "daemon/cli/token_file.hpp"
#include "daemon/client/socket_path.hpp"
#include "daemon/words/json.hpp"

namespace leeward::daemon {
namespace {

std::string text_at(const nlohmann::json& json, const char* key) {
  const auto it = json.find(key);
  return it != json.end() && it->is_string() ? it->get<std::string>() : std::string{};
}

/// The daemon speaks of its interface; here the commands are meant.
std::string hint_for(const std::string& code, std::string hint) {
  if (code == "unknown_run") return "leeward runs lists them";
  if (code == "unknown_ask") return "leeward asks lists them";
  if (code == "tripped") return "leeward clear-trip clears it";
  if (code == "look_round_missing") return "--look-round-done says so";
  if (code == "no_baseline") return "cover the fan, then: leeward baseline";
  if (code == "viewer") return "an operator's token may: leeward token NAME, where the daemon runs";
  if (code == "wrong_token")
    return "make one where the daemon runs: leeward token NAME --save FILE; then --token-file FILE here";
  return hint;
}

Failure refused(const HttpReply& reply) {
  Failure failure{exit_failed, "refused", "the daemon answered with status " + std::to_string(reply.status)};
  if (reply.status == 401 || reply.status == 403 || reply.status == 421) failure.exit = exit_no_permission;
  const auto problem = parse_json(reply.body);
  if (!problem || !problem->is_object()) return failure;
  failure.code = text_at(*problem, "code");
  failure.detail = text_at(*problem, "detail");
  failure.hint = hint_for(failure.code, text_at(*problem, "hint"));
  const auto errors = problem->find("errors");
  if (errors == problem->end() || !errors->is_array()) return failure;
  failure.detail.clear();
  for (const auto& error : *errors)
    failure.detail += (failure.detail.empty() ? "" : "\n  ") + text_at(error, "detail");
  return failure;
}
}  // namespace

Attempt<HttpClient> link_to(const Target& target) {
  if (target.url.empty())
    return HttpClient::unix_socket(target.socket.empty() ? default_socket_path().path : target.socket);
  std::string token;
  if (!target.token_file.empty()) {
    auto read = token_from(target.token_file);
    if (!read) return tl::unexpected(read.error());
    token = std::move(*read);
  }
  return HttpClient::url(target.url, token);
}

Failure failure_of(const control::Error& error) {
  if (error.field == "connect")
    return {exit_no_daemon, "no_daemon", "no daemon is running: " + error.text,
            "start one with: leeward serve --config RIG.toml; or name another: --socket FILE, --url URL"};
  if (error.field == "permission")
    return {exit_no_permission, "no_permission", "the daemon's socket may not be used: " + error.text,
            "run this as the user who runs the daemon, or over TCP: leeward --url http://HOST:PORT "
            "--token-file FILE"};
  if (error.field == "url") return {exit_usage, "usage", error.text, "as in --url http://127.0.0.1:8787"};
  return {exit_io, "io", error.text};
}

Attempt<std::string> call_text(const HttpClient& client, const std::string& method, const std::string& path,
                               const std::string& body) {
  const auto reply = client.request(method, path, body);
  if (!reply) return tl::unexpected(failure_of(reply.error()));
  if (reply->status >= 400) return tl::unexpected(refused(*reply));
  return reply->body;
}

Attempt<nlohmann::json> call(const HttpClient& client, const std::string& method, const std::string& path,
                             const nlohmann::json& body) {
  const auto text = call_text(client, method, path, body.is_null() ? std::string{} : json_text(body));
  if (!text) return tl::unexpected(text.error());
  auto json = parse_json(*text);
  if (!json)
    return tl::unexpected(Failure{exit_io, "io", "the daemon's answer is no JSON: " + json.error().text});
  return std::move(*json);
}

}  // namespace leeward::daemon
