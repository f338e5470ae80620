// A QR code (ISO/IEC 18004) as text for a terminal, by libqrencode.
#pragma once

#include <string>

namespace paneproof {

// Two rows of modules a line, with the quiet zone of four modules. `colour`: black on white by escape
// codes, whatever the terminal's own colours; without, for a terminal with a dark background. "" when the
// text is too long for a code.
std::string qr_text(const std::string& text, bool colour);

}  // namespace paneproof
