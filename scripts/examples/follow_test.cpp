// Starts a multi-point test, follows it, answers what the crew is asked, prints the result. Boost.Asio and
// Beast.
//
//   follow_test SOCKET               on the same machine
//   follow_test HOST PORT TOKEN_FILE over the network
//
// It answers every ask with `done` at once. That is right for a simulated rig. With a real fan a person does
// the act first: show the ask's text, wait for the person, then answer.
#include <fstream>
#include <iostream>
#include <stdexcept>
#include <string>

#include <boost/asio/generic/stream_protocol.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/streambuf.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http.hpp>
#include <nlohmann/json.hpp>

namespace {
namespace asio = boost::asio;
namespace http = boost::beast::http;
using nlohmann::json;
using Socket = asio::generic::stream_protocol::socket;

class Leeward {
 public:
  explicit Leeward(std::string socket_path) : path_(std::move(socket_path)) {}
  Leeward(std::string host, std::string port, const std::string& token_file)
      : host_(std::move(host)), port_(std::move(port)) {
    std::ifstream file(token_file);
    if (!(file >> token_)) throw std::runtime_error("no token in " + token_file);
  }

  Socket connect() {
    if (!path_.empty()) {
      asio::local::stream_protocol::socket socket(io_);
      socket.connect(asio::local::stream_protocol::endpoint(path_));
      return Socket(std::move(socket));
    }
    asio::ip::tcp::socket socket(io_);
    socket.connect(asio::ip::tcp::resolver(io_).resolve(host_, port_)->endpoint());
    return Socket(std::move(socket));
  }

  http::request<http::string_body> make(http::verb method, const std::string& target,
                                        const std::string& body) const {
    http::request<http::string_body> request(method, target, 11);
    request.set(http::field::host, host_.empty() ? "localhost" : host_ + ":" + port_);
    if (!token_.empty()) request.set(http::field::authorization, "Bearer " + token_);
    if (!body.empty()) request.set(http::field::content_type, "application/json");
    request.body() = body;
    request.prepare_payload();
    return request;
  }

  json call(http::verb method, const std::string& target, const std::string& body = {}) {
    Socket socket = connect();
    http::write(socket, make(method, target, body));
    boost::beast::flat_buffer buffer;
    http::response<http::string_body> response;
    http::read(socket, buffer, response);
    const json answer = json::parse(response.body());
    if (response.result_int() >= 400)
      throw std::runtime_error(target + ": " + answer.value("detail", "") + " " + answer.value("hint", ""));
    return answer;
  }

 private:
  asio::io_context io_;
  std::string path_;
  std::string host_;
  std::string port_;
  std::string token_;
};

void answer_open_asks(Leeward& leeward) {
  for (const json& ask : leeward.call(http::verb::get, "/v1/asks")["asks"]) {
    std::cerr << "asked: " << ask.value("text", "") << '\n';
    leeward.call(http::verb::post, "/v1/asks/" + ask.value("id", ""), R"({"answer": "done"})");
  }
}

/// Reads the stream line by line. What a reading says is left out; any other event may have opened an ask or
/// ended the run.
void follow(Leeward& leeward, const std::string& run_id) {
  Socket socket = leeward.connect();
  http::write(socket, leeward.make(http::verb::get, "/v1/stream", {}));
  asio::streambuf buffer;
  answer_open_asks(leeward);
  std::string event;
  while (true) {
    asio::read_until(socket, buffer, '\n');
    std::istream lines(&buffer);
    std::string line;
    std::getline(lines, line);
    if (line.starts_with("event: ")) event = line.substr(7);
    if (!line.starts_with("data: ") || event == "sample") continue;
    const json data = json::parse(line.substr(6));
    if (event == "phase") std::cerr << data.value("text", "") << '\n';
    if (event == "ask" && data.value("state", "") == "open") answer_open_asks(leeward);
    if (event == "run" && data["run_id"] == run_id && data.value("state", "") != "running") return;
  }
}

int run(Leeward& leeward) {
  const char* body = R"({"procedure": "iso-9972", "direction": "depressurize",
    "building": {"name": "House, invented", "volume_m3": 400, "envelope_area_m2": 380},
    "conditions": {"indoor_c": 21, "outdoor_c": 4, "altitude_m": 250}})";
  const std::string run_id = leeward.call(http::verb::post, "/v1/runs", body).value("run_id", "");
  follow(leeward, run_id);
  const json result = leeward.call(http::verb::get, "/v1/runs/" + run_id + "/result");
  json shown;
  for (const char* key :
       {"run_id", "state", "valid", "q50_m3_h", "q50_m3_h_low", "q50_m3_h_high", "n50_per_h", "n"})
    shown[key] = result.at(key);
  std::cout << shown << '\n';
  return 0;
}
}  // namespace

int main(int argc, char** argv) try {
  if (argc == 2) {
    Leeward leeward(argv[1]);
    return run(leeward);
  }
  if (argc == 4) {
    Leeward leeward(argv[1], argv[2], argv[3]);
    return run(leeward);
  }
  std::cerr << "usage: follow_test SOCKET | follow_test HOST PORT TOKEN_FILE\n";
  return 64;
} catch (const std::exception& error) {
  std::cerr << "follow_test: " << error.what() << '\n';
  return 1;
}
