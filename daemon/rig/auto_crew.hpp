#pragma once
/// A crew without hands: reads what the daemon asks for, does it to the simulated house, and answers.

#include <chrono>
#include <functional>
#include <map>
#include <string>

#include "daemon/client/http_client.hpp"
#include "sim/house_spec.hpp"

namespace leeward::daemon {

class AutoCrew {
 public:
  using Time = std::chrono::steady_clock::time_point;
  /// HTTP method, target and body to the daemon.
  using Transport = std::function<control::Result<HttpReply>(
      const std::string& method, const std::string& target, const std::string& body)>;
  /// Writes one of the crew's registers. @returns whether the rig took it
  using Hand = std::function<bool(int address, std::uint16_t value)>;

  /// @param delay  between seeing an ask and having done it
  AutoCrew(const sim::HouseSpec& house, std::chrono::nanoseconds delay, Transport transport, Hand hand);

  /// One look at the asks. The act always comes before the answer. Whatever does not work (no daemon
  /// yet, no answer) is tried again at the next look.
  void look(Time now);

 private:
  sim::HouseSpec house_;
  std::chrono::nanoseconds delay_;
  Transport transport_;
  Hand hand_;
  std::map<std::string, Time> seen_;  ///< when each open ask was seen first
};

}  // namespace leeward::daemon
