#include "daemon/cli/token_file.hpp"

#include "daemon/access/private_file.hpp"

namespace leeward::daemon {

Attempt<std::string> token_from(const std::string& path) {
  constexpr std::size_t kLeastBytes = 16;
  const std::string make_one = "make one where the daemon runs: leeward token NAME --save " + path;
  auto token = read_private_line(path);
  if (token && token->size() < kLeastBytes)
    return tl::unexpected(
        Failure{exit_config, "token", "the token file " + path + " holds less than 16 characters", make_one});
  if (token) return std::move(*token);
  const std::string detail = "the token file " + path + " " + token.error().text;
  if (token.error().code == control::Errc::conflict)
    return tl::unexpected(Failure{exit_no_permission, "token", detail});
  return tl::unexpected(Failure{exit_config, "token", detail, make_one});
}

}  // namespace leeward::daemon
