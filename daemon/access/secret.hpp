#pragma once
/// Secrets: made, hashed, compared.

#include <string>
#include <string_view>

#include "control/result.hpp"

namespace leeward::daemon {

/// 256 random bits as 43 characters of base64url: fits a header, a file and a link.
/// Errors   io when the kernel gives none
[[nodiscard]] control::Result<std::string> new_secret();

/// 64 hexadecimal digits. Enough for a secret of 256 random bits: there is nothing to guess by a dictionary.
[[nodiscard]] std::string sha256_hex(std::string_view text);
/// RFC 2104 with SHA-256, 64 hexadecimal digits.
[[nodiscard]] std::string hmac_sha256_hex(std::string_view key, std::string_view text);

/// Compares in a time that does not depend on where the texts differ.
[[nodiscard]] bool same_secret(std::string_view a, std::string_view b);

}  // namespace leeward::daemon
