#include "daemon/api/api_server.hpp"

#include <sys/stat.h>

#include <thread>

#include "tests/daemon/api/api_server_fixture.hpp"

namespace leeward::daemon {

TEST_F(ApiServerSockets, AnswersOverAUnixSocketOfMode0600) {
  EXPECT_EQ(server_status(exchange(server_request("GET /v1/status"))), 200);

  struct stat info {};
  ASSERT_EQ(::stat(path_.c_str(), &info), 0);
  EXPECT_EQ(info.st_mode & 0777, 0600U);
}

TEST_F(ApiServerSockets, KeepsAConnectionForSeveralRequests) {
  const RawConnection connection(path_);
  for (int i = 0; i < 3; ++i) {
    ASSERT_TRUE(connection.send(server_request("POST /v1/stop")));
    EXPECT_EQ(server_status(connection.read_until("}")), 200);
  }
}

TEST_F(ApiServerSockets, LimitsHeaderAndBody) {
  EXPECT_EQ(server_status(exchange("GET /v1/status HTTP/1.1\r\nX: " + std::string(20'000, 'a') + "\r\n\r\n")),
            431);
  EXPECT_EQ(server_status(exchange(server_request("POST /v1/hold", std::string(100'000, ' ')))), 413);
  EXPECT_EQ(server_status(exchange(server_request("POST /v1/hold", "{" + std::string(60'000, ' ') + "}"))),
            422);
}

TEST_F(ApiServerSockets, GarbageIs400AndTheServerLives) {
  EXPECT_EQ(server_status(exchange("\x01\x02 what\r\n\r\n")), 400);
  EXPECT_EQ(server_status(exchange("GET / HTTP/9.9\r\n\r\n")), 400);
  EXPECT_EQ(server_status(exchange(server_request("GET /v1/status"))), 200);
}

TEST_F(ApiServerSockets, TcpNeedsTheTokenAndAKnownHost) {
  const std::string bearer = "Authorization: Bearer " + kServerToken + "\r\n";

  EXPECT_EQ(server_status(exchange_tcp("Host: localhost\r\n" + bearer)), 200);
  EXPECT_EQ(server_status(exchange_tcp("Host: localhost\r\n")), 401);
  EXPECT_EQ(server_status(exchange_tcp("Host: localhost\r\nAuthorization: Bearer 0123456789abcdeX\r\n")),
            401);
  EXPECT_EQ(server_status(exchange_tcp("Host: evil.example\r\n" + bearer)), 421);
  EXPECT_EQ(server_status(exchange_tcp("Host: localhost\r\nOrigin: http://evil.example\r\n" + bearer)), 403);
}

TEST_F(ApiServerSockets, TcpWithoutATokenIsRefused) {
  AccessDesk no_gate;
  ApiServer other(router_, hub_, no_gate);

  const auto listening = other.listen({(folder_ / "b.sock").string(), "127.0.0.1", 0});

  ASSERT_FALSE(listening.has_value());
  EXPECT_EQ(listening.error().code, control::Errc::conflict);
}

TEST_F(ApiServerSockets, StreamsEventsAndResumes) {
  const RawConnection first(path_);
  first.send(server_request("GET /v1/stream"));
  EXPECT_NE(first.read_until(": hello\n\n").find("text/event-stream"), std::string::npos);

  hub_.publish(server_phase(1));
  EXPECT_NE(first.read_until("event: sample").find("id: 1000\nevent: phase"), std::string::npos);

  hub_.publish(server_phase(2));
  (void)first.read_until("id: 1003\nevent: sample");
  const RawConnection second(path_);
  second.send("GET /v1/stream HTTP/1.1\r\nHost: localhost\r\nLast-Event-ID: 1000\r\n\r\n");
  const std::string resumed = second.read_until("id: 1002\nevent: phase");

  EXPECT_EQ(resumed.find("id: 1000\n"), std::string::npos);
  EXPECT_NE(resumed.find("id: 1002\n"), std::string::npos);
}

TEST_F(ApiServerSockets, SixStreamsDoNotKeepAStopWaiting) {
  std::vector<std::unique_ptr<RawConnection>> readers;
  for (int i = 0; i < 6; ++i) {
    readers.push_back(std::make_unique<RawConnection>(path_));
    readers.back()->send(server_request("GET /v1/stream"));
    (void)readers.back()->read_until(": hello");
  }
  for (int i = 1; i <= 20; ++i) hub_.publish(server_sample(i));

  EXPECT_EQ(server_status(exchange(server_request("POST /v1/stop"))), 200);
  EXPECT_EQ(backend_.requests().size(), 1U);
}

TEST_F(ApiServerSockets, AReaderThatStandsStillIsClosed) {
  const RawConnection stalled(path_);
  stalled.send(server_request("GET /v1/stream"));
  (void)stalled.read_until(": hello");

  // More than any socket buffer and the queue hold; nothing of it is read.
  for (int i = 1; i <= 4000; ++i) {
    hub_.publish(server_phase(i));
    if (i % 100 == 0) (void)exchange(server_request("GET /v1/healthz"));  // lets the serving thread drain
  }

  const std::string rest = stalled.read_all();
  EXPECT_TRUE(stalled.is_closed());
  EXPECT_NE(rest.find("event: gap"), std::string::npos);
  EXPECT_EQ(rest.find("id: 8999\n"), std::string::npos);
  EXPECT_EQ(server_status(exchange(server_request("GET /v1/status"))), 200);
}

TEST_F(ApiServerSockets, AnswersFromAnotherThread) {
  std::vector<std::thread> threads;
  std::mutex mutex;
  backend_.set_answer([](const control::Request&) { return SubmitOutcome{}; });
  for (int i = 0; i < 4; ++i)
    threads.emplace_back([&] {
      for (int k = 0; k < 20; ++k) {
        const int status = server_status(exchange(server_request("GET /v1/runs")));
        const std::lock_guard lock(mutex);
        EXPECT_EQ(status, 200);
      }
    });
  for (std::thread& thread : threads) thread.join();
}

TEST_F(ApiServerSockets, StopIsIdempotentAndRemovesTheSocket) {
  const RawConnection idle(path_);
  const RawConnection reader(path_);
  reader.send(server_request("GET /v1/stream"));
  (void)reader.read_until(": hello");

  server_.stop();
  server_.stop();

  EXPECT_FALSE(std::filesystem::exists(path_));
}

TEST(PrepareSocketFolder, RefusesAFolderThatOthersMayWriteTo) {
  const std::filesystem::path folder = testing::TempDir() + "/leeward-open-" + std::to_string(::getpid());
  std::filesystem::create_directories(folder);
  ::chmod(folder.c_str(), 0777);

  EXPECT_FALSE(prepare_socket_folder((folder / "api.sock").string(), true).has_value());
  EXPECT_TRUE(prepare_socket_folder((folder / "api.sock").string(), false).has_value());
  ::chmod(folder.c_str(), 0700);
  EXPECT_TRUE(prepare_socket_folder((folder / "api.sock").string(), true).has_value());
  EXPECT_TRUE(prepare_socket_folder((folder / "new" / "api.sock").string(), true).has_value());

  std::filesystem::remove_all(folder);
}

}  // namespace leeward::daemon
