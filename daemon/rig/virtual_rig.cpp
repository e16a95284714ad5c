#include "daemon/rig/virtual_rig.hpp"

#include <sys/prctl.h>

#include <algorithm>
#include <utility>

namespace leeward::daemon {
namespace {

namespace reg = rig_registers;
using std::chrono::steady_clock;

/// Samples at a stretch, so that a client is never kept waiting for long. What can't be kept up with
/// is let go: simulated time is then slower than asked for.
constexpr int kMostSamples = 200;

bool is_of_the_tool(const std::optional<ModbusTarget>& target) {
  if (!target) return true;
  if (target->table == RegisterTable::input) return target->address < reg::kFirstOfTruth;
  return target->address < reg::kFirstOfCrew;
}

}  // namespace

VirtualRig::VirtualRig(UniqueFd listener, const sim::HouseSpec& house, double speed, std::uint64_t seed)
    : bank_(house, seed),
      server_(std::move(listener), [this](std::span<const std::uint8_t> request) { return handle(request); }),
      period_(std::max<std::int64_t>(static_cast<std::int64_t>(1e9 / (speed * reg::kSampleHz)), 1)),
      due_(steady_clock::now() + period_) {}

void VirtualRig::run(int wake_fd) {
  // Faster than real time a sample takes less than a millisecond: no slack for its timer.
  (void)::prctl(PR_SET_TIMERSLACK, 1000UL, 0, 0, 0);
  while (!server_.serve_until(due_, wake_fd)) catch_up(steady_clock::now());
}

void VirtualRig::catch_up(SteadyTime now) {
  bank_.set_now(now);
  for (int i = 0; i < kMostSamples && due_ <= now; ++i) {
    bank_.next_sample();
    due_ += period_;
  }
  if (due_ <= now) due_ = now + period_;
}

BusReply VirtualRig::handle(std::span<const std::uint8_t> request) {
  if (request[kUnitAt] != reg::kUnit) return {};
  const SteadyTime now = steady_clock::now();
  bank_.set_now(now);
  const Misbehaviour kind = is_of_the_tool(target_of(request)) ? bank_.misbehaviour() : Misbehaviour::none;
  const auto answer = kind == Misbehaviour::refuses ? responder_.refuse(request, ModbusException::failure)
                                                    : responder_.answer(bank_, request);
  if (answer.empty()) return {};
  return misbehave(kind, answer, now, bank_.misbehaviour_pause());
}

}  // namespace leeward::daemon
