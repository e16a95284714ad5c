#include <chrono>
#include <deque>
#include <memory>

#include <boost/asio/post.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http.hpp>
#include <boost/beast/websocket.hpp>

#include <nlohmann/json.hpp>

#include "daemon/api/server_shared.hpp"

namespace leeward::daemon {
namespace {
namespace live {
namespace asio = boost::asio;
namespace http = boost::beast::http;
namespace websocket = boost::beast::websocket;
using boost::system::error_code;

constexpr std::chrono::seconds kWriteLimit{5};
constexpr std::chrono::seconds kHandshakeLimit{5};
constexpr std::chrono::seconds kSilenceLimit{20};
constexpr std::size_t kLargestMessage = 1024;
constexpr std::size_t kMostWaiting = 64;  ///< answers of ours that the other end does not take

/// "after=17" among the parts of a query.
std::string_view after_of(std::string_view target) {
  constexpr std::string_view kKey = "after=";
  std::size_t at = target.find('?');
  while (at != std::string_view::npos) {
    const std::string_view part = target.substr(at + 1);
    if (part.starts_with(kKey)) return part.substr(kKey.size(), part.find('&') - kKey.size());
    at = target.find('&', at + 1);
  }
  return {};
}

/// One page: events go out, signs of life and stops come in.
class LiveSession : public std::enable_shared_from_this<LiveSession> {
 public:
  LiveSession(ApiSocket socket, Caller caller, ServerShared& shared, std::shared_ptr<ConnectionPlace> place)
      : shared_(shared),
        place_(std::move(place)),
        caller_(std::move(caller)),
        socket_(std::move(socket)),
        stall_(socket_.get_executor()) {}

  void start(http::request<http::string_body> upgrade) {
    upgrade_ = std::move(upgrade);
    websocket::stream_base::timeout limits{kHandshakeLimit, kSilenceLimit, true};
    socket_.set_option(limits);
    socket_.read_message_max(kLargestMessage);
    socket_.text(true);
    socket_.async_accept(upgrade_, [self = shared_from_this()](error_code error) {
      if (error) return;
      self->open();
    });
  }

 private:
  void open() {
    const auto after = read_event_id(after_of(upgrade_.target()));
    queue_ = shared_.hub.subscribe(after, [weak = weak_from_this()] {
      if (const auto self = weak.lock()) self->fetch();
    });
    // What was missed, then how things stand: what comes after it can only be newer.
    call("GET", "/v1/status", [self = shared_from_this()](const ApiResponse& status) {
      self->send(live_text(self->shared_.hub.last_id(), "status", status.body));
    });
    fetch();
    read();
  }

  /// Lets the routes answer, as if it had been asked over HTTP.
  void call(const char* method, const char* path, std::function<void(const ApiResponse&)> then) {
    ApiRequest request;
    request.method = method;
    request.path = path;
    request.caller = caller_;
    shared_.router.handle(request, [self = shared_from_this(), then = std::move(then)](ApiResponse response) {
      asio::post(self->socket_.get_executor(), [self, then, answer = std::move(response)] { then(answer); });
    });
  }

  void fetch() {
    if (is_closed_ || queue_ == nullptr || queue_->empty()) return;
    if (is_writing_) return;  // what waits in the queue is taken when the write is done: newest sample wins
    for (const StreamItem& item : queue_->take()) waiting_.push_back(live_text(item));
    write();
  }

  void send(std::string text) {
    if (is_closed_) return;
    if (waiting_.size() > kMostWaiting) return close();
    waiting_.push_back(std::move(text));
    write();
  }

  void write() {
    if (is_writing_ || is_closed_) return;
    if (waiting_.empty()) {
      if (queue_ != nullptr && queue_->overflowed()) close();
      return;
    }
    is_writing_ = true;
    outgoing_ = std::move(waiting_.front());
    waiting_.pop_front();
    stall_.expires_after(kWriteLimit);
    stall_.async_wait([self = shared_from_this()](error_code error) {
      if (!error) self->close();
    });
    socket_.async_write(asio::buffer(outgoing_), [self = shared_from_this()](error_code error, std::size_t) {
      self->is_writing_ = false;
      self->stall_.cancel();
      if (error) return self->close();
      if (self->waiting_.empty()) self->fetch();
      self->write();
    });
  }

  void read() {
    socket_.async_read(incoming_, [self = shared_from_this()](error_code error, std::size_t) {
      if (error) return self->close();
      self->take_message();
      self->incoming_.clear();
      if (!self->is_closed_) self->read();
    });
  }

  void take_message() {
    const std::string_view text(static_cast<const char*>(incoming_.data().data()), incoming_.size());
    const auto message = nlohmann::json::parse(text, nullptr, false);
    const std::string type = message.is_object() && message.contains("type") && message["type"].is_string()
                                 ? message["type"].get<std::string>()
                                 : std::string{};
    // A connection that floods is closed; a stop in it still counts.
    const double now_s = steady_now_s();
    shared_.desk.helm.heard(caller_.name, now_s);
    if (type == "stop") return stop();
    if (type != "here" || !shared_.desk.requests.pass(caller_.name, now_s)) close();
  }

  void stop() {
    if (caller_.role != Role::operating)
      return send(live_text(0, "stopped", R"({"accepted":false,"detail":"a viewer may not stop the fan"})"));
    call("POST", "/v1/stop", [self = shared_from_this()](const ApiResponse& response) {
      const bool is_accepted = response.status == 200;
      self->send(live_text(0, "stopped", is_accepted ? R"({"accepted":true})" : R"({"accepted":false})"));
    });
  }

  void close() {
    if (is_closed_) return;
    is_closed_ = true;
    if (queue_ != nullptr) shared_.hub.unsubscribe(queue_);
    stall_.cancel();
    error_code ignored;
    boost::beast::get_lowest_layer(socket_).shutdown(asio::socket_base::shutdown_both, ignored);
    boost::beast::get_lowest_layer(socket_).close(ignored);
  }

  ServerShared& shared_;
  std::shared_ptr<ConnectionPlace> place_;
  Caller caller_;
  websocket::stream<ApiSocket, false> socket_;
  asio::steady_timer stall_;
  http::request<http::string_body> upgrade_;
  std::shared_ptr<StreamQueue> queue_;
  boost::beast::flat_buffer incoming_{kLargestMessage};
  std::deque<std::string> waiting_;
  std::string outgoing_;
  bool is_writing_ = false;
  bool is_closed_ = false;
};
}  // namespace live
}  // namespace

void start_live_session(ApiSocket socket,
                        boost::beast::http::request<boost::beast::http::string_body> upgrade, Caller caller,
                        ServerShared& shared, std::shared_ptr<ConnectionPlace> place) {
  std::make_shared<live::LiveSession>(std::move(socket), std::move(caller), shared, std::move(place))
      ->start(std::move(upgrade));
}

}  // namespace leeward::daemon
