#include "daemon/rig/run_rig.hpp"

#include <poll.h>
#include <sys/eventfd.h>
#include <sys/signalfd.h>

#include <chrono>
#include <csignal>
#include <cstdio>
#include <memory>
#include <thread>
#include <utility>

#include "daemon/devices/modbus_bus.hpp"
#include "daemon/rig/auto_crew.hpp"
#include "daemon/rig/virtual_rig.hpp"

namespace leeward::daemon {
namespace {

using std::chrono::milliseconds;
using std::chrono::steady_clock;

constexpr milliseconds kLookEvery{100};
constexpr milliseconds kRigAnswer{500};
constexpr milliseconds kDaemonAnswer{1000};

/// Also for threads started later: the signals are read, not delivered.
UniqueFd read_end_signals() {
  sigset_t set;
  sigemptyset(&set);
  sigaddset(&set, SIGTERM);
  sigaddset(&set, SIGINT);
  pthread_sigmask(SIG_BLOCK, &set, nullptr);
  return UniqueFd(::signalfd(-1, &set, SFD_CLOEXEC | SFD_NONBLOCK));
}

void tell_fan(int fan, bool turns, bool tripped) {
  const std::chrono::duration<double> now = steady_clock::now().time_since_epoch();
  const char* how = turns ? "on" : tripped ? "timed-out" : "off";
  std::printf("fan %d %s %.6f\n", fan + 1, how, now.count());
  std::fflush(stdout);
}

/// The crew goes to the rig by the same road as everybody else.
class CrewThread {
 public:
  CrewThread(const RigOptions& options, int port)
      : end_(::eventfd(0, EFD_CLOEXEC | EFD_NONBLOCK)),
        bus_(options.host, port, rig_registers::kUnit, kRigAnswer),
        client_(HttpClient::unix_socket(options.socket_path)),
        crew_(
            options.house,
            std::chrono::nanoseconds(static_cast<std::int64_t>(1e9 * options.auto_crew_s.value_or(0))),
            [this](const std::string& method, const std::string& target, const std::string& body) {
              return client_.request(method, target, body);
            },
            [this](int address, std::uint16_t value) { return put(address, value); }) {
    client_.set_timeout(kDaemonAnswer);
    thread_ = std::thread([this] { run(); });
  }
  ~CrewThread() {
    const std::uint64_t one = 1;
    (void)!::write(end_.get(), &one, sizeof one);
    thread_.join();
  }
  CrewThread(const CrewThread&) = delete;
  CrewThread& operator=(const CrewThread&) = delete;

 private:
  void run() {
    do crew_.look(steady_clock::now());
    while (!wait_for(end_.get(), POLLIN, steady_clock::now() + kLookEvery));
  }
  bool put(int address, std::uint16_t value) {
    if (!bus_.connected() && !bus_.connect(steady_clock::now() + kRigAnswer)) return false;
    return bus_.write(RegisterTable::holding, address, std::span(&value, 1)) == BusOutcome::ok;
  }

  UniqueFd end_;
  ModbusBus bus_;
  HttpClient client_;
  AutoCrew crew_;
  std::thread thread_;
};

}  // namespace

control::Result<void> run_rig(const RigOptions& options) {
  constexpr double most = 1e5;  // far beyond what the simulation reaches
  if (!(options.speed > 0 && options.speed <= most))
    return tl::unexpected(
        control::Error{control::Errc::out_of_range, "speed", "speed must be above 0 and at most 100000"});
  auto listener = listen_tcp(options.host, options.port);
  if (!listener) return tl::unexpected(listener.error());
  const UniqueFd signals = read_end_signals();
  VirtualRig rig(std::move(*listener), options.house, options.speed, options.seed);
  if (options.tells_fan) rig.listen(tell_fan);
  std::printf(options.is_json ? "{\"ready\":\"%s:%d\"}\n" : "ready %s:%d\n", options.host.c_str(),
              rig.port());
  std::fflush(stdout);
  std::unique_ptr<CrewThread> crew;
  if (options.auto_crew_s) crew = std::make_unique<CrewThread>(options, rig.port());
  rig.run(signals.get());
  return {};
}

}  // namespace leeward::daemon
