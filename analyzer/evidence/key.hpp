// Ed25519 keys (RFC 8032): signing, checking, and their forms as PEM (PKCS#8) and JWK (RFC 8037).
#pragma once

#include <functional>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

namespace paneproof {

class PublicKey {
 public:
  // 32 bytes. Nothing for a point of small order: under such a key one signature fits many messages.
  static std::optional<PublicKey> from_raw(std::string_view raw);
  // {"crv":"Ed25519","kty":"OKP","x":...}; other members are not looked at, a private "d" is refused.
  // Throws InputError (65) naming `file`.
  static PublicKey from_jwk(const nlohmann::json& jwk, const std::string& file);

  const std::string& raw() const { return raw_; }
  nlohmann::json jwk() const;
  std::string thumbprint() const;  // RFC 7638, SHA-256, base64url
  // 64 bytes of signature; never throws.
  bool verifies(std::string_view message, std::string_view signature) const;
  bool operator==(const PublicKey&) const = default;

 private:
  explicit PublicKey(std::string raw) : raw_(std::move(raw)) {}
  std::string raw_;
};

class SigningKey {
 public:
  static SigningKey random();
  static SigningKey from_seed(std::string_view seed);  // 32 bytes, RFC 8032's private key
  // `passphrase` is called only for an encrypted file. Throws InputError (65) naming `file` when it holds
  // no Ed25519 key or the passphrase is wrong.
  static SigningKey from_pem(std::string_view pem, const std::string& file,
                             const std::function<std::string()>& passphrase);

  // PKCS#8; encrypted (PBES2, AES-256) unless the passphrase is empty.
  std::string pem(std::string_view passphrase) const;
  const PublicKey& public_key() const { return public_; }
  std::string sign(std::string_view message) const;

 private:
  explicit SigningKey(void* key);
  std::shared_ptr<void> key_;
  PublicKey public_;
};

}  // namespace paneproof
