// SHA-256 over a stream of bytes (FIPS 180-4), by OpenSSL's EVP.
#pragma once

#include <memory>
#include <string>
#include <string_view>

namespace paneproof {

class Sha256 {
 public:
  Sha256();
  ~Sha256();
  void add(std::string_view bytes);
  // 64 lower-case hex digits. Nothing may be added afterwards; asking again gives the same.
  std::string hex();

 private:
  struct Free {
    void operator()(void* context) const;
  };
  std::unique_ptr<void, Free> context_;
  std::string hex_;
};

}  // namespace paneproof
