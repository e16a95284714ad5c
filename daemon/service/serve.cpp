#include "daemon/service/serve.hpp"

#include <pthread.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdio>
#include <ctime>
#include <thread>

#include "daemon/access/token_list.hpp"
#include "daemon/api/api_server.hpp"
#include "daemon/devices/make_device.hpp"
#include "daemon/recorder/run_store.hpp"
#include "daemon/service/control_loop.hpp"
#include "daemon/service/drive_learner.hpp"
#include "daemon/service/event_log.hpp"
#include "daemon/service/rig_locks.hpp"
#include "daemon/service/stored_drive.hpp"
#include "daemon/words/json.hpp"
#include "daemon/words/version.hpp"

namespace leeward::daemon {
namespace {
using control::Errc;
using control::Error;
using control::Result;

constexpr std::chrono::seconds kFirstSamplePatience{2};

ServeResult failed(const Error& error) {
  switch (error.code) {
    case Errc::busy:
      return {ServeEnd::busy, error.text};
    case Errc::conflict:
      return {ServeEnd::no_permission, error.text};
    case Errc::out_of_range:
      return {ServeEnd::bad_config, error.text};
    default:
      return {ServeEnd::io, error.text};
  }
}

Result<RunStore> open_runs(const RigSpec& rig) {
  const auto folder = rig.recordings_directory.empty()
                          ? default_runs_directory()
                          : Result<std::filesystem::path>(rig.recordings_directory);
  auto runs = folder ? RunStore::open(*folder) : tl::unexpected(folder.error());
  // The store names the folder and the system's word for it; a person needs a sentence.
  if (!runs)
    return tl::unexpected(Error{runs.error().code, runs.error().field,
                                "no place for recordings: " + runs.error().field + ": " + runs.error().text});
  return runs;
}

/// Without TCP there is nothing to guard.
Result<std::optional<Gate>> open_gate(const RigSpec& rig) {
  if (rig.listen.tcp_port == 0) return std::nullopt;
  auto path =
      rig.listen.token_file.empty() ? default_token_path() : Result<std::string>(rig.listen.token_file);
  if (!path) return tl::unexpected(path.error());
  auto gate = Gate::open(*path);
  if (!gate) return tl::unexpected(gate.error());
  return std::optional<Gate>(std::move(*gate));
}

ListenOptions listen_options(const ServeOptions& options) {
  ListenOptions listen;
  listen.socket_path = options.socket_path;
  if (options.rig.listen.tcp_port == 0) return listen;
  listen.tcp_host = options.rig.listen.tcp_host;
  listen.tcp_port = options.rig.listen.tcp_port;
  listen.names = options.rig.listen.names;
  return listen;
}

/// Signals are taken by one thread that waits for them, so every other thread must not get them.
sigset_t block_signals() {
  sigset_t signals;
  sigemptyset(&signals);
  sigaddset(&signals, SIGTERM);
  sigaddset(&signals, SIGINT);
  sigaddset(&signals, SIGHUP);  // a terminal that closes
  sigset_t also_blocked = signals;
  sigaddset(&also_blocked, SIGPIPE);
  pthread_sigmask(SIG_BLOCK, &also_blocked, nullptr);
  return signals;
}

void print_ready(const ServeOptions& options, const std::string& recordings) {
  const std::string line =
      options.json ? json_text({{"ready", true}, {"socket", options.socket_path}, {"recordings", recordings}})
                   : "ready " + options.socket_path;
  std::printf("%s\n", line.c_str());
}

void say_ready(const ControlLoop& loop, const ServeOptions& options, const std::string& recordings) {
  const auto give_up = std::chrono::steady_clock::now() + kFirstSamplePatience;
  const timespec short_wait{0, 5'000'000};
  while (loop.snapshot()->ticks == 0 && std::chrono::steady_clock::now() < give_up) {
    // A signal that comes this early must not be lost: it stays pending for the wait that follows.
    sigset_t pending;
    sigpending(&pending);
    if (sigismember(&pending, SIGTERM) == 1 || sigismember(&pending, SIGINT) == 1) break;
    nanosleep(&short_wait, nullptr);
  }
  print_ready(options, recordings);
  std::fflush(stdout);
  if (options.tether != nullptr) options.tether->say_ready();
}

void say_network(EventLog& log, const RigSpec& rig, std::size_t tokens) {
  log.info("listening on " + rig.listen.tcp_host + ":" + std::to_string(rig.listen.tcp_port) + ", " +
           std::to_string(tokens) + " tokens" + (tokens == 0 ? "; make one: leeward token NAME" : ""));
}

void say_stored(EventLog& log, const StoredDrive& stored) {
  if (!stored.text.empty()) stored.is_refused ? log.warn(stored.text) : log.info(stored.text);
  for (const std::string& warning : stored.warnings) log.warn(warning);
}

/// What is known of the drive and whether it may be found out.
struct DriveKnowledge {
  bool is_offered = false;
  control::RegulatorSpec told;  ///< by the rig file
  StoredDrive stored;
};

DriveKnowledge know_drive(const std::filesystem::path& runs, RigSpec& rig) {
  DriveKnowledge drive{.is_offered = rig.engine.learns_drive, .told = rig.engine.regulator, .stored = {}};
  drive.stored = use_stored_drive(runs, rig);
  return drive;
}

void fill(DriveShelf& shelf, const StoredDrive& stored) {
  if (stored.drive) shelf.put_stored(*stored.drive, stored.warnings);
  if (stored.is_refused) shelf.put_refused(stored.text);
}

/// The loop is made after the learner, which gives it what it finds.
DriveLearnerHooks learner_hooks(EventLog& log, ControlLoop*& loop) {
  DriveLearnerHooks hooks;
  hooks.tell = [&loop](const control::DriveFound& found) {
    control::Request request;
    request.kind = control::RequestKind::tell_drive;
    request.drive = found;
    loop->submit(request, [](const SubmitOutcome&) {});
  };
  hooks.log_line = [&log](const std::string& line, bool is_warning) {
    is_warning ? log.warn(line) : log.info(line);
  };
  return hooks;
}

LoopOptions loop_options(EventHub& hub, EventLog& log, DriveLearner& learner, ApiServer*& server) {
  LoopOptions options;
  options.publish = [&hub, &log, &learner](const SnapshotPtr& snapshot) {
    // Before the hub: who hears of the end of an experiment and asks finds that a fit is under way.
    learner.take(snapshot);
    hub.publish(snapshot);
    log.take(*snapshot);
  };
  options.post = [&server](std::function<void()> job) { server->post(std::move(job)); };
  return options;
}

std::optional<int> watchman_of(const ServeOptions& options) {
  if (options.tether == nullptr) return std::nullopt;
  return options.tether->watchman_pid();
}

bool is_cut(const ServeOptions& options) { return options.tether != nullptr && options.tether->is_cut(); }

/// The control thread. It ends by itself only when the watchman has gone; the signal then ends the rest.
void run_control(ControlLoop& loop, const ServeOptions& options) {
  ::pthread_setname_np(::pthread_self(), "control");  // for whoever looks at the process from outside
  loop.run();
  if (is_cut(options)) ::kill(::getpid(), SIGTERM);
}

/// All threads up, until a signal; all threads down, in the order in which they lean on each other.
ServeResult run_until_signal(const ServeOptions& options, const RunStore& runs, AccessDesk& desk,
                             const DriveKnowledge& drive) {
  const sigset_t signals = block_signals();  // before the first thread, which would inherit them
  const control::Engine engine(options.rig.engine);
  EventLog log(engine.config());
  say_stored(log, drive.stored);
  const std::unique_ptr<Device> device = make_device(options.rig);
  RecordingKeeper keeper({runs.directory(), std::string(kVersion), options.rig.source_text}, engine.config());
  EventHub hub(engine.config(), calendar_now_ms());
  ApiServer* server_for_answers = nullptr;
  ControlLoop* loop_to_tell = nullptr;
  DriveShelf shelf(drive.is_offered);
  fill(shelf, drive.stored);
  DriveLearner learner(engine.config(), {drive_owner(options.rig), drive.stored.path, drive.told}, shelf,
                       learner_hooks(log, loop_to_tell));
  LoopOptions looping = loop_options(hub, log, learner, server_for_answers);
  looping.tether = options.tether;
  ControlLoop loop(engine, *device, keeper, std::move(looping));
  loop_to_tell = &loop;
  ApiServer server(Router({loop, runs, std::string(kVersion), &desk, &shelf, watchman_of(options),
                           options.rig.resume_within_s}),
                   hub, desk);
  server_for_answers = &server;
  if (auto listening = server.listen(listen_options(options)); !listening) return failed(listening.error());
  std::thread control([&loop, &options] { run_control(loop, options); });
  server.start();
  log.info("listening on " + options.socket_path + ", recordings in " + runs.directory().string());
  if (desk.gate) say_network(log, options.rig, desk.gate->token_count());
  say_ready(loop, options, runs.directory().string());
  int signal = 0;
  sigwait(&signals, &signal);
  log.info("ending: the fan is stopped and the recording closed");
  loop.stop_and_leave();
  control.join();
  learner.finish();
  server.stop();
  if (is_cut(options)) return {ServeEnd::unwatched, "the watchman has gone, so the fan was stopped"};
  return {};
}
}  // namespace

ServeResult serve(const ServeOptions& options) {
  if (auto folder = prepare_socket_folder(options.socket_path, options.must_own_folder); !folder)
    return failed(folder.error());
  const auto runs = open_runs(options.rig);
  if (!runs) return failed(runs.error());
  const auto device_folder = device_lock_folder();
  if (!device_folder) return failed(device_folder.error());
  const auto locks = lock_rig(options.rig, options.socket_path, runs->directory(), *device_folder);
  if (!locks) return failed(locks.error());
  auto gate = open_gate(options.rig);
  if (!gate) return failed(gate.error());
  AccessDesk desk;
  desk.gate = std::move(*gate);
  ServeOptions told = options;
  const DriveKnowledge drive = know_drive(runs->directory(), told.rig);
  return run_until_signal(told, *runs, desk, drive);
}

}  // namespace leeward::daemon
