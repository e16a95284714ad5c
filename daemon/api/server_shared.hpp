#pragma once
/// What all connections of the server share. Everything but the pool's work runs on one thread.

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <boost/asio/generic/stream_protocol.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/beast/http/message.hpp>
#include <boost/beast/http/string_body.hpp>

#include "daemon/api/access_desk.hpp"
#include "daemon/api/event_hub.hpp"
#include "daemon/api/router.hpp"

namespace leeward::daemon {

using ApiSocket = boost::asio::generic::stream_protocol::socket;

struct ServerShared {
  Router router;
  EventHub& hub;
  boost::asio::thread_pool pool{1};  ///< for what reads files
  AccessDesk& desk;
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

/// Whom a connection comes from.
struct Peer {
  bool is_tcp = false;
  std::string address{};  ///< on TCP
  std::string user{};     ///< on the Unix socket
};

/// Reads requests off a connection and answers them until either side closes.
void start_http_session(ApiSocket socket, Peer peer, ServerShared& shared);

/// Sends events from now on; the request has been read and allowed.
/// @param last_event_id  text of the header, empty where there was none
void start_stream_session(ApiSocket socket, const std::string& last_event_id, ServerShared& shared,
                          std::shared_ptr<ConnectionPlace> place);

/// The same over a WebSocket, after how things stand; takes signs of life and stops.
/// @param upgrade  the request that asked for it, allowed already
void start_live_session(ApiSocket socket,
                        boost::beast::http::request<boost::beast::http::string_body> upgrade, Caller caller,
                        ServerShared& shared, std::shared_ptr<ConnectionPlace> place);

/// A whole number above 0; nullopt for anything else.
[[nodiscard]] std::optional<std::int64_t> read_event_id(std::string_view text);

}  // namespace leeward::daemon
