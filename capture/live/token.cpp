#include "capture/live/token.hpp"

#include <sys/random.h>

#include "capture/model/input_error.hpp"

namespace paneproof {

std::string random_token() {
  unsigned char bytes[16];
  if (::getrandom(bytes, sizeof bytes, 0) != sizeof bytes)
    throw InputError("", "the sweep's token", "expected randomness from the system", "", Exit::software);
  std::string token;
  for (const unsigned char byte : bytes) {
    token += "0123456789abcdef"[byte >> 4];
    token += "0123456789abcdef"[byte & 15];
  }
  return token;
}

bool is_token(std::string_view text) {
  return text.size() == 32 && text.find_first_not_of("0123456789abcdef") == std::string_view::npos;
}

bool same_secret(std::string_view a, std::string_view b) {
  if (a.size() != b.size()) return false;
  unsigned char differs = 0;
  for (std::size_t i = 0; i < a.size(); ++i) differs |= static_cast<unsigned char>(a[i] ^ b[i]);
  return differs == 0;
}

}  // namespace paneproof
