#pragma once
/// Cuts a text/event-stream body into events, in whatever pieces it arrives.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/client/http_client.hpp"

namespace leeward::daemon {

/// Range   an event larger than 1 MB breaks the stream: broken() is true from then on
class EventParser {
 public:
  /// @returns the events completed by this piece, in order; comments are dropped
  [[nodiscard]] std::vector<StreamEvent> feed(std::string_view piece);
  [[nodiscard]] bool broken() const { return broken_; }

 private:
  void take_line(std::string_view line, std::vector<StreamEvent>& out);
  std::string rest_;
  StreamEvent next_;
  bool has_data_ = false;
  bool broken_ = false;
};

}  // namespace leeward::daemon
