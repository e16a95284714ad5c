#include <array>
#include <charconv>
#include <chrono>
#include <memory>

#include <boost/asio/buffer.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/write.hpp>

#include "daemon/api/server_shared.hpp"

namespace leeward::daemon {
namespace {
namespace asio = boost::asio;
using boost::system::error_code;
constexpr std::chrono::seconds kStallLimit{5};
constexpr std::chrono::seconds kHeartbeat{5};
constexpr int kSendBufferBytes = 32 * 1024;  // a reader that stands still shall be noticed soon

constexpr std::string_view kHead =
    "HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\nCache-Control: no-store\r\n"
    "X-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n: hello\n\n";

/// One reader of the event stream: writes what its queue holds, one write at a time.
class StreamSession : public std::enable_shared_from_this<StreamSession> {
 public:
  StreamSession(ApiSocket socket, ServerShared& shared, std::shared_ptr<ConnectionPlace> place)
      : shared_(shared),
        place_(std::move(place)),
        socket_(std::move(socket)),
        heartbeat_(socket_.get_executor()),
        stall_(socket_.get_executor()) {}

  void start(std::optional<std::int64_t> last_event_id) {
    error_code ignored;
    socket_.set_option(asio::socket_base::send_buffer_size(kSendBufferBytes), ignored);
    queue_ = shared_.hub.subscribe(last_event_id, [weak = weak_from_this()] {
      if (const auto self = weak.lock()) self->write_waiting();
    });
    outgoing_ = kHead;
    write();
    beat();
    watch_for_close();
  }

 private:
  void write_waiting() {
    if (is_writing_ || is_closed_) return;
    if (queue_->empty()) {
      if (queue_->overflowed()) close();
      return;
    }
    outgoing_ = sse_text(queue_->take());
    write();
  }

  void write() {
    is_writing_ = true;
    stall_.expires_after(kStallLimit);
    stall_.async_wait([self = shared_from_this()](error_code error) {
      if (!error) self->close();
    });
    asio::async_write(socket_, asio::buffer(outgoing_),
                      [self = shared_from_this()](error_code error, std::size_t) {
                        self->is_writing_ = false;
                        self->stall_.cancel();
                        if (error) return self->close();
                        self->write_waiting();
                      });
  }

  void beat() {
    heartbeat_.expires_after(kHeartbeat);
    heartbeat_.async_wait([self = shared_from_this()](error_code error) {
      if (error || self->is_closed_) return;
      if (!self->is_writing_) {
        self->outgoing_ = ": beat\n\n";
        self->write();
      }
      self->beat();
    });
  }

  /// Nothing more is expected from a reader; the end of its side is the end of the stream.
  void watch_for_close() {
    socket_.async_read_some(asio::buffer(scratch_),
                            [self = shared_from_this()](error_code error, std::size_t) {
                              if (error) self->close();
                            });
  }

  void close() {
    if (is_closed_) return;
    is_closed_ = true;
    shared_.hub.unsubscribe(queue_);
    heartbeat_.cancel();
    stall_.cancel();
    error_code ignored;
    socket_.shutdown(asio::socket_base::shutdown_both, ignored);
    socket_.close(ignored);
  }

  ServerShared& shared_;
  std::shared_ptr<ConnectionPlace> place_;
  ApiSocket socket_;
  asio::steady_timer heartbeat_;
  asio::steady_timer stall_;
  std::shared_ptr<StreamQueue> queue_;
  std::string outgoing_;
  std::array<char, 64> scratch_{};
  bool is_writing_ = false;
  bool is_closed_ = false;
};

}  // namespace

std::optional<std::int64_t> read_event_id(std::string_view text) {
  std::int64_t id = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), id);
  const bool is_whole = error == std::errc{} && end == text.data() + text.size();
  if (text.empty() || !is_whole || id <= 0) return std::nullopt;
  return id;
}

void start_stream_session(ApiSocket socket, const std::string& last_event_id, ServerShared& shared,
                          std::shared_ptr<ConnectionPlace> place) {
  std::make_shared<StreamSession>(std::move(socket), shared, std::move(place))
      ->start(read_event_id(last_event_id));
}

}  // namespace leeward::daemon
