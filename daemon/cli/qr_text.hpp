#pragma once
/// A link as a QR code for a terminal.

#include <string>

namespace leeward::daemon {

/// Two rows of modules a line of half blocks, dark on light whatever the terminal's colours are, with the
/// quiet zone that a camera needs. Empty where the text is too long for a code.
/// Source  ISO/IEC 18004, error correction level L (libqrencode)
[[nodiscard]] std::string qr_text(const std::string& link);

}  // namespace leeward::daemon
