#pragma once
/// The token file of a client or of the daemon, and what it means to the shell when there is none.

#include <string>

#include "daemon/cli/daemon_link.hpp"

namespace leeward::daemon {

/// Errors   no_permission where it may not be read, or others may read it too; config where it is not there
///          or holds no token
[[nodiscard]] Attempt<std::string> token_from(const std::string& path);

}  // namespace leeward::daemon
