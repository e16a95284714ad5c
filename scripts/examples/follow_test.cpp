// Starts a multi-point test, follows it, answers what the crew is asked, prints the result. Boost.Asio and
// Beast, nlohmann's JSON; all headers: g++ -std=c++20 follow_test.cpp -o follow_test
//
//   follow_test SOCKET                on the same machine
//   follow_test HOST PORT TOKEN_FILE  over the network
//
// It answers every ask with `done` at once. That is right for a simulated rig. With a real fan a person does
// the act first: show the ask's text, wait for the person, then answer. Ending this program does not stop the
// run.
#include <chrono>
#include <cmath>
#include <fstream>
#include <iostream>
#include <random>
#include <stdexcept>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include <boost/asio/generic/stream_protocol.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/beast/core/basic_stream.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http.hpp>
#include <nlohmann/json.hpp>

namespace {
namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
using nlohmann::json;
using Connection = beast::basic_stream<asio::generic::stream_protocol>;
using Headers = std::vector<std::pair<std::string, std::string>>;

/// The stream says something every 5 s, so a silence of 20 s is a broken connection.
constexpr std::chrono::seconds kPatience{20};
constexpr std::chrono::seconds kBeforeConnectingAgain{1};

/// The daemon says no, and what to do about it.
struct Refused : std::runtime_error {
  explicit Refused(const json& problem)
      : std::runtime_error(problem.value("detail", "") + " " + problem.value("hint", "")) {}
};

class Leeward {
 public:
  explicit Leeward(std::string socket_path) : path_(std::move(socket_path)) {}
  Leeward(std::string host, std::string port, const std::string& token_file)
      : host_(std::move(host)), port_(std::move(port)) {
    std::ifstream file(token_file);
    if (!(file >> token_)) throw std::runtime_error("no token in " + token_file + ": see leeward token");
  }

  Connection connect() {
    std::vector<asio::generic::stream_protocol::endpoint> places;  // a name may stand for several
    if (path_.empty())
      for (const auto& entry : asio::ip::tcp::resolver(io_).resolve(host_, port_))
        places.emplace_back(entry.endpoint());
    else
      places.emplace_back(asio::local::stream_protocol::endpoint(path_));
    Connection connection(io_);
    await(connection, [&](auto done) { connection.async_connect(places, done); });
    return connection;
  }

  void send(Connection& connection, http::verb method, const std::string& path, const std::string& body,
            const Headers& headers) {
    http::request<http::string_body> request(method, path, 11);
    request.set(http::field::host, host_.empty() ? "localhost" : host_ + ":" + port_);
    if (!token_.empty()) request.set(http::field::authorization, "Bearer " + token_);
    if (!body.empty()) request.set(http::field::content_type, "application/json");
    for (const auto& [name, value] : headers) request.set(name, value);
    request.body() = body;
    request.prepare_payload();
    await(connection, [&](auto done) { http::async_write(connection, request, done); });
  }

  json call(http::verb method, const std::string& path, const std::string& body = {},
            const Headers& headers = {}) {
    Connection connection = connect();
    send(connection, method, path, body, headers);
    beast::flat_buffer buffer;
    http::response<http::string_body> response;
    await(connection, [&](auto done) { http::async_read(connection, buffer, response, done); });
    json answer = json::parse(response.body());
    if (response.result_int() >= 400) throw Refused(answer);
    return answer;
  }

  /// Lets one operation come to its end; throws where it fails or takes too long.
  template <class Start>
  void await(Connection& connection, Start start) {
    boost::system::error_code failed;
    connection.expires_after(kPatience);
    start([&failed](boost::system::error_code error, auto&&...) { failed = error; });
    io_.restart();
    io_.run();
    if (failed) throw boost::system::system_error(failed);
  }

 private:
  asio::io_context io_;
  std::string path_;
  std::string host_;
  std::string port_;
  std::string token_;
};

/// One run, from its start to its end, whatever becomes of the connection.
class Run {
 public:
  explicit Run(Leeward& leeward) : leeward_(leeward) {
    const char* body = R"({"procedure": "iso-9972", "direction": "depressurize",
      "building": {"name": "House, invented", "volume_m3": 400, "envelope_area_m2": 380},
      "conditions": {"indoor_c": 21, "outdoor_c": 4, "altitude_m": 250}})";
    // The same key again, after an answer that got lost, does not start a second run.
    const std::string key = std::to_string(std::random_device{}()) + std::to_string(std::random_device{}());
    id_ = leeward_.call(http::verb::post, "/v1/runs", body, {{"Idempotency-Key", key}}).at("run_id");
  }

  void follow() {
    while (state_ == "running") {
      try {
        read_stream();
      } catch (const boost::system::system_error& error) {
        std::cerr << "connecting again: " << error.code().message() << '\n';
        std::this_thread::sleep_for(kBeforeConnectingAgain);
      }
    }
  }

  json result() { return leeward_.call(http::verb::get, "/v1/runs/" + id_ + "/result"); }

 private:
  void read_stream() {
    Connection connection = leeward_.connect();
    Headers headers;
    if (!last_event_id_.empty()) headers.emplace_back("Last-Event-ID", last_event_id_);
    leeward_.send(connection, http::verb::get, "/v1/stream", {}, headers);
    beast::flat_buffer buffer;
    http::response_parser<http::string_body> parser;
    parser.body_limit(boost::none);
    leeward_.await(connection, [&](auto done) { http::async_read_header(connection, buffer, parser, done); });
    if (parser.get().result_int() >= 400) throw std::runtime_error("the stream is refused");
    // What happened before, or was missed, is in the state; what happens from here on is in the stream.
    look_up_state();
    while (state_ == "running") {
      leeward_.await(connection, [&](auto done) { http::async_read_some(connection, buffer, parser, done); });
      take_lines(parser.get().body());
    }
  }

  /// Takes every whole line out of the text.
  void take_lines(std::string& text) {
    std::size_t begin = 0;
    for (std::size_t end = 0; (end = text.find('\n', begin)) != std::string::npos; begin = end + 1)
      take_line(text.substr(begin, end - begin));
    text.erase(0, begin);
  }

  void take_line(const std::string& line) {
    if (line.starts_with("id: ")) last_event_id_ = line.substr(4);
    if (line.starts_with("event: ")) event_ = line.substr(7);
    if (line.starts_with("data: ") && event_ != "sample") take_event(json::parse(line.substr(6)));
  }

  void take_event(const json& data) {
    if (event_ == "gap") look_up_state();
    if (event_ == "ask" && data.at("state") == "open") answer_open_asks();
    if (event_ == "phase" || event_ == "trip") std::cerr << data.at("text").get<std::string>() << '\n';
    if (event_ == "station" && data.at("state") == "done")
      std::cerr << "  " << std::lround(data.at("induced_pa").get<double>()) << " Pa  "
                << std::lround(data.at("flow_m3_s").get<double>() * 3600) << " m3/h\n";
    if (event_ == "run" && data.at("run_id") == id_) state_ = data.at("state");
  }

  void look_up_state() {
    answer_open_asks();
    state_ = leeward_.call(http::verb::get, "/v1/runs/" + id_).at("state");
  }

  void answer_open_asks() {
    const json open = leeward_.call(http::verb::get, "/v1/asks");
    for (const json& ask : open.at("asks")) {
      std::cerr << "asked: " << ask.at("text").get<std::string>() << '\n';
      try {
        leeward_.call(http::verb::post, "/v1/asks/" + ask.at("id").get<std::string>(),
                      R"({"answer": "done"})");
      } catch (const Refused& refused) {  // another may have answered it
        std::cerr << refused.what() << '\n';
      }
    }
  }

  Leeward& leeward_;
  std::string id_;
  std::string state_ = "running";
  std::string last_event_id_;
  std::string event_;
};

int run_test(Leeward& leeward) {
  Run run(leeward);
  run.follow();
  const json result = run.result();
  json shown;
  for (const char* key :
       {"run_id", "state", "valid", "q50_m3_h", "q50_m3_h_low", "q50_m3_h_high", "n50_per_h", "n"})
    shown[key] = result.at(key);
  std::cout << shown << '\n';
  return result.at("state") == "done" ? 0 : 1;
}
}  // namespace

int main(int argc, char** argv) try {
  if (argc == 2) {
    Leeward leeward(argv[1]);
    return run_test(leeward);
  }
  if (argc == 4) {
    Leeward leeward(argv[1], argv[2], argv[3]);
    return run_test(leeward);
  }
  std::cerr << "usage: follow_test SOCKET | follow_test HOST PORT TOKEN_FILE\n";
  return 64;
} catch (const boost::system::system_error& error) {
  std::cerr << "follow_test: no answer (" << error.code().message()
            << "): is the daemon running? leeward serve says where it listens\n";
  return 1;
} catch (const std::exception& error) {
  std::cerr << "follow_test: " << error.what() << '\n';
  return 1;
}
