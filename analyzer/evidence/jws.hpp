// Signed text: compact JWS (RFC 7515) with Ed25519 (RFC 8037). One algorithm, one header of exactly three
// members, one spelling of everything.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "analyzer/evidence/key.hpp"

namespace paneproof {

inline constexpr const char* evidence_type = "paneproof-evidence+jws";
inline constexpr const char* tree_head_type = "paneproof-tree-head+jws";

// {"alg":"EdDSA","kid":thumbprint,"typ":type} . payload . signature
std::string sign_jws(const nlohmann::json& payload, const char* type, const SigningKey& key);

struct OpenedJws {
  nlohmann::json payload;
  PublicKey key;  // the payload's "key", by which the signature holds
};

// Opens a JWS whose payload is a canonical JSON object that holds its public key as "key". The header
// decides nothing: it must be, to the byte, the one that sign_jws writes for that key and `type`.
// Throws InputError (65) that says what is wrong; whether the key is known is the caller's to ask.
OpenedJws open_jws(std::string_view text, const char* type, const std::string& file);

}  // namespace paneproof
