#include "daemon/cli/daemon_link.hpp"

#include <gtest/gtest.h>

#include "tests/daemon/client/scripted_server.hpp"

namespace leeward::daemon {
namespace {
std::string link_reply(const std::string& status, const std::string& body) {
  return "HTTP/1.1 " + status + "\r\nContent-Length: " + std::to_string(body.size()) + "\r\n\r\n" + body;
}
}  // namespace

TEST(DaemonLink, NobodyThereSaysHowToStartOne) {
  const auto client = link_to({.socket = "/nonexistent/api.sock", .url = "", .token_file = ""});

  const auto answer = call(*client, "GET", "/v1/status");

  ASSERT_FALSE(answer.has_value());
  EXPECT_EQ(answer.error().exit, exit_no_daemon);
  EXPECT_NE(answer.error().hint.find("leeward serve"), std::string::npos);
}

TEST(DaemonLink, ARefusalKeepsDetailAndHint) {
  const ScriptedServer server({link_reply("409 Conflict", R"({"code":"busy","detail":"d","hint":"h"})")});

  const auto answer = call(HttpClient::unix_socket(server.path()), "POST", "/v1/hold");

  ASSERT_FALSE(answer.has_value());
  EXPECT_EQ(answer.error().exit, exit_failed);
  EXPECT_EQ(answer.error().code, "busy");
  EXPECT_EQ(answer.error().detail, "d");
  EXPECT_EQ(answer.error().hint, "h");
}

TEST(DaemonLink, AWrongTokenIsNoPermission) {
  const ScriptedServer server({link_reply("401 Unauthorized", "{}")});

  EXPECT_EQ(call(HttpClient::unix_socket(server.path()), "GET", "/v1/status").error().exit,
            exit_no_permission);
}

TEST(DaemonLink, AnAnswerThatIsNoJsonIsAnIoError) {
  const ScriptedServer server({link_reply("200 OK", "hello")});

  EXPECT_EQ(call(HttpClient::unix_socket(server.path()), "GET", "/v1/status").error().exit, exit_io);
}

TEST(DaemonLink, HintsNameCommandsAndNotTheInterface) {
  const ScriptedServer server({link_reply(
      "404 Not Found", R"({"code":"unknown_run","detail":"d","hint":"GET /v1/runs lists them"})")});

  EXPECT_EQ(call(HttpClient::unix_socket(server.path()), "GET", "/v1/runs/x").error().hint,
            "leeward runs lists them");
}

TEST(DaemonLink, ATokenFileThatIsNotThereIsAMatterOfConfiguration) {
  const auto client =
      link_to({.socket = "", .url = "http://127.0.0.1:1", .token_file = "/nonexistent/token"});

  ASSERT_FALSE(client.has_value());
  EXPECT_EQ(client.error().exit, exit_config);
}

}  // namespace leeward::daemon
