#include "analyzer/evidence/jws.hpp"

#include "analyzer/evidence/base64url.hpp"
#include "analyzer/evidence/canonical_json.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

std::string header_of(const PublicKey& key, const char* type) {
  return canonical_json({{"alg", "EdDSA"}, {"kid", key.thumbprint()}, {"typ", type}});
}

}  // namespace

std::string sign_jws(const nlohmann::json& payload, const char* type, const SigningKey& key) {
  const std::string input =
      base64url(header_of(key.public_key(), type)) + "." + base64url(canonical_json(payload));
  return input + "." + base64url(key.sign(input));
}

OpenedJws open_jws(std::string_view text, const char* type, const std::string& file) {
  const auto refuse = [&](const char* expected) -> void { throw InputError(file, "", expected, ""); };
  const std::size_t first = text.find('.'),
                    second = first == text.npos ? text.npos : text.find('.', first + 1);
  if (second == text.npos || text.find('.', second + 1) != text.npos)
    refuse("expected a compact JWS of three parts");
  const auto header = from_base64url(text.substr(0, first));
  const auto payload = from_base64url(text.substr(first + 1, second - first - 1));
  const auto signature = from_base64url(text.substr(second + 1));
  if (!header || !payload || !signature) refuse("expected base64url without padding or slack");
  nlohmann::json said = canonical_only(*payload, file);
  if (!said.is_object() || !said.contains("key")) refuse("expected a statement that names its key");
  PublicKey key = PublicKey::from_jwk(said["key"], file);
  if (said["key"] != key.jwk()) refuse("expected a key of exactly kty, crv and x");
  if (*header != header_of(key, type))
    refuse("expected the header alg EdDSA, kid of the key inside, and typ of this kind");
  if (!key.verifies(text.substr(0, second), *signature)) refuse("the signature does not fit the statement");
  return {std::move(said), std::move(key)};
}

}  // namespace paneproof
