// The bytes of a request through the same parser, admission and routes as in a connection; only the socket is
// left out.
#include <stdlib.h>

#include <boost/asio/buffer.hpp>
#include <boost/beast/http.hpp>

#include <nlohmann/json.hpp>

#include "daemon/access/secret.hpp"
#include "daemon/api/admission.hpp"
#include "daemon/api/entity_tag.hpp"
#include "daemon/api/idempotent_start.hpp"
#include "daemon/api/read_request.hpp"
#include "daemon/api/router.hpp"
#include "tests/fuzz/fuzz_backend.hpp"
#include "tests/fuzz/require.hpp"
#include "tests/fuzz/scratch_file.hpp"
#include "tests/fuzz/targets.hpp"

namespace leeward::fuzz {
namespace {

namespace http = boost::beast::http;
using Message = daemon::HttpMessage;

constexpr std::size_t kLargestJudged = 100'000;  // of an answer whose JSON is parsed again
constexpr double kBetweenRequests = 1000;        // s: limits and helm have forgotten the request before

/// The served side, made once and cleaned between requests.
struct Served {
  ScratchFile scratch{"tokens.toml"};
  FuzzBackend backend;
  daemon::AccessDesk desk;
  daemon::DriveShelf drives{true};
  daemon::Router router;
  double now_s = 0;

  Served() : router({backend, store(scratch.folder()), "fuzz", &desk, &drives}) {
    ::setenv("LEEWARD_CONFIG_DIR", LEEWARD_SOURCE_DIR "/config", 1);
    const std::string tokens = (scratch.folder() / "tokens.toml").string();
    const std::vector<daemon::TokenRecord> records{
        {"phone", daemon::Role::operating, daemon::sha256_hex("fuzz-operator"), "2026-01-01"},
        {"screen", daemon::Role::viewer, daemon::sha256_hex("fuzz-viewer"), "2026-01-01"}};
    require(daemon::save_tokens(tokens, records).has_value(), "tokens can be stored");
    auto gate = daemon::Gate::open(tokens);
    require(gate.has_value(), "the gate opens");
    desk.gate.emplace(std::move(*gate));
  }
  void clean() {
    now_s += kBetweenRequests;
    desk.helm = {};
    desk.starts = {};
    desk.refused.clear();
  }

 private:
  static daemon::RunStore store(const std::filesystem::path& folder) {
    return daemon::RunStore::open(folder / "runs").value();
  }
};

void judge(const daemon::ApiResponse& response) {
  require(response.status >= 200 && response.status < 600, "an answer has a status of HTTP");
  require(response.status < 500 || response.status == 503, "no request makes the daemon fail");
  for (const auto& [name, value] : response.headers)
    require(value.find_first_of("\r\n") == std::string::npos, "a header stays on its line");
  const bool is_json = response.content_type.find("json") != std::string::npos;
  if (is_json && !response.body.empty() && response.body.size() < kLargestJudged)
    require(nlohmann::json::accept(response.body), "an answer that calls itself JSON is JSON");
}

daemon::ApiResponse answer(Served& served, const daemon::ApiRequest& request) {
  if (auto known = daemon::begin_start(served.desk, request)) return std::move(*known);
  daemon::ApiResponse got;
  int replies = 0;
  served.router.handle(request, [&](daemon::ApiResponse response) {
    got = std::move(response);
    ++replies;
  });
  require(replies == 1, "each request is answered once");
  daemon::end_start(served.desk, daemon::start_key(request), got);
  return got;
}

void serve(Served& served, const Message& message, bool is_tcp) {
  const daemon::RequestHead head{.method = message.method_string(),
                                 .path = daemon::path_of(message),
                                 .host = message[http::field::host],
                                 .origin = message[http::field::origin],
                                 .authorization = message[http::field::authorization],
                                 .cookie = message[http::field::cookie],
                                 .local_user = is_tcp ? "" : "fuzz",
                                 .address = "192.0.2.1",
                                 .is_tcp = is_tcp};
  const daemon::Needs needs = served.router.needs(head.method, head.path);
  const daemon::Admission admission =
      daemon::admit(served.desk, head, needs, {"rig"}, served.now_s, 1'900'000'000);
  if (admission.refusal) return judge(daemon::problem_response(*admission.refusal));
  const bool commands = needs == daemon::Needs::operating || needs == daemon::Needs::helm;
  require(!commands || admission.caller.role == daemon::Role::operating, "only an operator commands");
  daemon::ApiRequest request = daemon::read_request(message, is_tcp, "");
  request.caller = admission.caller;
  daemon::ApiResponse response = answer(served, request);
  daemon::validate(response, message[http::field::if_none_match]);
  judge(response);
  require(served.backend.is_sound(), "the engine gets only what it can take");
  const bool is_stop = head.method == "POST" && head.path == "/v1/stop";
  require(!is_stop || served.backend.last() == control::RequestKind::stop, "nothing stands before the stop");
}

}  // namespace

void http_requests(Bytes bytes) {
  static Served served;
  ByteReader reader(bytes);
  const std::uint8_t choice = reader.byte();  // a letter, so that the corpus stays text
  const auto status = static_cast<daemon::SubmitStatus>((choice >> 2U) % 8);
  served.clean();
  served.backend.begin((choice & 2U) != 0,
                       status > daemon::SubmitStatus::shutting_down ? daemon::SubmitStatus::stepped : status);
  http::request_parser<http::string_body> parser;
  parser.header_limit(8 * 1024);
  parser.body_limit(64 * 1024);
  parser.eager(true);
  boost::beast::error_code error;
  const std::string_view text = as_text(reader.rest());
  parser.put(boost::asio::buffer(text), error);
  if (error || !parser.is_header_done()) return;
  if (!parser.is_done()) parser.put_eof(error);
  if (error || !parser.is_done()) return;
  serve(served, parser.get(), (choice & 1U) != 0);
}

}  // namespace leeward::fuzz
