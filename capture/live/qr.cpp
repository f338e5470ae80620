#include "capture/live/qr.hpp"

#include <qrencode.h>

#include <memory>

namespace paneproof {

std::string qr_text(const std::string& text, bool colour) {
  const std::unique_ptr<QRcode, void (*)(QRcode*)> code(
      QRcode_encodeString8bit(text.c_str(), 0, QR_ECLEVEL_M), QRcode_free);
  if (!code) return "";
  constexpr int quiet = 4;
  const int side = code->width;
  const auto dark = [&](int column, int row) {
    return column >= 0 && row >= 0 && column < side && row < side && (code->data[row * side + column] & 1);
  };
  std::string out;
  for (int row = -quiet; row < side + quiet; row += 2) {
    if (colour) out += "\x1b[30;47m";
    for (int column = -quiet; column < side + quiet; ++column) {
      const bool upper = dark(column, row) == colour, lower = dark(column, row + 1) == colour;
      out += upper && lower ? "\u2588" : upper ? "\u2580" : lower ? "\u2584" : " ";
    }
    out += colour ? "\x1b[0m\n" : "\n";
  }
  return out;
}

}  // namespace paneproof
