#include <gtest/gtest.h>
#include <stdlib.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <thread>

#include "daemon/access/secret.hpp"
#include "daemon/api/api_server.hpp"
#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/recording_place.hpp"
#include "tests/daemon/api/fake_backend.hpp"

namespace leeward::daemon {

/// Our client and our server over a real socket.
class ClientAndServer : public testing::Test {
 protected:
  ClientAndServer() {
    std::string pattern = (std::filesystem::temp_directory_path() / "leeward-both-XXXXXX").string();
    folder_ = ::mkdtemp(pattern.data());
    const std::string tokens = (folder_ / "tokens.toml").string();
    EXPECT_TRUE(save_tokens(tokens, {{"script", Role::operating, sha256_hex("0123456789abcdef"), "x"}}));
    desk_.gate = Gate::open(tokens).value();
    hub_.emplace(backend_.config(), 1000);
    server_.emplace(Router({backend_, RunStore::open(folder_).value(), "test", &desk_}), *hub_, desk_);
    EXPECT_TRUE(server_->listen({(folder_ / "s").string(), "127.0.0.1", 0}).has_value());
    server_->start();
  }
  ~ClientAndServer() override {
    server_.reset();
    std::filesystem::remove_all(folder_);
  }
  void publish_phase(std::int64_t stamp_ns) {
    Snapshot snapshot;
    snapshot.sample.stamp_ns = stamp_ns;
    snapshot.events.push_back({.kind = control::EventKind::phase_changed});
    hub_->publish(std::make_shared<const Snapshot>(snapshot));
  }
  [[nodiscard]] HttpClient client() const { return HttpClient::unix_socket((folder_ / "s").string()); }

  std::filesystem::path folder_;
  AccessDesk desk_;
  FakeBackend backend_;
  std::optional<EventHub> hub_;
  std::optional<ApiServer> server_;
};

TEST_F(ClientAndServer, CallsAndRefusalsComeThrough) {
  const auto status = call(client(), "GET", "/v1/status");
  ASSERT_TRUE(status.has_value());
  EXPECT_EQ((*status)["phase"], "idle");

  backend_.refuse_with(control::Refusal::no_baseline, control::Phase::idle);
  const auto hold = call(client(), "POST", "/v1/hold", {{"target_pa", 20}});
  ASSERT_FALSE(hold.has_value());
  EXPECT_EQ(hold.error().code, "no_baseline");
}

TEST_F(ClientAndServer, ADaemonSaysWhereItsRecordingIs) {
  const std::string id = "run-20260101-000000";
  std::ofstream(folder_ / (id + ".leeward")) << "x";
  Target here;
  here.socket = (folder_ / "s").string();

  EXPECT_EQ(find_recording(id, "", here), folder_ / (id + ".leeward"));
  EXPECT_FALSE(find_recording("run-20260101-000001", "", here).has_value());
  EXPECT_FALSE(find_recording(id, folder_ / "none", here).has_value());  // the folder that was named, alone
}

TEST_F(ClientAndServer, TcpWorksWithTheTokenOnly) {
  const std::string url = "http://127.0.0.1:" + std::to_string(server_->tcp_port());

  EXPECT_TRUE(call(HttpClient::url(url, "0123456789abcdef"), "GET", "/v1/status").has_value());
  EXPECT_EQ(call(HttpClient::url(url, "wrong"), "GET", "/v1/status").error().exit, exit_no_permission);
}

TEST_F(ClientAndServer, AFollowerResumesWithoutLosingAnEvent) {
  publish_phase(1);
  std::string last_id;
  const auto first = client().stream(
      "/v1/stream",
      [&last_id](const StreamEvent& event) {
        last_id = event.id;
        return event.event != "phase";
      },
      "999");
  ASSERT_TRUE(first.has_value());
  EXPECT_EQ(last_id, "1000");

  publish_phase(2);
  publish_phase(3);
  std::vector<std::string> seen;
  const auto second = client().stream(
      "/v1/stream",
      [&seen](const StreamEvent& event) {
        if (event.event == "phase") seen.push_back(event.id);
        return seen.size() < 2;
      },
      last_id);

  EXPECT_TRUE(second.has_value());
  EXPECT_EQ(seen, (std::vector<std::string>{"1002", "1004"}));
}

TEST_F(ClientAndServer, TheEndOfTheDaemonEndsAStreamWithoutAnError) {
  std::atomic<bool> is_following = false;
  std::thread ending([this, &is_following] {
    is_following.wait(false);
    server_->stop();
  });
  publish_phase(1);

  const auto followed = client().stream(
      "/v1/stream",
      [&is_following](const StreamEvent&) {
        is_following = true;
        is_following.notify_one();
        return true;
      },
      "999");

  EXPECT_TRUE(followed.has_value());
  ending.join();
}

}  // namespace leeward::daemon
