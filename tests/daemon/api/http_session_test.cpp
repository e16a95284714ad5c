// Sessions of browsers and repeated starts, over real sockets.
#include "tests/daemon/api/api_server_fixture.hpp"

namespace leeward::daemon {

TEST_F(ApiServerSockets, ABrowserExchangesItsTokenForACookie) {
  const std::string body = R"({"token":")" + kServerToken + R"("})";
  const RawConnection browser(server_.tcp_port());
  browser.send(
      "POST /v1/session HTTP/1.1\r\nHost: localhost\r\nOrigin: http://localhost\r\n"
      "Content-Type: application/json\r\nContent-Length: " +
      std::to_string(body.size()) + "\r\n\r\n" + body);
  const std::string answer = browser.read_until("}");
  ASSERT_EQ(server_status(answer), 200) << answer;
  const std::size_t at = answer.find("leeward_session=");
  ASSERT_NE(at, std::string::npos) << answer;
  EXPECT_NE(answer.find("HttpOnly; SameSite=Strict"), std::string::npos);
  const std::string cookie = "Cookie: " + answer.substr(at, answer.find(';', at) - at) + "\r\n";

  EXPECT_EQ(server_status(exchange_tcp("Host: localhost\r\n" + cookie)), 200);
  EXPECT_EQ(server_status(exchange_tcp("Host: localhost\r\nOrigin: http://evil.example\r\n" + cookie)), 403);
}

TEST_F(ApiServerSockets, ThePageComesWithoutATokenUnderAStrictPolicy) {
  const auto get = [this](const std::string& headers) {
    const RawConnection browser(server_.tcp_port());
    browser.send("GET / HTTP/1.1\r\n" + headers + "Connection: close\r\n\r\n");
    return browser.read_all();
  };

  const std::string page = get("Host: localhost\r\n");
  EXPECT_EQ(server_status(page), 200);
  EXPECT_NE(page.find("Content-Security-Policy: default-src 'none'; script-src 'self'"), std::string::npos);
  EXPECT_NE(page.find("<!doctype html>"), std::string::npos) << page;
  const std::size_t at = page.find("ETag: ");
  ASSERT_NE(at, std::string::npos);
  const std::string tag = page.substr(at + 6, page.find("\r\n", at) - at - 6);

  EXPECT_EQ(server_status(get("Host: localhost\r\nIf-None-Match: " + tag + "\r\n")), 304);
  EXPECT_NE(get("Host: localhost\r\nAccept-Encoding: gzip\r\n").find("Content-Encoding: gzip"),
            std::string::npos);
  EXPECT_EQ(server_status(get("Host: evil.example\r\n")), 421);
}

TEST_F(ApiServerSockets, AWrongTokenGetsNoCookie) {
  const RawConnection browser(server_.tcp_port());
  browser.send(
      "POST /v1/session HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
      "Content-Length: 17\r\n\r\n{\"token\":\"wrong\"}");

  const std::string answer = browser.read_until("}");

  EXPECT_EQ(server_status(answer), 401);
  EXPECT_EQ(answer.find("Set-Cookie"), std::string::npos);
}

TEST_F(ApiServerSockets, AStartThatIsSentAgainStartsNothing) {
  backend_.set_answer([](const control::Request&) { return SubmitOutcome{.run_id = "run-1"}; });
  const std::string body =
      R"({"procedure":"single-point","building":{},"conditions":{"indoor_c":20,"outdoor_c":5,"altitude_m":0}})";
  const auto post = [&](const std::string& key, const std::string& text) {
    return exchange(
        "POST /v1/runs HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nIdempotency-Key: " +
        key + "\r\nContent-Length: " + std::to_string(text.size()) + "\r\n\r\n" + text);
  };

  EXPECT_EQ(server_status(post("k1", body)), 201);
  EXPECT_EQ(server_status(post("k1", body)), 201);
  EXPECT_EQ(backend_.requests().size(), 1U);
  EXPECT_EQ(server_status(post("k1", body + " ")), 422);
  EXPECT_EQ(server_status(post("k2", body)), 201);
  EXPECT_EQ(backend_.requests().size(), 2U);
}

}  // namespace leeward::daemon
