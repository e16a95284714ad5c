// Texts that come with a request or a stream, each through its own reader.
#include <string>

#include "daemon/access/secret.hpp"
#include "daemon/access/session_cookie.hpp"
#include "daemon/access/token_list.hpp"
#include "daemon/api/checked_json.hpp"
#include "daemon/api/entity_tag.hpp"
#include "daemon/api/http_security.hpp"
#include "daemon/api/report_handler.hpp"
#include "daemon/api/result_query.hpp"
#include "daemon/api/server_shared.hpp"
#include "daemon/client/event_parser.hpp"
#include "tests/fuzz/require.hpp"
#include "tests/fuzz/targets.hpp"

namespace leeward::fuzz {
namespace {

const std::vector<std::string> kOwnNames{"rig", "rig.local"};

void cookies(std::string_view text) {
  static const daemon::TokenRecord token{"phone", daemon::Role::operating, daemon::sha256_hex("secret"), ""};
  static const std::string real = daemon::sign_session(token, 2'000'000'000, "key");
  const std::string_view value = daemon::cookie_value(text, daemon::kSessionCookie);
  require(text.find(value) != std::string_view::npos, "a cookie's value is a part of its header");
  require(!daemon::session_holds(value, token, 1'900'000'000, "key") || value == real,
          "only the session that was signed holds");
  require(!daemon::session_holds(text, token, 2'100'000'000, "key"), "no session outlives its time");
  (void)daemon::claimed_name(value);
}

void hosts(std::string_view text) {
  const std::string_view host = text.substr(0, text.find('\n'));
  const std::string_view origin = host.size() < text.size() ? text.substr(host.size() + 1) : text;
  (void)daemon::check_host(host, kOwnNames);
  (void)daemon::check_origin(origin, host);
  require(daemon::check_origin("http://elsewhere.example", "rig").has_value(), "another's page stays out");
}

void event_ids(std::string_view text) {
  const auto id = daemon::read_event_id(text);
  require(!id || *id > 0, "an event id is above 0");
}

/// In pieces of any size the same events come out.
void event_stream(Bytes bytes) {
  ByteReader sizes(bytes);
  const std::size_t piece = 1 + sizes.below(17);
  const std::string_view text = as_text(sizes.rest());
  daemon::EventParser whole, parts;
  const auto expected = whole.feed(text);
  std::size_t seen = 0;
  for (std::size_t at = 0; at < text.size(); at += piece)
    for (const daemon::StreamEvent& event : parts.feed(text.substr(at, piece))) {
      require(seen < expected.size() && event.data == expected[seen].data && event.id == expected[seen].id,
              "an event stream gives the same events however it is cut");
      ++seen;
    }
  require(seen == expected.size(), "an event stream loses no event by being cut");
}

void entity_tags(std::string_view text) {
  daemon::ApiResponse response;
  response.body = "{}";
  response.may_be_kept = true;
  daemon::validate(response, text);
  require(response.status == 200 || (response.status == 304 && response.body.empty()),
          "an entity tag matches or does not");
}

void queries(std::string_view text) {
  std::vector<daemon::Problem> problems;
  (void)daemon::read_result_query(std::string(text), problems);
  daemon::ReportOptions options;
  (void)daemon::read_report_query(text, options);
  (void)daemon::read_report_body(std::string(text), problems);
}

void json_bodies(std::string_view text) {
  nlohmann::json body;
  const auto problem = daemon::parse_body(text, body);
  require(problem.has_value() || body.is_object(), "a body that is taken is an object");
  if (problem) require(problem->status == 400 || problem->status == 422, "a bad body is the client's fault");
}

}  // namespace

void small_texts(Bytes bytes) {
  ByteReader reader(bytes);
  const std::uint8_t choice = reader.byte();
  const std::string_view text = as_text(reader.rest());
  switch (choice % 8) {
    case 0:
      return cookies(text);
    case 1:
      return hosts(text);
    case 2:
      return event_ids(text);
    case 3:
      return event_stream(reader.rest());
    case 4:
      return entity_tags(text);
    case 5:
      return queries(text);
    case 6:
      return json_bodies(text);
    default:
      require(!daemon::is_token_name(text) || (!text.empty() && text.size() <= 32),
              "a token's name is short");
  }
}

}  // namespace leeward::fuzz
