#pragma once
/// The other end of a Modbus connection, which answers as the bytes say: rightly with any data, spoilt, cut
/// short, as an exception, or with garbage. It never keeps a client waiting: what is short ends with the
/// line.

#include <poll.h>

#include <condition_variable>
#include <mutex>
#include <thread>
#include <vector>

#include "daemon/devices/modbus_fields.hpp"
#include "daemon/devices/tcp_socket.hpp"
#include "tests/fuzz/bytes.hpp"

namespace leeward::fuzz {

class ScriptedPeer {
 public:
  ScriptedPeer();
  ~ScriptedPeer();
  ScriptedPeer(const ScriptedPeer&) = delete;
  ScriptedPeer& operator=(const ScriptedPeer&) = delete;

  [[nodiscard]] int port() const { return port_; }
  /// No connection may be open.
  void begin(Bytes script);
  /// Waits until the last connection has been seen off.
  void end();

 private:
  using Frame = std::vector<std::uint8_t>;
  void serve();
  void answer_all(int fd);
  [[nodiscard]] static bool receive(int fd, Frame& request);
  /// @returns whether the line stays open
  bool answer(int fd, const Frame& request);
  [[nodiscard]] Frame right_answer(const Frame& request);
  void spoil(Frame& frame);

  daemon::UniqueFd listener_;
  int port_ = 0;
  std::mutex mutex_;
  std::condition_variable changed_;
  ByteReader script_{Bytes{}};
  int open_ = 0;  ///< connections that are not seen off yet
  std::thread thread_;
};

}  // namespace leeward::fuzz
