#include "daemon/client/http_client.hpp"

#include <gtest/gtest.h>

#include "tests/daemon/client/scripted_server.hpp"

namespace leeward::daemon {

TEST(HttpClient, GivesStatusTypeAndBody) {
  const ScriptedServer server(
      {"HTTP/1.1 201 Created\r\nContent-Type: application/json\r\nContent-Length: 2\r\n\r\n{}"});

  const auto reply = HttpClient::unix_socket(server.path()).request("POST", "/v1/runs", "{\"a\":1}");

  ASSERT_TRUE(reply.has_value());
  EXPECT_EQ(reply->status, 201);
  EXPECT_EQ(reply->content_type, "application/json");
  EXPECT_EQ(reply->body, "{}");
  EXPECT_TRUE(server.request().starts_with("POST /v1/runs HTTP/1.1\r\n"));
  EXPECT_NE(server.request().find("Content-Type: application/json"), std::string::npos);
}

TEST(HttpClient, AnErrorStatusIsAReply) {
  const ScriptedServer server({"HTTP/1.1 409 Conflict\r\nContent-Length: 0\r\n\r\n"});

  const auto reply = HttpClient::unix_socket(server.path()).request("POST", "/v1/stop");

  ASSERT_TRUE(reply.has_value());
  EXPECT_EQ(reply->status, 409);
}

TEST(HttpClient, SaysConnectWhereNobodyListens) {
  const auto reply = HttpClient::unix_socket("/nonexistent/leeward.sock").request("GET", "/v1/status");

  ASSERT_FALSE(reply.has_value());
  EXPECT_EQ(reply.error().field, "connect");
}

TEST(HttpClient, RefusesASocketPathThatIsTooLong) {
  const auto reply = HttpClient::unix_socket("/" + std::string(200, 'x')).request("GET", "/v1/status");

  ASSERT_FALSE(reply.has_value());
  EXPECT_EQ(reply.error().field, "connect");
}

TEST(HttpClient, SaysTimeoutWhereNothingIsAnswered) {
  const ScriptedServer server({""}, true);
  HttpClient client = HttpClient::unix_socket(server.path());
  client.set_timeout(std::chrono::milliseconds(50));

  const auto reply = client.request("GET", "/v1/status");

  ASSERT_FALSE(reply.has_value());
  EXPECT_EQ(reply.error().field, "timeout");
}

TEST(HttpClient, SaysExchangeForGarbage) {
  const ScriptedServer server({"what is this\r\n\r\n"});

  const auto reply = HttpClient::unix_socket(server.path()).request("GET", "/v1/status");

  ASSERT_FALSE(reply.has_value());
  EXPECT_EQ(reply.error().field, "exchange");
}

TEST(HttpClient, AWrongUrlIsAnErrorOfEachCall) {
  for (const char* url : {"https://host", "host:80", "http://host/path", "http://"}) {
    const auto reply = HttpClient::url(url, "").request("GET", "/v1/status");
    ASSERT_FALSE(reply.has_value()) << url;
    EXPECT_EQ(reply.error().field, "url") << url;
  }
}

TEST(HttpClient, FollowsAStreamUntilTheServerEndsIt) {
  const ScriptedServer server(
      {"HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\n\r\n: hello\n\nid: 1\nevent: a\ndata: "
       "x\n\nid: 2\ndata: y\n\n"});
  std::vector<std::string> seen;

  const auto followed = HttpClient::unix_socket(server.path())
                            .stream(
                                "/v1/stream",
                                [&seen](const StreamEvent& event) {
                                  seen.push_back(event.id + event.event + event.data);
                                  return true;
                                },
                                "41");

  EXPECT_TRUE(followed.has_value());
  EXPECT_EQ(seen, (std::vector<std::string>{"1ax", "2y"}));
  EXPECT_NE(server.request().find("Last-Event-ID: 41"), std::string::npos);
}

TEST(HttpClient, LeavesAStreamWhenTheCallbackHasEnough) {
  const ScriptedServer server(
      {"HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\n\r\ndata: x\n\ndata: y\n\n"}, true);
  int seen = 0;

  const auto followed =
      HttpClient::unix_socket(server.path()).stream("/v1/stream", [&seen](const StreamEvent&) {
        ++seen;
        return false;
      });

  EXPECT_TRUE(followed.has_value());
  EXPECT_EQ(seen, 1);
}

TEST(HttpClient, LeavesASilentStreamWhenTheWaitingHasEnough) {
  const ScriptedServer server({"HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\n\r\ndata: x\n\n"},
                              true);
  int seen = 0;
  int asked = 0;

  const auto followed = HttpClient::unix_socket(server.path())
                            .stream(
                                "/v1/stream",
                                [&seen](const StreamEvent&) {
                                  ++seen;
                                  return true;
                                },
                                {}, [&asked] { return ++asked < 3; });

  EXPECT_TRUE(followed.has_value());
  EXPECT_EQ(seen, 1);
  EXPECT_EQ(asked, 3);
}

TEST(HttpClient, ARefusedStreamIsAnError) {
  const ScriptedServer server({"HTTP/1.1 401 Unauthorized\r\nContent-Length: 0\r\n\r\n"});

  const auto followed =
      HttpClient::unix_socket(server.path()).stream("/v1/stream", [](const StreamEvent&) { return true; });

  ASSERT_FALSE(followed.has_value());
  EXPECT_EQ(followed.error().field, "status");
}

TEST(HttpClient, ASilentStreamTimesOut) {
  const ScriptedServer server({"HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\n\r\n"}, true);
  HttpClient client = HttpClient::unix_socket(server.path());
  client.set_timeout(std::chrono::milliseconds(50));

  const auto followed = client.stream("/v1/stream", [](const StreamEvent&) { return true; });

  ASSERT_FALSE(followed.has_value());
  EXPECT_EQ(followed.error().field, "timeout");
}

}  // namespace leeward::daemon
