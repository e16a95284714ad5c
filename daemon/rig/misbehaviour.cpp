#include "daemon/rig/misbehaviour.hpp"

#include <utility>

#include "daemon/devices/modbus_fields.hpp"

namespace leeward::daemon {
namespace {

using Bytes = std::vector<std::uint8_t>;

constexpr std::chrono::milliseconds kUsualLateness{250};
constexpr std::chrono::milliseconds kUsualPause{30};
constexpr std::size_t kGarbageBytes = 23;

BusReply at_once(Bytes bytes) { return {TimedBytes{.bytes = std::move(bytes)}}; }

Bytes with_flipped(Bytes bytes, std::size_t at) {
  bytes[at] = static_cast<std::uint8_t>(bytes[at] ^ 0xFFU);
  return bytes;
}

BusReply one_by_one(const Bytes& bytes, SteadyTime now, std::chrono::milliseconds pause) {
  BusReply reply;
  for (const std::uint8_t byte : bytes) reply.push_back({.at = now += pause, .bytes = {byte}});
  return reply;
}

}  // namespace

BusReply misbehave(Misbehaviour kind, std::span<const std::uint8_t> answer, SteadyTime now,
                   std::chrono::milliseconds pause) {
  const Bytes right(answer.begin(), answer.end());
  const Bytes half(answer.begin(), answer.begin() + static_cast<std::ptrdiff_t>(answer.size() / 2));
  const bool usual = pause.count() == 0;
  switch (kind) {
    case Misbehaviour::silent:
      return {};
    case Misbehaviour::late:
      return {TimedBytes{.at = now + (usual ? kUsualLateness : pause), .bytes = right}};
    case Misbehaviour::garbage:
      return at_once(Bytes(kGarbageBytes, 0xA5));
    case Misbehaviour::wrong_transaction:
      return at_once(with_flipped(right, kTransactionAt));
    case Misbehaviour::wrong_unit:
      return at_once(with_flipped(right, kUnitAt));
    case Misbehaviour::closes_mid_frame:
      return {TimedBytes{.bytes = half, .then_close = true}};
    case Misbehaviour::stops_mid_frame:
      return at_once(half);
    case Misbehaviour::trickle:
      return one_by_one(right, now, usual ? kUsualPause : pause);
    case Misbehaviour::closes:
      return {TimedBytes{.bytes = {}, .then_close = true}};
    case Misbehaviour::none:
    case Misbehaviour::not_a_number:
    case Misbehaviour::refuses:
    case Misbehaviour::counter_stands:
    case Misbehaviour::count:
      break;
  }
  return at_once(right);
}

}  // namespace leeward::daemon
