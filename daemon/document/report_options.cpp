#include "daemon/document/report_options.hpp"

#include <glib.h>

#include <algorithm>

namespace leeward::daemon {

std::string particular_fault(const ParticularKey& key, const std::string& text) {
  if (text.size() > key.most_bytes)
    return "must be at most " + std::to_string(key.most_bytes) + " bytes long";
  if (g_utf8_validate(text.data(), static_cast<gssize>(text.size()), nullptr) == FALSE)
    return "must be UTF-8";
  const bool has_control = std::any_of(text.begin(), text.end(), [](char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte < 0x20 || byte == 0x7f;
  });
  return has_control ? "must be one line, without control characters" : "";
}

}  // namespace leeward::daemon
