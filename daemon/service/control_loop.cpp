#include "daemon/service/control_loop.hpp"

#include <chrono>

namespace leeward::daemon {
namespace {
using control::EventKind;
using control::Phase;
using control::Refusal;
using control::Request;
using control::RequestKind;
using control::RunState;

constexpr std::int64_t kOpeningLimitNs = 5'000'000'000;

std::int64_t monotonic_ns() {
  const auto now = std::chrono::steady_clock::now().time_since_epoch();
  return std::chrono::duration_cast<std::chrono::nanoseconds>(now).count();
}

QueuedPtr make_stop() {
  auto stop = std::make_unique<QueuedRequest>();
  stop->request.kind = RequestKind::stop;
  return stop;
}

/// Stop, clear, answers and signs of life must not wait for the next sample.
bool is_urgent(RequestKind kind) {
  return kind == RequestKind::stop || kind == RequestKind::clear_trip || kind == RequestKind::answer ||
         kind == RequestKind::still_here;
}

bool may_begin_recording(RequestKind kind) {
  return kind == RequestKind::start_run || kind == RequestKind::baseline || kind == RequestKind::hold ||
         kind == RequestKind::climb || kind == RequestKind::learn_drive;
}

/// Nothing of a run or hold is under way, so what begins now is something new.
bool is_between(Phase phase) {
  return phase == Phase::idle || phase == Phase::restore || phase == Phase::result;
}

/// Nothing more will happen by itself.
bool is_at_rest(Phase phase) { return phase == Phase::idle || phase == Phase::result; }
}  // namespace

ControlLoop::ControlLoop(const control::Engine& engine, Device& device, RecordingKeeper& keeper,
                         LoopOptions options)
    : engine_(engine),
      device_(device),
      keeper_(keeper),
      options_(std::move(options)),
      last_tick_ns_(monotonic_ns()),
      state_(engine.initial_state()) {
  draft_.state = state_;
  snapshot_ = std::make_shared<const Snapshot>(draft_);
}

void ControlLoop::run() {
  if (options_.tether != nullptr) options_.tether->begin();
  while (tick()) {
  }
}

void ControlLoop::stop_and_leave() {
  is_leaving_.store(true);
  device_.wake();
}

SnapshotPtr ControlLoop::snapshot() const {
  const std::lock_guard lock(snapshot_mutex_);
  return snapshot_;
}

double ControlLoop::tick_age_s() const {
  constexpr double kNsPerS = 1e9;
  return static_cast<double>(monotonic_ns() - last_tick_ns_.load()) / kNsPerS;
}

void ControlLoop::submit(const Request& request, Completion done) {
  auto queued = std::make_unique<QueuedRequest>();
  queued->request = request;
  queued->done.push_back(std::move(done));
  RequestQueue::Pushed pushed = queue_.push(std::move(queued));
  const bool is_over = is_leaving_.load();
  for (const QueuedPtr& dropped : pushed.overtaken) {
    const SubmitStatus why = pushed.taken ? SubmitStatus::overtaken
                             : is_over    ? SubmitStatus::shutting_down
                                          : SubmitStatus::queue_full;
    answer(*dropped, {.status = why});
  }
  if (pushed.taken && is_urgent(request.kind)) device_.wake();
}

void ControlLoop::answer(QueuedRequest& queued, SubmitOutcome outcome) {
  for (Completion& done : queued.done) {
    if (!options_.post) {
      done(outcome);
      continue;
    }
    options_.post([completion = std::move(done), outcome] { completion(outcome); });
  }
  queued.done.clear();
}

/// A daemon that nobody watches may not drive a fan.
bool ControlLoop::is_watched() { return options_.tether == nullptr || options_.tether->beat(); }

bool ControlLoop::tick() {
  const control::Sample sample = device_.next_sample();
  const std::int64_t began_ns = monotonic_ns();
  const std::int64_t since_ns = began_ns - last_tick_ns_.exchange(began_ns);
  if (!sample.out_of_turn)
    draft_.lateness.add(static_cast<double>(since_ns) / 1e9 - 1 / engine_.config().sample_hz);
  if (!is_watched()) is_leaving_.store(true);
  const bool is_last = is_leaving_.load();
  Requests now;
  if (is_last) {
    drop_start(SubmitStatus::shutting_down);
    now.push_back(make_stop());
  } else {
    now = gather(sample);
  }
  step(sample, now);
  if (is_last) leave();
  return !is_last;
}

void ControlLoop::leave() {
  if (options_.tether != nullptr) options_.tether->stopping();
  const bool is_off = device_.shut_down();
  if (options_.tether != nullptr) options_.tether->done(is_off);
  for (const QueuedPtr& left : queue_.close()) answer(*left, {.status = SubmitStatus::shutting_down});
  if (keeper_.is_recording())
    keeper_.end(state_.run_state == RunState::running || !is_run_recorded_ ? RunState::stopped
                                                                           : state_.run_state);
  keeper_.finish();
}

ControlLoop::Requests ControlLoop::gather(const control::Sample& sample) {
  Requests now;
  const RecordingFault fault = keeper_.fault();
  if (fault != RecordingFault::none && draft_.recording_fault == RecordingFault::none) {
    // Nothing is measured that is not recorded: the run ends in order, the fan stops.
    draft_.recording_fault = fault;
    now.push_back(make_stop());
  }
  follow_opening(now);
  for (QueuedPtr& queued : queue_.take()) sort_in(std::move(queued), sample, now);
  return now;
}

void ControlLoop::follow_opening(Requests& now) {
  if (!starting_) return;
  switch (keeper_.opening()) {
    case RecordingKeeper::Opening::ready:
      keeper_.adopt(is_run_recorded_ ? state_.run_state : RunState::done);
      is_run_recorded_ = starting_->request.kind == RequestKind::start_run;
      draft_.by_hand = is_run_recorded_ ? RunState::none : RunState::running;
      draft_.started_unix_ms = starting_unix_ms_;
      draft_.recording_fault = RecordingFault::none;
      now.push_back(std::move(starting_));
      return;
    case RecordingKeeper::Opening::pending:
      if (monotonic_ns() - starting_since_ns_ > kOpeningLimitNs) drop_start(SubmitStatus::recording_failed);
      return;
    case RecordingKeeper::Opening::none:
    case RecordingKeeper::Opening::failed:
      drop_start(SubmitStatus::recording_failed);
  }
}

void ControlLoop::drop_start(SubmitStatus why) {
  if (!starting_) return;
  SubmitOutcome outcome{.status = why, .phase = state_.phase};
  if (why == SubmitStatus::recording_failed)
    outcome.detail =
        keeper_.opening() == RecordingKeeper::Opening::failed ? keeper_.failure() : "the disk takes too long";
  answer(*starting_, outcome);
  starting_.reset();
  keeper_.abandon();
}

void ControlLoop::sort_in(QueuedPtr queued, const control::Sample& sample, Requests& now) {
  const RequestKind kind = queued->request.kind;
  if (kind == RequestKind::stop) drop_start(SubmitStatus::overtaken);
  if (now.size() >= control::kMaxRequestsPerTick)
    return answer(*queued, {.status = SubmitStatus::queue_full});
  if (!may_begin_recording(kind)) return now.push_back(std::move(queued));
  if (starting_) return answer(*queued, {.refusal = Refusal::busy, .phase = state_.phase});
  const bool is_new = kind == RequestKind::start_run || is_between(state_.phase) || !keeper_.is_recording();
  if (!is_new || !would_start(queued->request, sample)) return now.push_back(std::move(queued));
  keeper_.begin(queued->request, state_, sample.wall_unix_ms);
  starting_ = std::move(queued);
  starting_unix_ms_ = sample.wall_unix_ms;
  starting_since_ns_ = monotonic_ns();
}

/// The step is a pure function, so it can be asked beforehand: no file is made for what will be refused.
bool ControlLoop::would_start(const Request& request, const control::Sample& sample) const {
  const auto probe = std::make_unique<control::EngineState>(state_);
  const control::StepOutput output = engine_.step(*probe, sample, {&request, 1});
  return !output.refusals.empty() && output.refusals[0] == Refusal::accepted;
}

void ControlLoop::step(const control::Sample& sample, Requests& now) {
  std::vector<Request> requests;
  requests.reserve(now.size());
  for (const QueuedPtr& queued : now) requests.push_back(queued->request);
  const Phase before = state_.phase;
  const auto asks = state_.asks;
  const control::StepOutput output = engine_.step(state_, sample, requests);
  device_.write(output.command);
  keeper_.append(sample, requests, output, state_);
  resolve_outputs(output.command);
  tell_crew(output.events, asks);
  covers_.follow(output.events, asks, state_);
  std::vector<SubmitOutcome> outcomes;
  outcomes.reserve(now.size());
  for (std::size_t i = 0; i < now.size(); ++i) {
    SubmitOutcome outcome{.phase = before};
    if (i < output.refusals.size()) outcome.refusal = output.refusals[i];
    if (may_begin_recording(requests[i].kind) && outcome.accepted()) outcome.run_id = keeper_.run_id();
    outcomes.push_back(std::move(outcome));
  }
  keep_recording(before);
  publish(sample, output);
  // Answered only now: who asks for the status next sees what was done.
  for (std::size_t i = 0; i < now.size(); ++i) answer(*now[i], std::move(outcomes[i]));
}

void ControlLoop::resolve_outputs(const control::Command& command) {
  for (std::size_t fan = 0; fan < control::kMaxFans; ++fan) {
    const control::FanCommand& wanted = command.fans[fan];
    if (wanted.drive == control::Drive::hold_last) continue;
    const bool is_driven = wanted.drive == control::Drive::drive;
    draft_.outputs[fan] = {is_driven, is_driven ? wanted.demand_frac : 0};
  }
}

void ControlLoop::tell_crew(const control::Events& events, const OpenAsks& asks) {
  for (const control::Event& event : events) {
    const bool is_done =
        event.kind == EventKind::ask_answered && event.b == static_cast<std::int64_t>(control::Answer::done);
    if (!is_done) continue;
    for (const control::Ask& ask : asks)
      if (ask.id == event.a) device_.crew_did(ask);
  }
}

void ControlLoop::keep_recording(Phase before) {
  if (!keeper_.is_recording()) return;
  if (!is_run_recorded_) return keep_recording_by_hand();
  const bool is_over =
      is_at_rest(state_.phase) && !is_at_rest(before) && state_.run_state != RunState::running;
  if (is_over) keeper_.end(state_.run_state);
}

/// A restore list that an earlier run left open is none of its business.
void ControlLoop::keep_recording_by_hand() {
  if (state_.phase == Phase::tripped) draft_.by_hand = RunState::tripped;
  if (!is_between(state_.phase)) return;
  const bool is_cut_short = draft_.recording_fault != RecordingFault::none;
  if (draft_.by_hand == RunState::running) draft_.by_hand = is_cut_short ? RunState::stopped : RunState::done;
  keeper_.end(draft_.by_hand);
}

void ControlLoop::publish(const control::Sample& sample, const control::StepOutput& output) {
  draft_.state = state_;
  if (!sample.out_of_turn) draft_.sample = sample;
  draft_.trace = output.trace;
  recent_.add(output.trace.stamp_ns, output.trace.pressure_signed_pa, output.trace.pressure_good);
  draft_.unrest_pa = recent_.unrest_pa();
  draft_.events = output.events;
  draft_.run_id = keeper_.run_id();
  draft_.is_run = is_run_recorded_;
  draft_.is_cover_told = covers_.is_told();
  const bool is_failing = keeper_.fault() != RecordingFault::none;
  draft_.recording = is_failing               ? RecordingState::failed
                     : keeper_.is_recording() ? RecordingState::recording
                                              : RecordingState::none;
  draft_.recorder_backlog = keeper_.backlog();
  ++draft_.ticks;
  draft_.late_ticks += sample.late_ticks;
  draft_.skipped_samples += sample.skipped;
  const auto next = std::make_shared<const Snapshot>(draft_);
  SnapshotPtr before = next;  // perhaps the last to hold it: freed outside the lock
  {
    const std::lock_guard lock(snapshot_mutex_);
    snapshot_.swap(before);
  }
  // Who hears of a tick and then asks must find it.
  if (options_.publish) options_.publish(next);
}

}  // namespace leeward::daemon
