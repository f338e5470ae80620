#include "analyzer/evidence/base64url.hpp"

#include <openssl/rand.h>

#include "capture/bytes/sha256.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
constexpr std::string_view hex_digits = "0123456789abcdef";

}  // namespace

std::string base64url(std::string_view bytes) {
  std::string out;
  unsigned held = 0, bits = 0;
  for (const char c : bytes) {
    held = held << 8 | static_cast<unsigned char>(c);
    for (bits += 8; bits >= 6; bits -= 6) out += letters[held >> (bits - 6) & 63];
    held &= (1u << bits) - 1;
  }
  if (bits) out += letters[held << (6 - bits) & 63];
  return out;
}

std::optional<std::string> from_base64url(std::string_view text) {
  std::string out;
  unsigned held = 0, bits = 0;
  for (const char c : text) {
    const std::size_t value = letters.find(c);
    if (value == std::string_view::npos) return std::nullopt;
    held = held << 6 | static_cast<unsigned>(value);
    bits += 6;
    if (bits >= 8) {
      bits -= 8;
      out += static_cast<char>(held >> bits & 255);
    }
    held &= (1u << bits) - 1;
  }
  if (text.size() % 4 == 1 || held != 0) return std::nullopt;
  return out;
}

std::string hex(std::string_view bytes) {
  std::string out;
  for (const char c : bytes) {
    out += hex_digits[static_cast<unsigned char>(c) >> 4];
    out += hex_digits[static_cast<unsigned char>(c) & 15];
  }
  return out;
}

std::optional<std::string> from_hex(std::string_view text) {
  if (text.size() % 2) return std::nullopt;
  std::string out;
  for (std::size_t i = 0; i < text.size(); i += 2) {
    const std::size_t high = hex_digits.find(text[i]), low = hex_digits.find(text[i + 1]);
    if (high == std::string_view::npos || low == std::string_view::npos) return std::nullopt;
    out += static_cast<char>(high << 4 | low);
  }
  return out;
}

std::string sha256_hex(std::string_view bytes) {
  Sha256 hash;
  hash.add(bytes);
  return hash.hex();
}

std::string sha256_bytes(std::string_view bytes) { return *from_hex(sha256_hex(bytes)); }

std::string random_bytes(std::size_t count) {
  std::string bytes(count, '\0');
  if (RAND_bytes(reinterpret_cast<unsigned char*>(bytes.data()), static_cast<int>(count)) != 1)
    throw InputError("", "", "the system gives no random numbers", "", Exit::software);
  return bytes;
}

}  // namespace paneproof
