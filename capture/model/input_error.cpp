#include "capture/model/input_error.hpp"

#include <cstdio>

namespace paneproof {
namespace {

std::string one_line(const std::string& file, const std::string& place, const std::string& expected,
                     const std::string& remedy) {
  std::string line = printable(file);
  if (!place.empty()) line += (line.empty() ? "" : ", ") + printable(place);
  if (!line.empty()) line += ": ";
  line += printable(expected, 400);
  if (!remedy.empty()) line += "; " + printable(remedy, 400);
  return line;
}

// Length of the valid UTF-8 sequence at `at`, 0 when there is none.
std::size_t utf8_length(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char lead = byte(at);
  const std::size_t length = lead < 0x80   ? 1
                             : lead < 0xc2 ? 0
                             : lead < 0xe0 ? 2
                             : lead < 0xf0 ? 3
                             : lead < 0xf5 ? 4
                                           : 0;
  if (length == 0 || at + length > text.size()) return 0;
  for (std::size_t i = 1; i < length; ++i)
    if ((byte(at + i) & 0xc0) != 0x80) return 0;
  if (lead == 0xe0 && byte(at + 1) < 0xa0) return 0;
  if (lead == 0xed && byte(at + 1) > 0x9f) return 0;
  if (lead == 0xf0 && byte(at + 1) < 0x90) return 0;
  if (lead == 0xf4 && byte(at + 1) > 0x8f) return 0;
  // C1 controls and bidirectional overrides could rearrange a terminal line.
  if (lead == 0xc2 && byte(at + 1) < 0xa0) return 0;
  if (lead == 0xe2 && byte(at + 1) == 0x80 && (byte(at + 2) >= 0xa8 && byte(at + 2) <= 0xae)) return 0;
  if (lead == 0xe2 && byte(at + 1) == 0x81 && (byte(at + 2) >= 0xa6 && byte(at + 2) <= 0xa9)) return 0;
  return length;
}

}  // namespace

std::string printable(std::string_view text, std::size_t longest) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    if (out.size() >= longest) return out + "...";
    const std::size_t length = utf8_length(text, at);
    const auto lead = static_cast<unsigned char>(text[at]);
    if (length == 0 || lead < 0x20 || lead == 0x7f) {
      char escaped[8];
      std::snprintf(escaped, sizeof escaped, "\\x%02x", lead);
      out += escaped;
      at += 1;
    } else {
      out.append(text.substr(at, length));
      at += length;
    }
  }
  return out;
}

InputError::InputError(std::string file_in, std::string place_in, std::string expected_in,
                       std::string remedy_in, Exit exit_in)
    : std::runtime_error(one_line(file_in, place_in, expected_in, remedy_in)),
      file(std::move(file_in)),
      place(std::move(place_in)),
      expected(std::move(expected_in)),
      remedy(std::move(remedy_in)),
      exit(exit_in) {}

}  // namespace paneproof
