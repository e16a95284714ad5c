#include "daemon/cli/target_options.hpp"

namespace leeward::daemon {

std::string target_options(const Target& target) {
  if (target.url.empty()) return target.socket.empty() ? std::string() : " --socket " + target.socket;
  return " --url " + target.url + (target.token_file.empty() ? "" : " --token-file " + target.token_file);
}

}  // namespace leeward::daemon
