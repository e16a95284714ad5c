#pragma once
/// What every handler is given.

#include <optional>
#include <string>
#include <vector>

#include "daemon/api/access_desk.hpp"
#include "daemon/api/backend.hpp"
#include "daemon/api/drive_shelf.hpp"
#include "daemon/api/http_message.hpp"
#include "daemon/config/resume_within.hpp"
#include "daemon/recorder/run_store.hpp"

namespace leeward::daemon {

struct ApiContext {
  Backend& backend;
  RunStore runs;
  std::string version;
  AccessDesk* desk = nullptr;  ///< of the thread that serves the sockets; nobody else may touch it
  const DriveShelf* drives = nullptr;
  std::optional<int> watchman_pid{};  ///< none: nobody watches over the control thread
  /// Age that the oldest reading of a run which is gone on with may have.
  double resume_within_s = kResumeWithinS;
};

/// The parts of the path that a route leaves open, in order.
using PathArgs = std::vector<std::string>;

}  // namespace leeward::daemon
