#pragma once
/// Rig process and daemon process side by side, as a user starts them, and the rig's own registers read
/// by an independent Modbus client.

#include <modbus/modbus.h>

#include <array>
#include <bit>
#include <filesystem>
#include <fstream>
#include <functional>
#include <nlohmann/json.hpp>
#include <string>

#include "daemon/client/http_client.hpp"
#include "tests/e2e/process.hpp"

namespace leeward::e2e {

inline std::string source(const std::string& path) { return std::string(LEEWARD_SOURCE_DIR) + "/" + path; }

/// A folder that is gone after the test.
class Folder {
 public:
  Folder() {
    std::string name = "/tmp/leeward-e2e-XXXXXX";
    path_ = ::mkdtemp(name.data());
    ::setenv("STATE_DIRECTORY", (path_ + "/state").c_str(), 1);
    ::setenv("LEEWARD_CONFIG_DIR", source("config").c_str(), 1);
  }
  ~Folder() { std::filesystem::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] std::string operator/(const std::string& name) const { return path_ + "/" + name; }
  std::string write(const std::string& name, const std::string& text) const {
    std::ofstream(path_ + "/" + name) << text;
    return path_ + "/" + name;
  }
  [[nodiscard]] std::vector<std::string> recordings() const {
    std::vector<std::string> found;
    std::error_code none;
    for (const auto& e : std::filesystem::directory_iterator(path_ + "/state/runs", none))
      if (e.path().extension() == ".leeward") found.push_back(e.path());
    return found;
  }

 private:
  std::string path_;
};

inline std::string read_text(const std::string& path) {
  std::ifstream in(path);
  return {std::istreambuf_iterator<char>(in), {}};
}

/// The virtual rig's registers, read and written by libmodbus directly.
class RigClient {
 public:
  explicit RigClient(int port) : context_(modbus_new_tcp("127.0.0.1", port)) {
    modbus_set_slave(context_, 1);
    modbus_set_response_timeout(context_, 2, 0);
    connected_ = modbus_connect(context_) == 0;
  }
  ~RigClient() {
    modbus_close(context_);
    modbus_free(context_);
  }
  RigClient(const RigClient&) = delete;
  RigClient& operator=(const RigClient&) = delete;
  [[nodiscard]] bool connected() const { return connected_; }

  float input_float(int address) {
    std::array<std::uint16_t, 2> w{};
    if (modbus_read_input_registers(context_, address, 2, w.data()) != 2) return -1e9F;
    return std::bit_cast<float>(static_cast<std::uint32_t>(w[0]) << 16U | w[1]);
  }
  int input(int address) {
    std::uint16_t w = 0;
    return modbus_read_input_registers(context_, address, 1, &w) == 1 ? w : -1;
  }
  bool put(int address, int value) {
    return modbus_write_register(context_, address, static_cast<std::uint16_t>(value)) == 1;
  }
  void drive(float demand, bool enable) {
    const auto bits = std::bit_cast<std::uint32_t>(demand);
    const std::array<std::uint16_t, 2> words{static_cast<std::uint16_t>(bits >> 16U),
                                             static_cast<std::uint16_t>(bits & 0xFFFFU)};
    (void)modbus_write_registers(context_, 0, 2, words.data());
    (void)modbus_write_bit(context_, 0, enable ? 1 : 0);
  }
  /// What the drive obeys: demand 0 and not enabled.
  bool fan_is_off() { return input_float(20) == 0.0F && input(22) == 0; }

 private:
  modbus_t* context_;
  bool connected_ = false;
};

/// Awaits a condition that no event announces: asks again until it holds or the time is over.
inline bool await(const std::function<bool()>& condition, std::chrono::seconds at_most) {
  const auto deadline = Clock::now() + at_most;
  while (Clock::now() < deadline) {
    if (condition()) return true;
    pollfd nothing{-1, 0, 0};
    (void)::poll(&nothing, 1, 20);
  }
  return false;
}

/// A rig and a daemon that follows it.
class Bench {
 public:
  Bench(const Folder& folder, double speed, const std::string& house = "config/houses/demo-house.toml",
        const std::string& auto_crew_s = "0", const std::vector<std::string>& more = {})
      : socket_(folder / "api.sock"),
        rig_(joined({binary(), "rig", "--house", source(house), "--port", "0", "--speed",
                     std::to_string(speed), "--auto-crew", auto_crew_s, "--socket", socket_},
                    more)) {
    const auto ready = rig_.await_line("ready ", std::chrono::seconds(30));
    if (ready) port_ = std::stoi(ready->substr(ready->rfind(':') + 1));
  }
  [[nodiscard]] int port() const { return port_; }
  [[nodiscard]] const std::string& socket() const { return socket_; }
  Process& rig() { return rig_; }
  Process& daemon() { return *daemon_; }

  /// The shipped rig file with the rig's port, or another text of a rig file.
  bool serve(const Folder& folder, std::string rig_text = {}) {
    if (rig_text.empty()) {
      rig_text = read_text(source("config/rigs/virtual-modbus.toml"));
      replace(rig_text, "1502", std::to_string(port_));
    }
    replace(rig_text, "../fans/", source("config/fans/"));
    const std::string file = folder.write("rig.toml", rig_text);
    daemon_.emplace(std::vector<std::string>{binary(), "serve", "--config", file, "--socket", socket_});
    return daemon_->await_line("ready ", std::chrono::seconds(30)).has_value();
  }
  [[nodiscard]] daemon::HttpClient client() const { return daemon::HttpClient::unix_socket(socket_); }
  [[nodiscard]] nlohmann::json status() const {
    const auto reply = client().request("GET", "/v1/status");
    return reply ? nlohmann::json::parse(reply->body, nullptr, false) : nlohmann::json();
  }
  [[nodiscard]] std::string phase() const {
    const nlohmann::json s = status();
    return s.is_object() ? s.value("phase", "") : "";
  }
  int post(const std::string& target, const std::string& body = "{}") const {
    const auto reply = client().request("POST", target, body);
    return reply ? reply->status : -1;
  }
  /// Baseline, then 30 Pa held: the state in which most things go wrong.
  bool hold_30() {
    RigClient crew(port_);
    if (!crew.put(100, 0)) return false;  // the cover is off; in this house it makes no odds to the baseline
    if (post("/v1/baseline", R"({"duration_s": 10})") >= 300) return false;
    if (!await([&] { return status()["zero_flow_pa"].is_number() && phase() == "idle"; },
               std::chrono::seconds(30)))
      return false;
    if (post("/v1/hold", R"({"target_pa": 30, "look_round_done": true, "volume_m3": 400})") >= 300)
      return false;
    return await(
        [&] {
          const nlohmann::json s = status();
          return s["induced_pressure_pa"].is_number() &&
                 std::abs(s["induced_pressure_pa"].get<double>() + 30) < 3;
        },
        std::chrono::seconds(60));
  }

  static void replace(std::string& text, const std::string& from, const std::string& to) {
    for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
      text.replace(at, from.size(), to);
  }

 private:
  static std::vector<std::string> joined(std::vector<std::string> arguments,
                                         const std::vector<std::string>& more) {
    arguments.insert(arguments.end(), more.begin(), more.end());
    return arguments;
  }

  std::string socket_;
  Process rig_;
  int port_ = 0;
  std::optional<Process> daemon_;
};

}  // namespace leeward::e2e
