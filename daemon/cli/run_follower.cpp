#include "daemon/cli/run_follower.hpp"

#include <nlohmann/json.hpp>

#include "daemon/cli/exit_code.hpp"
#include "daemon/cli/status_text.hpp"
#include "daemon/words/figures.hpp"
#include "daemon/words/json.hpp"

namespace leeward::daemon {
namespace {

constexpr double kProgressStepS = 10;

/// Empty while it goes on.
std::string end_by_hand(const std::string& phase) {
  if (phase == "tripped") return phase;
  return phase == "idle" || phase == "restore" || phase == "result" ? "done" : "";
}

}  // namespace

void RunFollower::take(const StreamEvent& event) {
  if (!event.id.empty()) last_event_id_ = event.id;
  if (event.event == "gap") has_gap_ = true;
  const bool is_sample = event.event == "sample";
  if (is_over() || (is_sample && !is_learning_)) return;
  const auto data = parse_json(event.data);
  if (!data || !data->is_object()) return;
  if (is_sample) return take_sample(*data);
  const auto run = data->find("run_id");
  if (run == data->end() || !run->is_string() || run->get<std::string>() != run_id_) return;
  take_own(event.event, *data);
}

void RunFollower::take_sample(const nlohmann::json& data) {
  const auto left = data.find("phase_left_s");
  const auto pressure = data.find("induced_pressure_pa");
  if (data.value("phase", nlohmann::json()) != "learn_drive" || left == data.end() || !left->is_number() ||
      pressure == data.end() || !pressure->is_number())
    return;
  const int step = static_cast<int>(left->get<double>() / kProgressStepS);
  if (step >= said_step_) return;
  said_step_ = step;
  say_(pressure_text(pressure->get<double>()) + ", " + fixed_text(left->get<double>(), 0) + " s left");
}

void RunFollower::take_own(const std::string& name, const nlohmann::json& data) {
  const auto text_at = [&data](const char* key) {
    const auto it = data.find(key);
    return it != data.end() && it->is_string() ? it->get<std::string>() : std::string{};
  };
  const std::string state = text_at("state");
  if (name == "ask" && state == "open") {
    say_(ask_text_block("ask ", data));
    if (!std::exchange(has_said_how_to_answer_, true))
      say_("answer in another terminal: leeward answer " + text_at("id") + " done" + target_options_);
  } else if (name != "ask" && name != "verdict" && name != "result") {
    if (const std::string text = text_at("text"); !text.empty()) say_(text);
  }
  if (name == "phase" && of_ == Of::hand) {
    is_learning_ = text_at("phase") == "learn_drive";
    end_state_ = end_by_hand(text_at("phase"));
  }
  if (name == "run" && state != "running") end_state_ = state;
}

void RunFollower::look_at(const nlohmann::json& run) {
  const std::string state = run.value("state", std::string("running"));
  if (state != "running") end_state_ = state;
}

void RunFollower::look_at_status(const nlohmann::json& status) {
  const bool is_ours = status.value("run_id", nlohmann::json()) == run_id_;
  end_state_ = is_ours ? end_by_hand(status.value("phase", std::string())) : "done";
}

int exit_code_of(const std::string& end_state) {
  if (end_state == "done") return exit_done;
  if (end_state == "invalid") return exit_invalid;
  return end_state == "tripped" ? exit_trip : exit_failed;
}

}  // namespace leeward::daemon
