#include "daemon/api/page_response.hpp"

namespace leeward::daemon {
namespace {
constexpr const char* kPolicy =
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; "
    "manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

std::string body_of(std::span<const unsigned char> bytes) { return {bytes.begin(), bytes.end()}; }
}  // namespace

ApiResponse page_response(const PageAsset& asset, std::string_view accept_encoding,
                          std::string_view if_none_match) {
  ApiResponse response;
  response.content_type = asset.content_type;
  response.may_be_kept = true;
  response.headers = {
      {"Content-Security-Policy", kPolicy}, {"ETag", std::string(asset.etag)}, {"Vary", "Accept-Encoding"}};
  if (if_none_match.find(asset.etag) != std::string_view::npos) {
    response.status = 304;
    return response;
  }
  const bool takes_gzip = accept_encoding.find("gzip") != std::string_view::npos;
  if (takes_gzip) response.headers.emplace_back("Content-Encoding", "gzip");
  response.body = body_of(takes_gzip ? asset.gzip : asset.plain);
  return response;
}

}  // namespace leeward::daemon
