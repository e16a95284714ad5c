#include <chrono>
#include <memory>
#include <optional>

#include <boost/asio/post.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/beast/core/basic_stream.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http.hpp>
#include <boost/beast/websocket/rfc6455.hpp>

#include "daemon/api/admission.hpp"
#include "daemon/api/entity_tag.hpp"
#include "daemon/api/idempotent_start.hpp"
#include "daemon/api/page_response.hpp"
#include "daemon/api/problem.hpp"
#include "daemon/api/read_request.hpp"
#include "daemon/api/server_shared.hpp"

namespace leeward::daemon {
namespace {
namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
using beast::error_code;

constexpr std::uint32_t kMaxHeaderBytes = 8 * 1024;
constexpr std::uint64_t kMaxBodyBytes = 64 * 1024;
constexpr std::chrono::seconds kIdleLimit{15};
constexpr std::chrono::seconds kAnswerLimit{12};
constexpr std::chrono::seconds kLinger{1};
constexpr std::chrono::milliseconds kWrongTokenDelay{300};

/// One connection: a request, its answer, the next one.
class HttpSession : public std::enable_shared_from_this<HttpSession> {
 public:
  HttpSession(ApiSocket socket, Peer peer, ServerShared& shared)
      : shared_(shared),
        place_(std::make_shared<ConnectionPlace>(shared)),
        peer_(std::move(peer)),
        stream_(std::move(socket)),
        timer_(stream_.get_executor()) {}

  void read() {
    parser_.emplace();
    parser_->header_limit(kMaxHeaderBytes);
    parser_->body_limit(kMaxBodyBytes);
    stream_.expires_after(kIdleLimit);
    http::async_read(stream_, buffer_, *parser_, [self = shared_from_this()](error_code error, std::size_t) {
      if (error) return self->refuse_broken(error);
      self->judge();
    });
  }

 private:
  void refuse_broken(error_code error) {
    must_close_ = true;
    if (error == http::error::header_limit)
      return write(problem_response({431, "header_too_large", "the header is larger than 8 kB", "", ""}));
    if (error == http::error::body_limit)
      return write(problem_response({413, "body_too_large", "the body is larger than 64 kB", "", ""}));
    const bool is_garbage = error.category() == http::make_error_code(http::error::bad_method).category() &&
                            error != http::error::end_of_stream && error != http::error::partial_message;
    if (is_garbage)
      return write(problem_response({400, "not_http", "this is not HTTP: " + error.message(), "", ""}));
    close();
  }

  void judge() {
    const HttpMessage& message = parser_->get();
    must_close_ = !message.keep_alive();
    const RequestHead head{.method = message.method_string(),
                           .path = path_of(message),
                           .host = message[http::field::host],
                           .origin = message[http::field::origin],
                           .authorization = message[http::field::authorization],
                           .cookie = message[http::field::cookie],
                           .local_user = peer_.user,
                           .address = peer_.address,
                           .is_tcp = peer_.is_tcp};
    const PageAsset* asset = head.method == "GET" ? find_page_asset(head.path) : nullptr;
    const Needs needs = asset != nullptr ? Needs::nothing : shared_.router.needs(head.method, head.path);
    Admission admission =
        admit(shared_.desk, head, needs, shared_.own_names, steady_now_s(), calendar_now_ms() / 1000);
    if (admission.refusal) return refuse(*admission.refusal, admission.is_guess);
    if (asset != nullptr)
      return write(
          page_response(*asset, message[http::field::accept_encoding], message[http::field::if_none_match]));
    if (head.method == "GET" && head.path == "/v1/stream") {
      const std::string last_id(message["Last-Event-ID"]);
      return start_stream_session(stream_.release_socket(), last_id, shared_, place_);
    }
    if (head.method == "GET" && head.path == "/v1/live") return go_live(std::move(admission.caller));
    ApiRequest request = read_request(message, peer_.is_tcp, peer_.address);
    request.caller = std::move(admission.caller);
    handle(std::move(request));
  }

  void go_live(Caller caller) {
    if (!beast::websocket::is_upgrade(parser_->get()))
      return write(problem_response({400, "not_a_websocket", "/v1/live speaks WebSocket only", "Upgrade",
                                     "without one use GET /v1/stream"}));
    start_live_session(stream_.release_socket(), parser_->release(), std::move(caller), shared_, place_);
  }

  void handle(ApiRequest request) {
    if (auto known = begin_start(shared_.desk, request)) return write(std::move(*known));
    const int number = ++exchange_;
    if_none_match_ = parser_->get()[http::field::if_none_match];
    auto reply = [self = shared_from_this(), number, asked = start_key(request)](ApiResponse response) {
      // Answers come from any thread; the socket belongs to this one.
      auto deliver = [self, number, asked, answer = std::move(response)]() mutable {
        end_start(self->shared_.desk, asked, answer);
        self->answer(number, std::move(answer));
      };
      asio::post(self->stream_.get_executor(), std::move(deliver));
    };
    timer_.expires_after(kAnswerLimit);
    timer_.async_wait([self = shared_from_this(), number](error_code error) {
      if (!error)
        self->answer(number, problem_response({503, "no_answer", "the daemon did not answer", "", ""}));
    });
    stream_.expires_never();
    if (!shared_.router.is_slow(request)) return shared_.router.handle(request, std::move(reply));
    auto work = [self = shared_from_this(), request = std::move(request),
                 reply = std::move(reply)]() mutable {
      HttpSession& session = *self;
      session.shared_.router.handle(request, std::move(reply));
      // The session and its socket belong to the other thread: they must not end in this one.
      asio::post(session.stream_.get_executor(), [kept = std::move(self)] {});
    };
    asio::post(shared_.pool, std::move(work));
  }

  void answer(int number, ApiResponse response) {
    if (number != exchange_) return;
    ++exchange_;
    timer_.cancel();
    validate(response, if_none_match_);
    write(std::move(response));
  }

  void refuse(const Problem& problem, bool is_guess) {
    ++shared_.desk.refused[problem.code];
    ApiResponse response = problem_response(problem);
    if (problem.status == 401) response.headers.emplace_back("WWW-Authenticate", "Bearer");
    if (problem.status == 429) response.headers.emplace_back("Retry-After", "5");
    if (!is_guess) return write(std::move(response));
    // Guessing shall be slow, and shall not cost us a thread.
    must_close_ = true;
    timer_.expires_after(kWrongTokenDelay);
    timer_.async_wait([self = shared_from_this(), response = std::move(response)](error_code error) mutable {
      if (!error) self->write(std::move(response));
    });
  }

  void write(ApiResponse response) {
    response_ = {};
    response_.version(11);
    response_.result(static_cast<unsigned>(response.status));
    response_.set(http::field::content_type, response.content_type);
    response_.set(http::field::cache_control, response.may_be_kept ? "private, no-cache" : "no-store");
    response_.set("Referrer-Policy", "no-referrer");
    response_.set("X-Content-Type-Options", "nosniff");
    for (const auto& [name, value] : response.headers) response_.set(name, value);
    response_.keep_alive(!must_close_);
    response_.body() = std::move(response.body);
    response_.prepare_payload();
    stream_.expires_after(kIdleLimit);
    http::async_write(stream_, response_, [self = shared_from_this()](error_code error, std::size_t) {
      if (error) return self->close();
      if (self->must_close_) return self->linger();
      self->read();
    });
  }

  /// Closing while the peer still sends would take the answer away from it.
  void linger() {
    error_code ignored;
    stream_.socket().shutdown(asio::socket_base::shutdown_send, ignored);
    stream_.expires_after(kLinger);
    discard();
  }

  void discard() {
    stream_.async_read_some(asio::buffer(scratch_),
                            [self = shared_from_this()](error_code error, std::size_t) {
                              if (error) return self->close();
                              self->discard();
                            });
  }

  void close() {
    error_code ignored;
    stream_.socket().shutdown(asio::socket_base::shutdown_both, ignored);
    stream_.close();
  }

  ServerShared& shared_;
  std::shared_ptr<ConnectionPlace> place_;
  Peer peer_;
  beast::basic_stream<asio::generic::stream_protocol> stream_;
  asio::steady_timer timer_;
  beast::flat_buffer buffer_{kMaxHeaderBytes + kMaxBodyBytes + 4096};
  std::optional<http::request_parser<http::string_body>> parser_;
  http::response<http::string_body> response_;
  std::array<char, 4096> scratch_{};
  std::string if_none_match_;
  int exchange_ = 0;
  bool must_close_ = false;
};
}  // namespace

void start_http_session(ApiSocket socket, Peer peer, ServerShared& shared) {
  std::make_shared<HttpSession>(std::move(socket), std::move(peer), shared)->read();
}

}  // namespace leeward::daemon
