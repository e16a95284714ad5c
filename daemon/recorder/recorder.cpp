#include "daemon/recorder/recorder.hpp"

#include <algorithm>
#include <utility>

#include "daemon/recorder/schema.hpp"

namespace leeward::daemon {

namespace {

using control::EventKind;
using control::Result;

/// More than this in one transaction would make a reader of the newest rows wait.
constexpr std::size_t kBatchMax = 5000;
/// Room for ticks out of turn beside the ticks of the clock.
constexpr std::size_t kQueueExtra = 256;

std::size_t queue_capacity(const RecordingMeta& meta, const RecorderOptions& options) {
  return static_cast<std::size_t>(std::max(0.0, options.keep_s * meta.engine.sample_hz)) + kQueueExtra;
}

/// What must be safe on disk at once.
bool urgent(const control::Events& events) {
  return std::any_of(events.begin(), events.end(), [](const control::Event& event) {
    switch (event.kind) {
      case EventKind::phase_changed:
      case EventKind::run_started:
      case EventKind::run_ended:
      case EventKind::baseline_taken:
      case EventKind::station_done:
      case EventKind::tripped:
      case EventKind::result_ready:
        return true;
      default:
        return false;
    }
  });
}

std::int64_t recorder_now_ns() {
  return std::chrono::steady_clock::now().time_since_epoch() / std::chrono::nanoseconds(1);
}

std::int64_t unix_ms_now() {
  const auto now = std::chrono::system_clock::now().time_since_epoch();
  return std::chrono::duration_cast<std::chrono::milliseconds>(now).count();
}

}  // namespace

Recorder::Recorder(std::filesystem::path path, const RecordingMeta& meta, RecorderOptions options)
    : path_(std::move(path)),
      engine_(meta.engine),
      options_(std::move(options)),
      queue_(queue_capacity(meta, options_)) {}

Result<std::unique_ptr<Recorder>> Recorder::open(const std::filesystem::path& path, const RecordingMeta& meta,
                                                 const control::EngineState& initial,
                                                 RecorderOptions options) {
  auto db = Database::open(path, Database::Mode::create_new);
  if (!db) return tl::unexpected(db.error());
  if (auto done = set_up_writer(*db); !done) return tl::unexpected(done.error());
  if (auto done = create_recording(*db, meta, initial); !done) return tl::unexpected(done.error());
  std::unique_ptr<Recorder> recorder(new Recorder(path, meta, std::move(options)));
  auto writer = TickWriter::make(std::move(*db), recorder->engine_);
  if (!writer) return tl::unexpected(writer.error());
  recorder->writer_.emplace(std::move(*writer));
  recorder->thread_ = std::thread([raw = recorder.get()] { raw->run(); });
  return recorder;
}

Recorder::~Recorder() { join(); }

void Recorder::append(std::uint64_t seq, const control::Sample& sample,
                      std::span<const control::Request> requests, const control::StepOutput& output,
                      const control::EngineState* changed) {
  auto item = std::make_unique<Item>();
  TickRecord& tick = item->tick;
  tick.seq = seq;
  tick.sample = sample;
  tick.command = output.command;
  tick.trace = output.trace;
  tick.requests.assign(requests.begin(), requests.end());
  tick.events.assign(output.events.begin(), output.events.end());
  tick.refusals.assign(output.refusals.begin(), output.refusals.end());
  if (changed != nullptr)
    item->snapshot =
        std::make_unique<RunSnapshot>(RunSnapshot{seq, changed->run_state, changed->record, changed->result});
  push(std::move(item));
  // A rig that is faster than its clock fills the queue between two commits.
  const bool is_filling = queue_.size() == queue_.capacity() / 4;
  if (changed != nullptr || is_filling || urgent(output.events)) wake_.ring();
}

void Recorder::push(std::unique_ptr<Item> item) {
  if (!queue_.push(std::move(item))) dropped_.fetch_add(1, std::memory_order_relaxed);
}

void Recorder::close(control::RunState state) {
  if (!thread_.joinable()) return;
  end_ = state;
  join();
}

void Recorder::join() {
  if (!thread_.joinable()) return;
  closing_.store(true, std::memory_order_release);
  wake_.ring();
  thread_.join();
}

std::chrono::nanoseconds Recorder::writing_for() const {
  const std::int64_t since_ns = writing_since_ns_.load();
  return std::chrono::nanoseconds(since_ns == 0 ? 0 : recorder_now_ns() - since_ns);
}

RecorderHealth Recorder::health() const {
  RecorderHealth health;
  {
    const std::lock_guard lock(health_mutex_);
    health = health_;
  }
  health.queue_depth = queue_.size();
  health.dropped = dropped_.load(std::memory_order_relaxed);
  return health;
}

void Recorder::run() {
  while (!closing_.load(std::memory_order_acquire)) {
    const bool broken = !writer_.has_value();
    // While the disk refuses, an urgent tick does not make it more willing.
    wake_.wait(broken ? options_.retry_period : options_.commit_period);
    write_out();
  }
  const auto give_up = std::chrono::steady_clock::now() + options_.close_patience;
  write_out();
  while (!writer_ && std::chrono::steady_clock::now() < give_up) {
    wake_.wait(std::min(options_.retry_period, options_.close_patience));
    write_out();
  }
  writer_.reset();
}

void Recorder::write_out() {
  bool more = true;
  while (more) {
    const bool closing = closing_.load(std::memory_order_acquire);
    if (queue_.size() == 0 && !(closing && end_)) return;
    writing_since_ns_.store(recorder_now_ns());
    const auto written = write_batch();
    writing_since_ns_.store(0);
    if (!written) {
      note_failure(written.error());
      return;
    }
    more = queue_.size() >= kBatchMax || (closing && queue_.size() > 0);
  }
}

Result<void> Recorder::write_batch() {
  if (auto opened = open_again(); !opened) return opened;
  const std::size_t count = std::min(queue_.size(), kBatchMax);
  if (auto done = writer_->begin(); !done) return done;
  if (auto done = put_items(count); !done) return done;
  const bool last = closing_.load(std::memory_order_acquire) && count == queue_.size();
  if (last && end_) {
    if (auto done = writer_->put_end(*end_, unix_ms_now()); !done) return done;
  }
  if (auto done = writer_->commit(); !done) return done;
  note_success(count);
  return {};
}

Result<void> Recorder::put_items(std::size_t count) {
  for (std::size_t i = 0; i < count; ++i) {
    const Item& item = queue_.peek(i);
    if (auto done = writer_->put(item.tick); !done) return done;
    if (!item.snapshot) continue;
    if (auto done = writer_->put(*item.snapshot); !done) return done;
  }
  return {};
}

/// After a failure nothing about the old connection is trusted: it was closed, which rolls back.
Result<void> Recorder::open_again() {
  if (writer_) return {};
  auto db = Database::open(path_, Database::Mode::read_write);
  if (!db) return tl::unexpected(db.error());
  if (auto done = set_up_writer(*db); !done) return done;
  auto writer = TickWriter::make(std::move(*db), engine_);
  if (!writer) return tl::unexpected(writer.error());
  writer_.emplace(std::move(*writer));
  return {};
}

void Recorder::note_success(std::size_t count) {
  std::optional<std::uint64_t> seq;
  if (count > 0) seq = queue_.peek(count - 1).tick.seq;
  queue_.drop_front(count);
  bool changed = false;
  {
    const std::lock_guard lock(health_mutex_);
    if (seq) health_.last_committed_seq = seq;
    changed = !health_.recording;
    health_.recording = true;
    health_.disk_full = false;
  }
  if (changed && options_.on_change) options_.on_change(health());
}

void Recorder::note_failure(const control::Error& error) {
  const bool full = writer_ && writer_->database().disk_full();
  writer_.reset();
  bool changed = false;
  {
    const std::lock_guard lock(health_mutex_);
    changed = health_.recording;
    health_.recording = false;
    health_.disk_full = full || (!changed && health_.disk_full);
    health_.last_error = error.text + " (" + error.field + ")";
  }
  if (changed && options_.on_change) options_.on_change(health());
}

}  // namespace leeward::daemon
