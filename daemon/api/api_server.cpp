#include "daemon/api/api_server.hpp"

#include <pwd.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <thread>

#include <boost/asio/executor_work_guard.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/steady_timer.hpp>

#include "daemon/api/http_security.hpp"
#include "daemon/api/server_shared.hpp"

namespace leeward::daemon {
namespace {
namespace asio = boost::asio;
using asio::ip::tcp;
using asio::local::stream_protocol;
using boost::system::error_code;
using control::Errc;
using control::Error;
using control::Result;

constexpr std::size_t kMaxConnections = 256;
constexpr std::size_t kKeptForUnixSocket = 16;  // a flood on TCP must not keep the stop command out
constexpr std::size_t kMaxSocketPath = 107;
constexpr std::chrono::milliseconds kTimeToSayGoodbye{100};

tl::unexpected<Error> failed(Errc code, const char* field, std::string text) {
  return tl::unexpected(Error{code, field, std::move(text)});
}
/// Who runs the program at the other end of a Unix socket.
std::string user_of(int socket) {
  ucred credentials{};
  socklen_t size = sizeof credentials;
  if (::getsockopt(socket, SOL_SOCKET, SO_PEERCRED, &credentials, &size) != 0) return "unknown";
  std::array<char, 1024> text{};
  passwd entry{};
  passwd* found = nullptr;
  const int error = ::getpwuid_r(credentials.uid, &entry, text.data(), text.size(), &found);
  return error == 0 && found != nullptr ? found->pw_name : std::to_string(credentials.uid);
}
}  // namespace

struct ApiServer::Parts {
  Parts(const Router& router, EventHub& hub, AccessDesk& desk)
      : shared{.router = router, .hub = hub, .desk = desk} {}

  Result<void> listen_unix(const std::string& path) {
    if (path.size() > kMaxSocketPath)
      return failed(Errc::io, "socket", "the path is longer than 107 bytes: " + path);
    ::unlink(path.c_str());
    const mode_t before = ::umask(0177);
    error_code error;
    unix_acceptor.open(stream_protocol(), error);
    if (!error) unix_acceptor.bind(stream_protocol::endpoint(path), error);
    ::umask(before);
    if (!error) unix_acceptor.listen(asio::socket_base::max_listen_connections, error);
    if (error) return failed(Errc::io, "socket", "cannot listen on " + path + ": " + error.message());
    socket_path = path;
    return {};
  }

  Result<void> listen_tcp(const ListenOptions& options) {
    if (!shared.desk.gate) return failed(Errc::conflict, "listen.token_file", "TCP needs a token file");
    error_code error;
    tcp::resolver resolver(io);
    const auto found = resolver.resolve(options.tcp_host, std::to_string(options.tcp_port), error);
    if (error || found.empty())
      return failed(Errc::io, "listen.tcp_host", "unknown host " + options.tcp_host + ": " + error.message());
    const tcp::endpoint endpoint = found.begin()->endpoint();
    tcp_acceptor.open(endpoint.protocol(), error);
    if (!error) tcp_acceptor.set_option(asio::socket_base::reuse_address(true), error);
    if (!error) tcp_acceptor.bind(endpoint, error);
    if (!error) tcp_acceptor.listen(asio::socket_base::max_listen_connections, error);
    if (error)
      return failed(Errc::io, "listen.tcp_port",
                    "cannot listen on " + options.tcp_host + ":" + std::to_string(options.tcp_port) + ": " +
                        error.message());
    shared.own_names = names_of_this_host();
    shared.own_names.push_back(options.tcp_host);
    shared.own_names.insert(shared.own_names.end(), options.names.begin(), options.names.end());
    return {};
  }

  void start_session(tcp::socket socket) {
    error_code ignored;
    Peer peer{.is_tcp = true, .address = socket.remote_endpoint(ignored).address().to_string()};
    socket.set_option(tcp::no_delay(true), ignored);
    start_http_session(ApiSocket(std::move(socket)), std::move(peer), shared);
  }

  void start_session(stream_protocol::socket socket) {
    Peer peer{.user = user_of(socket.native_handle())};
    start_http_session(ApiSocket(std::move(socket)), std::move(peer), shared);
  }

  template <class Acceptor>
  void accept(Acceptor& acceptor, bool is_tcp, asio::steady_timer& pause) {
    acceptor.async_accept([this, &acceptor, is_tcp, &pause](error_code error, auto socket) {
      if (error == asio::error::operation_aborted) return;
      const std::size_t limit = is_tcp ? kMaxConnections - kKeptForUnixSocket : kMaxConnections;
      if (!error && shared.connections < limit) start_session(std::move(socket));
      if (!error) return accept(acceptor, is_tcp, pause);
      // Out of descriptors, most likely: trying again at once would only burn the processor.
      pause.expires_after(std::chrono::milliseconds(50));
      pause.async_wait([this, &acceptor, is_tcp, &pause](error_code aborted) {
        if (!aborted) accept(acceptor, is_tcp, pause);
      });
    });
  }

  ServerShared shared;  // before io: connections that io still holds at its end count themselves out here
  asio::io_context io{1};
  asio::executor_work_guard<asio::io_context::executor_type> guard{io.get_executor()};
  stream_protocol::acceptor unix_acceptor{io};
  tcp::acceptor tcp_acceptor{io};
  asio::steady_timer unix_pause{io};
  asio::steady_timer tcp_pause{io};
  asio::steady_timer closing{io};
  std::string socket_path;
  std::thread thread;
};

ApiServer::ApiServer(const Router& router, EventHub& hub, AccessDesk& desk)
    : parts_(std::make_unique<Parts>(router, hub, desk)) {}

ApiServer::~ApiServer() { stop(); }

Result<void> ApiServer::listen(const ListenOptions& options) {
  if (auto listening = parts_->listen_unix(options.socket_path); !listening) return listening;
  if (options.tcp_port < 0) return {};
  return parts_->listen_tcp(options);
}

int ApiServer::tcp_port() const {
  error_code ignored;
  return parts_->tcp_acceptor.is_open() ? parts_->tcp_acceptor.local_endpoint(ignored).port() : -1;
}

void ApiServer::start() {
  Parts& parts = *parts_;
  parts.shared.hub.set_notify([&parts] { asio::post(parts.io, [&parts] { parts.shared.hub.drain(); }); });
  parts.accept(parts.unix_acceptor, false, parts.unix_pause);
  if (parts.tcp_acceptor.is_open()) parts.accept(parts.tcp_acceptor, true, parts.tcp_pause);
  parts.thread = std::thread([&parts] { parts.io.run(); });
}

void ApiServer::post(std::function<void()> job) { asio::post(parts_->io, std::move(job)); }

void ApiServer::stop() {
  if (!parts_) return;
  Parts& parts = *parts_;
  parts.shared.hub.set_notify(nullptr);
  parts.shared.pool.join();
  if (parts.thread.joinable()) {
    asio::post(parts.io, [&parts] {
      parts.shared.hub.drain();
      parts.closing.expires_after(kTimeToSayGoodbye);
      parts.closing.async_wait([&parts](error_code) { parts.io.stop(); });
    });
    parts.thread.join();
  }
  if (!parts.socket_path.empty()) ::unlink(parts.socket_path.c_str());
  parts_.reset();
}

Result<void> prepare_socket_folder(const std::string& socket_path, bool must_own) {
  const std::size_t slash = socket_path.rfind('/');
  if (slash == std::string::npos || slash == 0) return {};
  const std::string folder = socket_path.substr(0, slash);
  struct stat info {};
  if (::lstat(folder.c_str(), &info) != 0) {
    if (::mkdir(folder.c_str(), 0700) != 0)
      return failed(Errc::io, "socket", "the folder " + folder + " cannot be made");
    return {};
  }
  if (!must_own) return {};
  // Anyone may put a folder of this name into /tmp before us.
  if (!S_ISDIR(info.st_mode) || info.st_uid != ::geteuid() || (info.st_mode & 022) != 0)
    return failed(Errc::conflict, "socket", folder + " is not a folder that only this user can write to");
  return {};
}

}  // namespace leeward::daemon
