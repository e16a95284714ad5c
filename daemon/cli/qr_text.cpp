#include "daemon/cli/qr_text.hpp"

#include <qrencode.h>

#include <memory>

namespace leeward::daemon {
namespace {
constexpr int kQuietZone = 4;

struct FreeCode {
  void operator()(QRcode* code) const { QRcode_free(code); }
};

bool is_dark(const QRcode& code, int x, int y) {
  if (x < 0 || y < 0 || x >= code.width || y >= code.width) return false;
  return (code.data[y * code.width + x] & 1) != 0;
}

const char* half_blocks(bool upper, bool lower) {
  if (upper) return lower ? "\u2588" : "\u2580";
  return lower ? "\u2584" : " ";
}
}  // namespace

std::string qr_text(const std::string& link) {
  const std::unique_ptr<QRcode, FreeCode> code(QRcode_encodeString8bit(link.c_str(), 0, QR_ECLEVEL_L));
  if (code == nullptr) return {};
  std::string text;
  for (int y = -kQuietZone; y < code->width + kQuietZone; y += 2) {
    text += "\033[38;5;16;48;5;231m";  // black on white
    for (int x = -kQuietZone; x < code->width + kQuietZone; ++x)
      text += half_blocks(is_dark(*code, x, y), is_dark(*code, x, y + 1));
    text += "\033[0m\n";
  }
  return text;
}

}  // namespace leeward::daemon
