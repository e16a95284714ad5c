#pragma once
/// Watches the event stream for one run: says what happens and knows when it is over.

#include <cstdint>
#include <functional>
#include <string>
#include <utility>

#include <nlohmann/json_fwd.hpp>

#include "daemon/client/http_client.hpp"

namespace leeward::daemon {

class RunFollower {
 public:
  using Say = std::function<void(const std::string&)>;
  /// What ends a run says so; what is done by hand is over when its phase is.
  enum class Of : std::uint8_t { run, hand };
  /// @param target_options  what the other terminal must give to find the same daemon, such as " --socket S"
  RunFollower(std::string run_id, Say say, std::string target_options = {}, Of of = Of::run)
      : run_id_(std::move(run_id)),
        say_(std::move(say)),
        target_options_(std::move(target_options)),
        of_(of) {}

  void take(const StreamEvent& event);
  [[nodiscard]] bool is_over() const { return !end_state_.empty(); }
  /// done, invalid, stopped, tripped or interrupted
  [[nodiscard]] const std::string& end_state() const { return end_state_; }
  /// Events were lost, perhaps the end among them: once true, the run must be looked at.
  [[nodiscard]] bool take_gap() { return std::exchange(has_gap_, false); }
  void look_at(const nlohmann::json& run);
  /// The same for what is done by hand: another recording, or none, means that it is over.
  void look_at_status(const nlohmann::json& status);
  [[nodiscard]] Of of() const { return of_; }
  /// For going on after the stream broke.
  [[nodiscard]] const std::string& last_event_id() const { return last_event_id_; }

 private:
  void take_own(const std::string& name, const nlohmann::json& data);
  void take_sample(const nlohmann::json& data);
  std::string run_id_;
  Say say_;
  std::string target_options_;
  Of of_;
  bool has_said_how_to_answer_ = false;
  bool is_learning_ = false;  ///< samples, which name no run, are those of our experiment
  int said_step_ = 1000;      ///< of the time that an experiment still takes; every one is said once
  std::string end_state_;
  bool has_gap_ = false;
  std::string last_event_id_ = "0";  // from the beginning: the run may be ahead of us
};

/// What a run's end means to the shell.
[[nodiscard]] int exit_code_of(const std::string& end_state);

}  // namespace leeward::daemon
