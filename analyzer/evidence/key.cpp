#include "analyzer/evidence/key.hpp"

#include <openssl/err.h>
#include <openssl/evp.h>
#include <openssl/pem.h>

#include <array>
#include <cstring>

#include "analyzer/evidence/base64url.hpp"
#include "analyzer/evidence/canonical_json.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

EVP_PKEY* evp(const std::shared_ptr<void>& key) { return static_cast<EVP_PKEY*>(key.get()); }
const unsigned char* bytes(std::string_view text) {
  return reinterpret_cast<const unsigned char*>(text.data());
}

[[noreturn]] void broken() {
  throw InputError("", "", "Ed25519 is not available in this OpenSSL", "", Exit::software);
}

// The points of small order, with the sign bit clear (also in spellings that are not reduced): those whose
// eightfold is the neutral point. Values from memory, each checked by that sum in exact arithmetic.
constexpr std::array<const char*, 7> small_order = {
    "0000000000000000000000000000000000000000000000000000000000000000",
    "0100000000000000000000000000000000000000000000000000000000000000",
    "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
    "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
    "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
    "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
    "eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
};

bool of_small_order(std::string raw) {
  raw[31] = static_cast<char>(raw[31] & 0x7f);
  const std::string digits = hex(raw);
  for (const char* point : small_order)
    if (digits == point) return true;
  return false;
}

std::string raw_public(EVP_PKEY* key) {
  std::string raw(32, '\0');
  std::size_t length = raw.size();
  if (EVP_PKEY_get_raw_public_key(key, reinterpret_cast<unsigned char*>(raw.data()), &length) != 1 ||
      length != 32)
    broken();
  return raw;
}

// What the PEM reader asks for, and whether it asked.
struct Asked {
  const std::function<std::string()>& passphrase;
  bool asked = false;
};

int give_passphrase(char* into, int room, int, void* data) {
  auto* asked = static_cast<Asked*>(data);
  asked->asked = true;
  const std::string text = asked->passphrase();
  if (text.size() > static_cast<std::size_t>(room)) return -1;
  std::memcpy(into, text.data(), text.size());
  return static_cast<int>(text.size());
}

}  // namespace

std::optional<PublicKey> PublicKey::from_raw(std::string_view raw) {
  if (raw.size() != 32 || of_small_order(std::string(raw))) return std::nullopt;
  return PublicKey(std::string(raw));
}

PublicKey PublicKey::from_jwk(const nlohmann::json& jwk, const std::string& file) {
  const auto text = [&](const char* name) {
    return jwk.is_object() && jwk.contains(name) && jwk[name].is_string() ? jwk[name].get<std::string>()
                                                                          : std::string();
  };
  if (text("kty") != "OKP" || text("crv") != "Ed25519")
    throw InputError(file, "", "expected a public Ed25519 key as JWK (kty OKP, crv Ed25519)",
                     "paneproof key show --jwk prints one");
  if (jwk.contains("d"))
    throw InputError(file, "", "expected a public key, but this JWK holds the private one",
                     "never hand that out; paneproof key show --jwk prints the public key");
  const auto raw = from_base64url(text("x"));
  const auto key = raw ? from_raw(*raw) : std::nullopt;
  if (!key)
    throw InputError(file, "", "expected x to be 32 bytes in base64url that make a sound Ed25519 key", "");
  return *key;
}

nlohmann::json PublicKey::jwk() const { return {{"crv", "Ed25519"}, {"kty", "OKP"}, {"x", base64url(raw_)}}; }

std::string PublicKey::thumbprint() const { return base64url(sha256_bytes(canonical_json(jwk()))); }

bool PublicKey::verifies(std::string_view message, std::string_view signature) const {
  if (signature.size() != 64) return false;
  const std::unique_ptr<EVP_PKEY, void (*)(EVP_PKEY*)> key(
      EVP_PKEY_new_raw_public_key(EVP_PKEY_ED25519, nullptr, bytes(raw_), raw_.size()), EVP_PKEY_free);
  const std::unique_ptr<EVP_MD_CTX, void (*)(EVP_MD_CTX*)> context(EVP_MD_CTX_new(), EVP_MD_CTX_free);
  const bool good =
      key && context && EVP_DigestVerifyInit(context.get(), nullptr, nullptr, nullptr, key.get()) == 1 &&
      EVP_DigestVerify(context.get(), bytes(signature), signature.size(), bytes(message), message.size()) ==
          1;
  ERR_clear_error();
  return good;
}

SigningKey::SigningKey(void* key)
    : key_(key, [](void* held) { EVP_PKEY_free(static_cast<EVP_PKEY*>(held)); }),
      public_(*PublicKey::from_raw(raw_public(static_cast<EVP_PKEY*>(key)))) {}

SigningKey SigningKey::random() { return from_seed(random_bytes(32)); }

SigningKey SigningKey::from_seed(std::string_view seed) {
  EVP_PKEY* key = seed.size() == 32
                      ? EVP_PKEY_new_raw_private_key(EVP_PKEY_ED25519, nullptr, bytes(seed), seed.size())
                      : nullptr;
  if (!key) broken();
  return SigningKey(key);
}

SigningKey SigningKey::from_pem(std::string_view pem, const std::string& file,
                                const std::function<std::string()>& passphrase) {
  const std::unique_ptr<BIO, int (*)(BIO*)> in(BIO_new_mem_buf(pem.data(), static_cast<int>(pem.size())),
                                               BIO_free);
  Asked asked{passphrase};
  EVP_PKEY* key = PEM_read_bio_PrivateKey(in.get(), nullptr, give_passphrase, &asked);
  ERR_clear_error();
  if (!key && asked.asked)
    throw InputError(file, "", "the passphrase does not open this key",
                     "try again, or name another --passphrase-file");
  if (!key || EVP_PKEY_get_id(key) != EVP_PKEY_ED25519) {
    EVP_PKEY_free(key);
    throw InputError(file, "", "expected an Ed25519 private key in PKCS#8 PEM",
                     "paneproof key new makes one");
  }
  return SigningKey(key);
}

std::string SigningKey::pem(std::string_view passphrase) const {
  const std::unique_ptr<BIO, int (*)(BIO*)> out(BIO_new(BIO_s_mem()), BIO_free);
  const bool secret = !passphrase.empty();
  if (PEM_write_bio_PKCS8PrivateKey(out.get(), evp(key_), secret ? EVP_aes_256_cbc() : nullptr,
                                    secret ? passphrase.data() : nullptr, static_cast<int>(passphrase.size()),
                                    nullptr, nullptr) != 1)
    broken();
  char* text = nullptr;
  const long length = BIO_get_mem_data(out.get(), &text);
  return {text, static_cast<std::size_t>(length)};
}

std::string SigningKey::sign(std::string_view message) const {
  const std::unique_ptr<EVP_MD_CTX, void (*)(EVP_MD_CTX*)> context(EVP_MD_CTX_new(), EVP_MD_CTX_free);
  std::string signature(64, '\0');
  std::size_t length = signature.size();
  if (!context || EVP_DigestSignInit(context.get(), nullptr, nullptr, nullptr, evp(key_)) != 1 ||
      EVP_DigestSign(context.get(), reinterpret_cast<unsigned char*>(signature.data()), &length,
                     bytes(message), message.size()) != 1)
    broken();
  return signature;
}

}  // namespace paneproof
