// A passphrase from a file, or from a prompt on a terminal; never from an option or the environment.
#pragma once

#include <string>

namespace paneproof {

// The file's first line; without a file, what is typed at the terminal, unseen (twice when `anew`).
// Throws InputError: 64 when there is neither file nor terminal, 65 for an empty passphrase.
std::string ask_passphrase(const std::string& file, const std::string& for_key, bool anew);

}  // namespace paneproof
