#include "daemon/words/silence_text.hpp"

namespace leeward::daemon {

std::string silence_text(control::SilenceStop stop, bool timeout_refused) {
  switch (stop) {
    case control::SilenceStop::device_timeout:
      if (timeout_refused)
        return "The drive did NOT take its time-out: when the wire goes silent the fan may run on, and "
               "unattended "
               "runs are refused.";
      return "When the wire goes silent the drive stops the fan by its own time-out.";
    case control::SilenceStop::watchdog_relay:
      return "When the wire goes silent a relay outside the drive stops the fan.";
    case control::SilenceStop::none:
      break;
  }
  return "When the wire goes silent NOTHING stops the fan: somebody must be at the hand switch, and "
         "unattended "
         "runs are refused.";
}

}  // namespace leeward::daemon
