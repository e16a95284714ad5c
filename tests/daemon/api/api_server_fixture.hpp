#pragma once
/// The server on a Unix socket and on TCP with one token, and what a client sends it.

#include <memory>

#include "daemon/access/secret.hpp"
#include "daemon/api/api_server.hpp"
#include "tests/daemon/api/api_fixture.hpp"
#include "tests/daemon/api/raw_connection.hpp"

namespace leeward::daemon {
inline const std::string kServerToken = "0123456789abcdef";

inline std::string server_request(const std::string& head, const std::string& body = {}) {
  std::string text = head + " HTTP/1.1\r\nHost: localhost\r\n";
  if (!body.empty())
    text += "Content-Type: application/json\r\nContent-Length: " + std::to_string(body.size()) + "\r\n";
  return text + "\r\n" + body;
}

inline int server_status(const std::string& answer) {
  return answer.size() > 12 && answer.starts_with("HTTP/1.1 ") ? std::stoi(answer.substr(9, 3)) : 0;
}

inline SnapshotPtr server_sample(std::int64_t stamp_ns) {
  Snapshot snapshot;
  snapshot.sample.stamp_ns = stamp_ns;
  return std::make_shared<const Snapshot>(snapshot);
}

inline SnapshotPtr server_phase(std::int64_t stamp_ns) {
  Snapshot snapshot;
  snapshot.sample.stamp_ns = stamp_ns;
  snapshot.events.push_back({.kind = control::EventKind::phase_changed});
  return std::make_shared<const Snapshot>(snapshot);
}
class ApiServerSockets : public ApiFixture {
 protected:
  void SetUp() override {
    path_ = (folder_ / "api.sock").string();
    const std::string tokens = (folder_ / "tokens.toml").string();
    ASSERT_TRUE(save_tokens(tokens, {{"phone", Role::operating, sha256_hex(kServerToken), "x"}}));
    desk_.gate = Gate::open(tokens).value();
    ASSERT_TRUE(server_.listen({path_, "127.0.0.1", 0}).has_value());
    server_.start();
  }
  std::string exchange(const std::string& bytes) const {
    const RawConnection connection(path_);
    connection.send(bytes);
    return connection.read_until("}");
  }
  std::string exchange_tcp(const std::string& headers) const {
    const RawConnection connection(server_.tcp_port());
    connection.send("GET /v1/status HTTP/1.1\r\n" + headers + "Connection: close\r\n\r\n");
    return connection.read_all();
  }

  EventHub hub_{backend_.config(), 1000};
  ApiServer server_{router_, hub_, desk_};
  std::string path_;
};

}  // namespace leeward::daemon
