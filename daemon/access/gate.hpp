#pragma once
/// Who a TCP request comes from: a token in the header, or the cookie that a browser got for one.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "control/result.hpp"
#include "daemon/access/caller.hpp"
#include "daemon/access/private_file.hpp"
#include "daemon/access/token_list.hpp"

namespace leeward::daemon {

/// Not thread-safe: it belongs to the thread that serves the sockets.
class Gate {
 public:
  /// Reads the tokens, and makes the key for sessions beside them where there is none yet.
  /// Errors   io; conflict when a file is not private; out_of_range when the token file is wrong
  [[nodiscard]] static control::Result<Gate> open(const std::string& token_path);

  /// @param authorization, cookie  the headers' values, empty where absent
  [[nodiscard]] std::optional<Caller> identify(std::string_view authorization, std::string_view cookie,
                                               std::int64_t now_unix_s);
  /// The record that a token is of.
  [[nodiscard]] const TokenRecord* find_token(std::string_view token);
  /// The value of a new session's cookie.
  [[nodiscard]] std::string session_of(const TokenRecord& token, std::int64_t now_unix_s) const;
  [[nodiscard]] std::size_t token_count() const { return tokens_.size(); }

 private:
  Gate(std::string path, std::string key) : path_(std::move(path)), key_(std::move(key)) {}
  /// Takes in what `leeward token` has changed meanwhile. A file that has become wrong lets nobody in.
  void refresh();

  std::string path_;
  std::string key_;
  PrivateFile seen_{.fault = PrivateFault::absent};
  std::vector<TokenRecord> tokens_;
};

}  // namespace leeward::daemon
