#include "tests/fuzz/scripted_peer.hpp"

#include <sys/socket.h>

#include <algorithm>

#include "tests/fuzz/require.hpp"

namespace leeward::fuzz {
namespace {

constexpr std::size_t kAddressAt = daemon::kFunctionAt + 1;
constexpr std::size_t kCountAt = daemon::kFunctionAt + 3;
constexpr std::uint8_t kFirstWrite = 5;

/// The header says how long the frame is.
void set_length(std::vector<std::uint8_t>& frame) {
  const std::size_t length = frame.size() - daemon::kUnitAt;
  frame[daemon::kLengthAt] = static_cast<std::uint8_t>(length >> 8U);
  frame[daemon::kLengthAt + 1] = static_cast<std::uint8_t>(length & 0xFFU);
}

bool send_all(int fd, Bytes bytes) {
  return ::send(fd, bytes.data(), bytes.size(), MSG_NOSIGNAL) == static_cast<::ssize_t>(bytes.size());
}

}  // namespace

ScriptedPeer::ScriptedPeer() {
  auto listener = daemon::listen_tcp("127.0.0.1", 0);
  require(listener.has_value(), "a port can be listened at");
  listener_ = std::move(*listener);
  port_ = daemon::local_port(listener_);
  thread_ = std::thread([this] { serve(); });
}

ScriptedPeer::~ScriptedPeer() {
  ::shutdown(listener_.get(), SHUT_RDWR);  // ends the accept
  thread_.join();
}

void ScriptedPeer::begin(Bytes script) {
  const std::lock_guard lock(mutex_);
  script_ = ByteReader(script);
}

void ScriptedPeer::end() {
  std::unique_lock lock(mutex_);
  changed_.wait(lock, [&] { return open_ == 0; });
}

void ScriptedPeer::serve() {
  for (;;) {
    (void)daemon::wait_for(listener_.get(), POLLIN, daemon::SteadyTime::max());
    daemon::UniqueFd line(::accept(listener_.get(), nullptr, nullptr));
    if (!line.valid()) return;
    {
      const std::lock_guard lock(mutex_);
      ++open_;
    }
    // Ended hard, so that no port stays taken for a minute.
    constexpr ::linger hard{1, 0};
    (void)::setsockopt(line.get(), SOL_SOCKET, SO_LINGER, &hard, sizeof hard);
    daemon::no_delay(line);
    answer_all(line.get());
    line.reset();
    const std::lock_guard lock(mutex_);
    --open_;
    changed_.notify_all();
  }
}

void ScriptedPeer::answer_all(int fd) {
  Frame request;
  bool goes_on = true;
  while (receive(fd, request)) {
    if (goes_on) goes_on = answer(fd, request);
    if (!goes_on) ::shutdown(fd, SHUT_WR);
  }
}

bool ScriptedPeer::receive(int fd, Frame& request) {
  request.resize(daemon::kMaxFrameBytes);
  const ::ssize_t got = ::recv(fd, request.data(), request.size(), 0);
  request.resize(static_cast<std::size_t>(std::max<::ssize_t>(0, got)));
  return request.size() > kCountAt + 1;
}

ScriptedPeer::Frame ScriptedPeer::right_answer(const Frame& request) {
  Frame frame;
  frame.reserve(daemon::kMaxFrameBytes);
  frame.assign(request.begin(), request.begin() + kAddressAt);
  const std::uint8_t function = request[daemon::kFunctionAt];
  if (function >= kFirstWrite) {
    frame.insert(frame.end(), request.begin() + kAddressAt, request.begin() + kCountAt + 2);
  } else {
    const std::size_t count = daemon::word_at(request, kCountAt);
    const std::size_t bytes = function <= 2 ? (count + 7) / 8 : count * 2;
    frame.push_back(static_cast<std::uint8_t>(bytes));
    for (std::size_t i = 0; i < bytes; ++i) frame.push_back(script_.byte());
  }
  set_length(frame);
  return frame;
}

void ScriptedPeer::spoil(Frame& frame) {
  for (std::size_t i = 1 + script_.below(3); i > 0; --i) frame[script_.below(frame.size())] ^= script_.byte();
}

bool ScriptedPeer::answer(int fd, const Frame& request) {
  const std::lock_guard lock(mutex_);
  if (script_.empty()) return false;
  const std::uint8_t choice = script_.byte() % 16;
  Frame frame = right_answer(request);
  switch (choice) {
    case 9:
      frame.resize(daemon::kFunctionAt + 1);
      frame[daemon::kFunctionAt] |= daemon::kExceptionFlag;
      frame.push_back(script_.byte());
      set_length(frame);
      return send_all(fd, frame);
    case 10: {
      const Bytes raw = script_.take(script_.byte());
      (void)send_all(fd, raw);
      return false;
    }
    case 11:
      (void)send_all(fd, Bytes(frame).first(script_.below(frame.size())));
      return false;
    case 12:
      for (std::size_t i = 1 + script_.below(8); i > 0; --i) frame.push_back(script_.byte());
      (void)send_all(fd, frame);
      return false;
    case 13:
      return false;
    case 14: {
      const Bytes raw = script_.take(1 + script_.below(252));
      frame.resize(daemon::kFunctionAt);
      frame.insert(frame.end(), raw.begin(), raw.end());
      set_length(frame);
      (void)send_all(fd, frame);
      return false;
    }
    case 15:
      spoil(frame);
      (void)send_all(fd, frame);
      return false;
    default:
      return send_all(fd, frame);
  }
}

}  // namespace leeward::fuzz
