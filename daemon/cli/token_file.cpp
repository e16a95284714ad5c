#include "daemon/cli/token_file.hpp"

#include <unistd.h>

#include <cerrno>
#include <filesystem>

#include "daemon/api/http_security.hpp"

namespace leeward::daemon {
namespace {

bool is_forbidden(const std::string& path, const control::Error& error) {
  if (error.code == control::Errc::conflict) return true;
  return ::access(path.c_str(), R_OK) != 0 && errno == EACCES;
}

std::string how_to_make(const std::string& path) {
  return "make one: (umask 077; head -c 24 /dev/urandom | base64 > " + path + ")";
}
}  // namespace

Attempt<std::string> token_from(const std::string& path) {
  std::error_code ignored;
  if (std::filesystem::is_symlink(path, ignored))
    return tl::unexpected(Failure{exit_config, "token", "the token file " + path + " is a symbolic link",
                                  "name the file that it points to"});
  auto token = read_token_file(path);
  if (token) return std::move(*token);
  const std::string detail = "the token file " + token.error().text;
  if (is_forbidden(path, token.error())) return tl::unexpected(Failure{exit_no_permission, "token", detail});
  return tl::unexpected(Failure{exit_config, "token", detail, how_to_make(path)});
}

}  // namespace leeward::daemon
