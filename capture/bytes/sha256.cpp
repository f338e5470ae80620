#include "capture/bytes/sha256.hpp"

#include <openssl/evp.h>

#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

EVP_MD_CTX* evp(void* context) { return static_cast<EVP_MD_CTX*>(context); }

void check(bool good) {
  if (!good) throw InputError("", "", "SHA-256 is not available in this OpenSSL", "", Exit::software);
}

}  // namespace

void Sha256::Free::operator()(void* context) const { EVP_MD_CTX_free(evp(context)); }

Sha256::Sha256() : context_(EVP_MD_CTX_new()) {
  check(context_ && EVP_DigestInit_ex(evp(context_.get()), EVP_sha256(), nullptr) == 1);
}

Sha256::~Sha256() = default;

void Sha256::add(std::string_view bytes) {
  check(EVP_DigestUpdate(evp(context_.get()), bytes.data(), bytes.size()) == 1);
}

std::string Sha256::hex() {
  if (!hex_.empty()) return hex_;
  unsigned char digest[EVP_MAX_MD_SIZE];
  unsigned length = 0;
  check(EVP_DigestFinal_ex(evp(context_.get()), digest, &length) == 1);
  for (unsigned i = 0; i < length; ++i) {
    hex_ += "0123456789abcdef"[digest[i] >> 4];
    hex_ += "0123456789abcdef"[digest[i] & 15];
  }
  return hex_;
}

}  // namespace paneproof
