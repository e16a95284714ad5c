#include "daemon/access/secret.hpp"

#include <glib.h>
#include <sys/random.h>

#include <array>
#include <memory>

namespace leeward::daemon {
namespace {
constexpr std::size_t kSecretBytes = 32;

struct FreeText {
  void operator()(char* text) const { g_free(text); }
};
using GText = std::unique_ptr<char, FreeText>;

const guchar* bytes_of(std::string_view text) { return reinterpret_cast<const guchar*>(text.data()); }
}  // namespace

control::Result<std::string> new_secret() {
  std::array<unsigned char, kSecretBytes> bytes{};
  if (::getrandom(bytes.data(), bytes.size(), 0) != static_cast<ssize_t>(bytes.size()))
    return tl::unexpected(control::Error{control::Errc::io, "token", "the system gives no random bytes"});
  const GText base64(g_base64_encode(bytes.data(), bytes.size()));
  std::string secret(base64.get());
  while (secret.ends_with('=')) secret.pop_back();
  for (char& c : secret) c = c == '+' ? '-' : c == '/' ? '_' : c;
  return secret;
}

std::string sha256_hex(std::string_view text) {
  const GText hex(g_compute_checksum_for_data(G_CHECKSUM_SHA256, bytes_of(text), text.size()));
  return hex.get();
}

std::string hmac_sha256_hex(std::string_view key, std::string_view text) {
  const GText hex(
      g_compute_hmac_for_data(G_CHECKSUM_SHA256, bytes_of(key), key.size(), bytes_of(text), text.size()));
  return hex.get();
}

bool same_secret(std::string_view a, std::string_view b) {
  // The length of the expected secret shows in the time, its bytes do not.
  unsigned char differs = a.size() == b.size() ? 0 : 1;
  for (std::size_t i = 0; i < b.size(); ++i) {
    const char given = i < a.size() ? a[i] : '\0';
    differs = static_cast<unsigned char>(differs | (given ^ b[i]));
  }
  return differs == 0;
}

}  // namespace leeward::daemon
