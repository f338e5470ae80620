// Where keys live: signing-key.pem (mode 0600) in the data folder, and every public key that this bench
// has ever used, or trusts, as known-keys/KID.jwk beside it.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "analyzer/evidence/key.hpp"

namespace paneproof {

using Passphrase = std::function<std::string()>;

// `named` or signing-key.pem in the data folder.
std::string key_file(const std::string& named);

// Throws InputError: 66 when there is none, 65 when its mode lets others read it or it holds no key.
SigningKey load_key(const std::string& file, const Passphrase& passphrase);

// Writes a private key, mode 0600, whole or not at all, and its public key among the known ones. Where
// `replace` is false a file that is there is refused (73).
void save_key(const std::string& file, const SigningKey& key, const std::string& passphrase, bool replace);

// The public keys in known-keys; unreadable files are errors (65).
std::vector<PublicKey> known_keys();

// A file's bytes as they are, at most so many. Throws InputError 66, 74, or 65 when it is larger.
std::string file_bytes(const std::string& file, std::size_t largest);

}  // namespace paneproof
