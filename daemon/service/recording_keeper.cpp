#include "daemon/service/recording_keeper.hpp"

#include <system_error>

#include "daemon/recorder/run_store.hpp"

namespace leeward::daemon {
namespace {
using control::EventKind;
using control::RequestKind;

/// Averages and results are written as a whole at the ticks that change them.
bool changes_record(const control::Events& events) {
  for (const control::Event& event : events) {
    switch (event.kind) {
      case EventKind::baseline_taken:
      case EventKind::station_done:
      case EventKind::station_unreachable:
      case EventKind::run_ended:
      case EventKind::result_ready:
        return true;
      default:
        break;
    }
  }
  return false;
}

/// A worn card takes seconds for a write now and then; what takes longer than this hangs.
constexpr std::chrono::seconds kSlowestWrite{10};

constexpr std::uint64_t kLeastFreeBytes = 100'000'000;

void throw_away(std::unique_ptr<Recorder> recorder) {
  const std::filesystem::path path = recorder->path();
  recorder.reset();
  std::error_code ignored;
  for (const char* suffix : {"", "-wal", "-shm"}) std::filesystem::remove(path.string() + suffix, ignored);
}

std::string procedure_of(const control::Request& request) {
  if (request.kind == RequestKind::start_run) return std::string(request.run.procedure.id.view());
  if (request.kind == RequestKind::learn_drive) return "rig-learn";
  return request.kind == RequestKind::baseline ? "baseline" : "hold";
}
}  // namespace

RecordingKeeper::RecordingKeeper(KeeperOptions options, control::EngineConfig engine)
    : options_(std::move(options)), engine_(std::move(engine)), thread_([this] { run(); }) {}

RecordingKeeper::~RecordingKeeper() { finish(); }

void RecordingKeeper::run() {
  std::unique_lock lock(mutex_);
  while (true) {
    changed_.wait(lock, [this] { return !jobs_.empty() || is_finishing_; });
    if (jobs_.empty()) return;
    const std::function<void()> job = std::move(jobs_.front());
    jobs_.pop_front();
    lock.unlock();
    job();
    lock.lock();
  }
}

void RecordingKeeper::do_later(std::function<void()> job) {
  const std::lock_guard lock(mutex_);
  jobs_.push_back(std::move(job));
  changed_.notify_one();
}

void RecordingKeeper::begin(const control::Request& request, const control::EngineState& state,
                            std::int64_t wall_unix_ms) {
  abandon();
  is_opening_ = true;
  std::uint64_t number = 0;
  {
    const std::lock_guard lock(mutex_);
    opening_ = Opening::pending;
    number = opening_number_;
  }
  RecordingMeta meta;
  meta.software_version = options_.software_version;
  meta.procedure = procedure_of(request);
  meta.building = std::string(request.run.building.name.view());
  meta.started_unix_ms = wall_unix_ms;
  meta.rig_text = options_.rig_text;
  meta.engine = engine_;
  auto first = std::make_shared<const control::EngineState>(state);
  do_later([this, meta = std::move(meta), first = std::move(first), number] { open(meta, *first, number); });
}

void RecordingKeeper::open(const RecordingMeta& asked, const control::EngineState& state,
                           std::uint64_t number) {
  auto made = std::make_unique<Open>();
  auto recorder = make_recorder(asked, state, *made);
  const std::lock_guard lock(mutex_);
  if (number != opening_number_) {
    if (recorder) throw_away(std::move(*recorder));
    return;
  }
  if (!recorder) {
    failure_ = recorder.error().text;
    opening_ = Opening::failed;
    return;
  }
  made->recorder = std::move(*recorder);
  opened_ = std::move(made);
  opening_ = Opening::ready;
}

control::Result<std::unique_ptr<Recorder>> RecordingKeeper::make_recorder(const RecordingMeta& asked,
                                                                          const control::EngineState& state,
                                                                          Open& made) {
  const auto store = RunStore::open(options_.folder);
  if (!store) return tl::unexpected(store.error());
  if (store->free_bytes() < kLeastFreeBytes)
    return tl::unexpected(control::Error{control::Errc::io, "disk", "less than 100 MB are left on the disk"});
  RecordingMeta meta = asked;
  meta.run_id = store->new_id(meta.started_unix_ms);
  made.run_id = meta.run_id;
  RecorderOptions recorder_options;
  recorder_options.on_change = [fault = made.fault](const RecorderHealth& health) {
    const RecordingFault why = health.disk_full ? RecordingFault::disk_full : RecordingFault::disk_refuses;
    fault->store(health.recording ? RecordingFault::none : why);
  };
  return Recorder::open(store->path_of(meta.run_id), meta, state, recorder_options);
}

RecordingFault RecordingKeeper::fault() const {
  if (!current_) return RecordingFault::none;
  if (const RecordingFault told = current_->fault->load(); told != RecordingFault::none) return told;
  const Recorder& recorder = *current_->recorder;
  const bool is_slow =
      recorder.writing_for() > kSlowestWrite || recorder.backlog() > recorder.backlog_max() / 2;
  return is_slow ? RecordingFault::disk_slow : RecordingFault::none;
}

RecordingKeeper::Opening RecordingKeeper::opening() {
  const std::lock_guard lock(mutex_);
  return opening_;
}

std::string RecordingKeeper::failure() {
  const std::lock_guard lock(mutex_);
  return failure_;
}

void RecordingKeeper::adopt(control::RunState before) {
  end(before);
  {
    const std::lock_guard lock(mutex_);
    current_ = std::move(opened_);
    opening_ = Opening::none;
  }
  is_opening_ = false;
  run_id_ = current_->run_id;
  for (const WaitingTick& tick : waiting_) put(*current_, tick.sample, tick.requests, tick.output, nullptr);
  waiting_.clear();
}

void RecordingKeeper::abandon() {
  is_opening_ = false;
  waiting_.clear();
  std::shared_ptr<Open> unwanted;
  {
    const std::lock_guard lock(mutex_);
    ++opening_number_;
    opening_ = Opening::none;
    unwanted = std::move(opened_);
  }
  if (!unwanted) return;
  do_later([unwanted] { throw_away(std::move(unwanted->recorder)); });
}

void RecordingKeeper::put(Open& open, const control::Sample& sample,
                          std::span<const control::Request> requests, const control::StepOutput& output,
                          const control::EngineState* changed) {
  open.recorder->append(open.next_seq++, sample, requests, output, changed);
}

void RecordingKeeper::append(const control::Sample& sample, std::span<const control::Request> requests,
                             const control::StepOutput& output, const control::EngineState& after) {
  if (is_opening_) waiting_.push_back({sample, {requests.begin(), requests.end()}, output});
  if (!current_) return;
  put(*current_, sample, requests, output, changes_record(output.events) ? &after : nullptr);
}

void RecordingKeeper::end(control::RunState state) {
  if (!current_) return;
  const std::shared_ptr<Open> closing = std::move(current_);
  do_later([closing, state] {
    closing->recorder->close(state);
    closing->recorder.reset();
  });
}

void RecordingKeeper::finish() {
  abandon();
  {
    const std::lock_guard lock(mutex_);
    is_finishing_ = true;
    changed_.notify_one();
  }
  if (thread_.joinable()) thread_.join();
}

}  // namespace leeward::daemon
