// The WebSocket of the page, over real sockets.
#include "tests/daemon/api/api_server_fixture.hpp"

namespace leeward::daemon {
namespace {
/// A short text as a client sends it, masked with zeros.
std::string live_frame(const std::string& text) {
  std::string frame = "\x81";
  frame += static_cast<char>(0x80 | text.size());
  return frame + std::string(4, '\0') + text;
}

std::string live_upgrade(const std::string& target, const std::string& headers) {
  return "GET " + target + " HTTP/1.1\r\nHost: localhost\r\n" + headers +
         "Connection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\n"
         "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n";
}
}  // namespace

TEST_F(ApiServerSockets, LiveTellsHowThingsStandThenWhatHappens) {
  const RawConnection page(server_.tcp_port());
  page.send(live_upgrade("/v1/live", "Authorization: Bearer " + kServerToken + "\r\n"));

  // Source of the answer's key: RFC 6455, 1.3
  const std::string opening = page.read_until("\"zero_flow_pa\"");
  EXPECT_NE(opening.find("s3pPLMBiTxaQ9kYGzzhZRbK+xOo="), std::string::npos) << opening;
  EXPECT_NE(opening.find(R"({"id":999,"event":"status","data":{)"), std::string::npos) << opening;
  hub_.publish(server_phase(1));
  EXPECT_NE(page.read_until("\"event\":\"sample\"").find(R"({"id":1000,"event":"phase")"), std::string::npos);
}

TEST_F(ApiServerSockets, LiveGoesOnWhereItWasCutOff) {
  for (int i = 1; i <= 3; ++i) hub_.publish(server_phase(i));
  (void)exchange(server_request("GET /v1/healthz"));  // lets the serving thread drain
  const RawConnection page(server_.tcp_port());

  page.send(live_upgrade("/v1/live?after=1000", "Authorization: Bearer " + kServerToken + "\r\n"));

  const std::string missed = page.read_until("\"event\":\"status\"");
  EXPECT_EQ(missed.find(R"({"id":1000,)"), std::string::npos) << missed;
  EXPECT_NE(missed.find(R"({"id":1002,"event":"phase")"), std::string::npos) << missed;
  EXPECT_NE(missed.find(R"({"id":1004,"event":"phase")"), std::string::npos) << missed;
}

TEST_F(ApiServerSockets, LiveTakesAStop) {
  const RawConnection page(path_);
  page.send(live_upgrade("/v1/live", ""));
  (void)page.read_until("\"event\":\"status\"");

  page.send(live_frame(R"({"type":"here"})") + live_frame(R"({"type":"stop"})"));

  const std::string answer = page.read_until("accepted\":true");
  EXPECT_NE(answer.find(R"({"event":"stopped","data":{"accepted":true}})"), std::string::npos) << answer;
  ASSERT_EQ(backend_.requests().size(), 1U);
  EXPECT_EQ(backend_.requests()[0].kind, control::RequestKind::stop);
}

TEST_F(ApiServerSockets, LiveIsClosedForNonsense) {
  for (const std::string& text : {std::string("{}"), std::string("no json"), std::string(R"({"type":7})")}) {
    const RawConnection page(path_);
    page.send(live_upgrade("/v1/live", ""));
    (void)page.read_until("\"event\":\"status\"");

    page.send(live_frame(text));
    (void)page.read_all();

    EXPECT_TRUE(page.is_closed()) << text;
  }
  EXPECT_TRUE(backend_.requests().empty());
}

TEST_F(ApiServerSockets, LiveNeedsATokenAndOurOwnPage) {
  const RawConnection nobody(server_.tcp_port());
  nobody.send(live_upgrade("/v1/live", ""));
  EXPECT_EQ(server_status(nobody.read_until("}")), 401);

  const RawConnection foreign(server_.tcp_port());
  foreign.send(live_upgrade("/v1/live",
                            "Origin: http://evil.example\r\nAuthorization: Bearer " + kServerToken + "\r\n"));
  EXPECT_EQ(server_status(foreign.read_until("}")), 403);

  const RawConnection plain(path_);
  plain.send(server_request("GET /v1/live"));
  EXPECT_EQ(server_status(plain.read_until("}")), 400);
}

}  // namespace leeward::daemon
