#include "daemon/client/http_client.hpp"

#include <array>
#include <string_view>
#include <vector>

#include <boost/asio/generic/stream_protocol.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/beast/core/basic_stream.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http.hpp>

#include "daemon/client/event_parser.hpp"

namespace leeward::daemon {
namespace {
namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
using control::Errc;
using control::Error;
using control::Result;
constexpr std::chrono::milliseconds kWaitSlice{100};
constexpr std::size_t kMaxReplyBytes = std::size_t{256} << 20;  // a long recording as CSV

tl::unexpected<Error> failed(const char* field, std::string text) {
  return tl::unexpected(Error{Errc::io, field, std::move(text)});
}
}  // namespace

/// One connection and what passes over it: each asynchronous step is run to its end, which gives a
/// blocking call a time limit.
class HttpExchange {
 public:
  explicit HttpExchange(const HttpClient& client, std::function<bool()> on_wait = {})
      : client_(client), on_wait_(std::move(on_wait)), stream_(io_) {}

  Result<void> connect() {
    const auto endpoints = find_endpoints();
    if (!endpoints) return tl::unexpected(endpoints.error());
    beast::error_code error = asio::error::not_found;
    for (const auto& endpoint : *endpoints) {
      stream_.expires_after(client_.timeout_);
      stream_.async_connect(endpoint, [&error](beast::error_code e) { error = e; });
      run();
      if (!error) return {};
    }
    if (error == asio::error::access_denied)
      return failed("permission", client_.where_ + ": " + error.message());
    return failed("connect", "no answer at " + client_.where_ + ": " + error.message());
  }

  Result<void> send(const std::string& method, const std::string& target, const std::string& body,
                    const std::string& last_event_id) {
    http::request<http::string_body> request(http::verb::get, target, 11);
    request.method_string(method);
    request.set(http::field::host, host_header());
    request.set(http::field::connection, "close");
    if (!client_.token_.empty()) request.set(http::field::authorization, "Bearer " + client_.token_);
    if (!last_event_id.empty()) request.set("Last-Event-ID", last_event_id);
    if (!body.empty()) request.set(http::field::content_type, "application/json");
    request.body() = body;
    request.prepare_payload();
    beast::error_code error;
    stream_.expires_after(client_.timeout_);
    http::async_write(stream_, request, [&error](beast::error_code e, std::size_t) { error = e; });
    run();
    return judge(error, "send");
  }

  Result<HttpReply> receive() {
    http::response_parser<http::string_body> parser;
    parser.body_limit(kMaxReplyBytes);
    beast::error_code error;
    http::async_read(stream_, buffer_, parser, [&error](beast::error_code e, std::size_t) { error = e; });
    run();
    if (auto judged = judge(error, "receive"); !judged) return tl::unexpected(judged.error());
    auto message = parser.release();
    return HttpReply{static_cast<int>(message.result_int()), std::string(message[http::field::content_type]),
                     std::move(message.body())};
  }

  Result<void> follow(const std::function<bool(const StreamEvent&)>& on_event) {
    http::response_parser<http::buffer_body> parser;
    parser.body_limit(boost::none);
    beast::error_code error;
    http::async_read_header(stream_, buffer_, parser,
                            [&error](beast::error_code e, std::size_t) { error = e; });
    run();
    if (has_ended_) return {};
    if (auto judged = judge(error, "receive"); !judged) return judged;
    if (parser.get().result() != http::status::ok)
      return failed("status",
                    "the stream was refused with status " + std::to_string(parser.get().result_int()));
    return follow_body(parser, on_event);
  }

  /// What failed because the waiting was ended has not failed.
  Result<void> ended_or(Result<void> outcome) const { return has_ended_ ? Result<void>{} : outcome; }

 private:
  using Endpoint = asio::generic::stream_protocol::endpoint;

  Result<std::vector<Endpoint>> find_endpoints() {
    std::vector<Endpoint> found;
    if (client_.is_unix_) {
      // The longest path that a socket address holds is 107 bytes; Asio throws beyond it.
      if (client_.where_.empty() || client_.where_.size() > 107)
        return failed("connect", "socket path is empty or longer than 107 bytes: " + client_.where_);
      found.emplace_back(asio::local::stream_protocol::endpoint(client_.where_));
      return found;
    }
    if (client_.host_.empty()) return failed("url", "expected http://HOST[:PORT], got " + client_.where_);
    beast::error_code error;
    asio::ip::tcp::resolver resolver(io_);
    for (const auto& entry : resolver.resolve(client_.host_, client_.port_, error))
      found.emplace_back(entry.endpoint());
    if (error) return failed("connect", "unknown host " + client_.host_ + ": " + error.message());
    return found;
  }

  std::string host_header() const {
    if (client_.is_unix_) return "localhost";
    const bool is_ipv6 = client_.host_.find(':') != std::string::npos;
    return (is_ipv6 ? "[" + client_.host_ + "]" : client_.host_) + ":" + client_.port_;
  }

  Result<void> follow_body(http::response_parser<http::buffer_body>& parser,
                           const std::function<bool(const StreamEvent&)>& on_event) {
    EventParser events;
    std::array<char, 8192> piece{};
    while (!parser.is_done()) {
      parser.get().body() = {piece.data(), piece.size(), true};
      beast::error_code error;
      stream_.expires_after(client_.timeout_);
      http::async_read_some(stream_, buffer_, parser,
                            [&error](beast::error_code e, std::size_t) { error = e; });
      run();
      if (has_ended_) return {};
      if (error == http::error::need_buffer) error = {};
      // A daemon that goes away ends the stream without the last chunk.
      if (error == http::error::partial_message || error == http::error::end_of_stream) return {};
      if (auto judged = judge(error, "receive"); !judged) return judged;
      const std::size_t got = piece.size() - parser.get().body().size;
      for (const StreamEvent& event : events.feed({piece.data(), got}))
        if (!on_event(event)) return {};
      if (events.broken()) return failed("exchange", "an event of the stream is too large");
    }
    return {};
  }

  /// To the end of the step in hand. Whoever waits is asked now and then whether to go on.
  void run() {
    io_.restart();
    if (!on_wait_) {
      io_.run();
      return;
    }
    while (!io_.stopped()) {
      io_.run_for(kWaitSlice);
      if (io_.stopped() || on_wait_()) continue;
      has_ended_ = true;
      stream_.cancel();
      io_.run();
    }
  }

  Result<void> judge(const beast::error_code& error, const char* step) const {
    if (!error) return {};
    if (error == beast::error::timeout)
      return failed("timeout", client_.where_ + " did not answer in time (" + step + ")");
    return failed("exchange", client_.where_ + ": " + step + ": " + error.message());
  }

  const HttpClient& client_;
  std::function<bool()> on_wait_;
  bool has_ended_ = false;  ///< by on_wait_
  asio::io_context io_;
  beast::basic_stream<asio::generic::stream_protocol> stream_;
  beast::flat_buffer buffer_;
};

HttpClient HttpClient::unix_socket(std::string path) {
  HttpClient client;
  client.where_ = std::move(path);
  return client;
}

HttpClient HttpClient::url(std::string url, std::string token) {
  HttpClient client;
  client.is_unix_ = false;
  client.token_ = std::move(token);
  client.where_ = std::move(url);
  std::string_view rest = client.where_;
  constexpr std::string_view kScheme = "http://";
  if (!rest.starts_with(kScheme)) return client;
  rest.remove_prefix(kScheme.size());
  while (!rest.empty() && rest.back() == '/') rest.remove_suffix(1);
  if (rest.find('/') != std::string_view::npos) return client;
  const std::size_t bracket = rest.find(']');
  const std::size_t colon = rest.find(':', bracket == std::string_view::npos ? 0 : bracket);
  std::string_view host = rest.substr(0, colon);
  client.port_ = colon == std::string_view::npos ? "80" : std::string(rest.substr(colon + 1));
  if (host.size() > 2 && host.front() == '[' && host.back() == ']') host = host.substr(1, host.size() - 2);
  client.host_ = host;
  return client;
}

Result<HttpReply> HttpClient::request(const std::string& method, const std::string& target,
                                      const std::string& body_json) const {
  HttpExchange exchange(*this);
  if (auto connected = exchange.connect(); !connected) return tl::unexpected(connected.error());
  if (auto sent = exchange.send(method, target, body_json, {}); !sent) return tl::unexpected(sent.error());
  return exchange.receive();
}

Result<void> HttpClient::stream(const std::string& target,
                                const std::function<bool(const StreamEvent&)>& on_event,
                                const std::string& last_event_id,
                                const std::function<bool()>& on_wait) const {
  HttpExchange exchange(*this, on_wait);
  if (auto connected = exchange.connect(); !connected) return exchange.ended_or(connected);
  if (auto sent = exchange.send("GET", target, {}, last_event_id); !sent) return exchange.ended_or(sent);
  return exchange.follow(on_event);
}

}  // namespace leeward::daemon
