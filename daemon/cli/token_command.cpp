#include <nlohmann/json.hpp>

#include "daemon/access/private_file.hpp"
#include "daemon/access/secret.hpp"
#include "daemon/access/token_list.hpp"
#include "daemon/api/access_desk.hpp"
#include "daemon/api/status_json.hpp"
#include "daemon/cli/lan_address.hpp"
#include "daemon/cli/output.hpp"
#include "daemon/cli/qr_text.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/config/load_rig.hpp"

namespace leeward::daemon {
namespace {
using Tokens = std::vector<TokenRecord>;

/// Which file, and where the daemon that reads it is reached.
struct TokenPlace {
  std::string path;
  std::string url;
};

std::string url_of(const std::string& host, int port) {
  const bool is_every = host == "0.0.0.0" || host == "::" || host.empty();
  return "http://" + (is_every ? lan_address() : host) + ":" + std::to_string(port);
}

control::Result<TokenPlace> place_of(const TokenCommand& command, const std::string& url) {
  TokenPlace place{command.file, url};
  if (!command.config.empty()) {
    const auto rig = load_rig(command.config);
    if (!rig)
      return tl::unexpected(control::Error{control::Errc::out_of_range, "config", to_text(rig.errors)});
    if (place.path.empty()) place.path = rig.value->listen.token_file;
    if (place.url.empty() && rig.value->listen.tcp_port > 0)
      place.url = url_of(rig.value->listen.tcp_host, rig.value->listen.tcp_port);
  }
  if (place.url.empty()) place.url = url_of("", kUsualTcpPort);
  if (!place.path.empty()) return place;
  auto path = default_token_path();
  if (!path) return tl::unexpected(path.error());
  place.path = *path;
  return place;
}

int list_tokens(const Tokens& tokens, const TokenPlace& place, bool as_json) {
  nlohmann::json list = nlohmann::json::array();
  for (const TokenRecord& token : tokens)
    list.push_back({{"name", token.name}, {"role", role_name(token.role)}, {"created", token.created}});
  if (as_json) {
    print_json({{"tokens", list}, {"file", place.path}});
    return exit_done;
  }
  if (tokens.empty()) print_text("no tokens in " + place.path + "; make one: leeward token NAME");
  for (const TokenRecord& token : tokens)
    print_text(token.name + "  " + std::string(role_name(token.role)) + "  made " + token.created);
  return exit_done;
}

int save(const Tokens& tokens, const TokenPlace& place, bool as_json) {
  const auto saved = save_tokens(place.path, tokens);
  if (saved) return exit_done;
  return report_failure(as_json, {exit_io, "io", saved.error().field + " " + saved.error().text});
}

int revoke(Tokens tokens, const TokenCommand& command, const TokenPlace& place, bool as_json) {
  const std::size_t removed =
      std::erase_if(tokens, [&command](const TokenRecord& token) { return token.name == command.revoke; });
  if (removed == 0)
    return report_failure(as_json, {exit_failed, "unknown_token", "there is no token " + command.revoke,
                                    "leeward token --list names them"});
  if (const int failure = save(tokens, place, as_json); failure != exit_done) return failure;
  if (as_json) {
    print_json({{"revoked", command.revoke}});
  } else {
    print_text("the token " + command.revoke + " lets nobody in any more, nor do the pages opened with it");
  }
  return exit_done;
}

void show(const TokenRecord& token, const std::string& secret, const TokenPlace& place,
          const std::string& saved_to) {
  const std::string link = place.url + "/#token=" + secret;
  const std::string means = token.role == Role::operating ? "may command the fan" : "may look, not command";
  print_text("Token " + token.name + " (" + std::string(role_name(token.role)) + ": " + means +
             "). It is shown this once:\n\n  " + secret + "\n");
  print_text("On a phone in the same network, scan this or open the link:\n\n" + qr_text(link) + "\n  " +
             link);
  if (!saved_to.empty()) print_text("\nwritten to " + saved_to + ", for --token-file");
}

int make(Tokens tokens, const TokenCommand& command, const TokenPlace& place, bool as_json) {
  if (!is_token_name(command.name))
    return report_failure(as_json,
                          {exit_usage, "usage", "a token's name holds only a-z, 0-9 and hyphens, 32 at most",
                           "as in: leeward token phone; --list names those there are"});
  for (const TokenRecord& token : tokens)
    if (token.name == command.name)
      return report_failure(as_json,
                            {exit_failed, "name_taken", "there is a token " + command.name + " already",
                             "leeward token --revoke " + command.name});
  if (tokens.size() >= kMostTokens)
    return report_failure(as_json, {exit_failed, "too_many", "there are 100 tokens already: revoke some"});
  const auto secret = new_secret();
  if (!secret) return report_failure(as_json, {exit_io, "io", secret.error().text});
  const TokenRecord token{command.name, command.is_viewer ? Role::viewer : Role::operating,
                          sha256_hex(*secret), utc_text(calendar_now_ms())};
  tokens.push_back(token);
  if (const int failure = save(tokens, place, as_json); failure != exit_done) return failure;
  if (!command.save.empty())
    if (const auto saved = write_private_file(command.save, *secret + "\n"); !saved)
      return report_failure(as_json, {exit_io, "io", saved.error().field + " " + saved.error().text});
  if (as_json) {
    print_json({{"name", token.name},
                {"role", role_name(token.role)},
                {"token", *secret},
                {"link", place.url + "/#token=" + *secret},
                {"file", place.path}});
  } else {
    show(token, *secret, place, command.save);
  }
  return exit_done;
}
}  // namespace

int run_command(const TokenCommand& command, const CommonOptions& common) {
  const auto place = place_of(command, common.target.url);
  if (!place) return report_failure(common.json, {exit_config, "bad_config", place.error().text});
  const auto tokens = load_tokens(place->path);
  if (!tokens) return report_failure(common.json, {exit_config, "bad_tokens", to_text(tokens.errors)});
  if (command.is_list) return list_tokens(*tokens.value, *place, common.json);
  if (!command.revoke.empty()) return revoke(*tokens.value, command, *place, common.json);
  return make(*tokens.value, command, *place, common.json);
}

}  // namespace leeward::daemon
