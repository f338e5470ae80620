// Base64 for URLs without padding (RFC 4648, section 5; RFC 7515, appendix C), and hexadecimal.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace paneproof {

std::string base64url(std::string_view bytes);
// Nothing for anything but the one spelling that base64url gives: no padding, no other letters, and no
// bits set that are thrown away (some libraries accept those, so that one value has several spellings).
std::optional<std::string> from_base64url(std::string_view text);

std::string hex(std::string_view bytes);
// Nothing unless all digits are lower-case hexadecimal, two a byte.
std::optional<std::string> from_hex(std::string_view text);

// SHA-256 of the bytes: 64 hex digits, or 32 bytes.
std::string sha256_hex(std::string_view bytes);
std::string sha256_bytes(std::string_view bytes);

// Bytes from the system's random source. Throws InputError (70) without one.
std::string random_bytes(std::size_t count);

}  // namespace paneproof
