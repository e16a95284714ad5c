#pragma once
/// An HTTP message as a request of ours.

#include <boost/beast/http/message.hpp>
#include <boost/beast/http/string_body.hpp>
#include <string_view>

#include "daemon/api/http_message.hpp"

namespace leeward::daemon {

using HttpMessage = boost::beast::http::request<boost::beast::http::string_body>;

/// As it came, without the query.
[[nodiscard]] inline std::string_view path_of(const HttpMessage& message) {
  const std::string_view target = message.target();
  return target.substr(0, target.find('?'));
}

/// @param address  of the other end on TCP
[[nodiscard]] inline ApiRequest read_request(const HttpMessage& message, bool is_tcp,
                                             std::string_view address) {
  namespace http = boost::beast::http;
  ApiRequest request;
  request.method = message.method_string();
  request.path = path_of(message);
  const std::string_view target = message.target();
  if (request.path.size() < target.size()) request.query = target.substr(request.path.size() + 1);
  request.content_type = message[http::field::content_type];
  request.body = message.body();
  request.is_local = !is_tcp;
  request.address = address;
  request.origin = message[http::field::origin];
  request.idempotency_key = message["Idempotency-Key"];
  return request;
}

}  // namespace leeward::daemon
