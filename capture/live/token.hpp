// The secret of one sweep: 128 random bits from the kernel, as 32 hexadecimal digits.
#pragma once

#include <string>
#include <string_view>

namespace paneproof {

// Throws InputError (70) when the kernel gives no randomness.
std::string random_token();
// Thirty-two lower-case hexadecimal digits?
bool is_token(std::string_view text);
// Compared without telling by its time where they differ. False for different lengths.
bool same_secret(std::string_view a, std::string_view b);

}  // namespace paneproof
