#pragma once
/// What all connections of the server share. Everything but the pool's work runs on one thread.

#include <cstddef>
#include <string>
#include <vector>

#include <boost/asio/generic/stream_protocol.hpp>
#include <boost/asio/thread_pool.hpp>

#include "daemon/api/event_hub.hpp"
#include "daemon/api/router.hpp"

namespace leeward::daemon {

using ApiSocket = boost::asio::generic::stream_protocol::socket;

struct ServerShared {
  Router router;
  EventHub& hub;
  boost::asio::thread_pool pool{1};  ///< for what reads files
  std::string token{};
  std::vector<std::string> own_names{};
  std::size_t connections = 0;
};

/// Counts a connection for as long as it lives.
class ConnectionPlace {
 public:
  explicit ConnectionPlace(ServerShared& shared) : shared_(shared) { ++shared_.connections; }
  ~ConnectionPlace() { --shared_.connections; }
  ConnectionPlace(const ConnectionPlace&) = delete;
  ConnectionPlace& operator=(const ConnectionPlace&) = delete;

 private:
  ServerShared& shared_;
};

/// Reads requests off a connection and answers them until either side closes.
void start_http_session(ApiSocket socket, bool is_tcp, ServerShared& shared);

/// Sends events from now on; the request has been read and allowed.
/// @param last_event_id  text of the header, empty where there was none
void start_stream_session(ApiSocket socket, const std::string& last_event_id, ServerShared& shared,
                          std::shared_ptr<ConnectionPlace> place);

}  // namespace leeward::daemon
