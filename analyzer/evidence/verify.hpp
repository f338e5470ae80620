// Is an evidence file genuine? Slot, digest and signature come first; only what they cover is unpacked,
// analysed again and drawn again.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "analyzer/evidence/key.hpp"
#include "analyzer/evidence/statement.hpp"

namespace paneproof {

struct VerifyResult {
  // As `paneproof verify` exits.
  enum class Kind {
    genuine = 0,
    altered = 1,
    unknown_key = 2,
    judged_otherwise = 3,
    no_evidence = 65
  } kind = Kind::altered;
  std::string why;      // one sentence; names the part that was altered
  Statement statement;  // as signed; meaningful unless altered before the signature held
  bool signed_rightly = false;
  std::string verdict_now;  // by this program; "" when it was not analysed
  std::string jws;          // the compact statement
};

// Never throws for any bytes.
VerifyResult verify_evidence(std::string_view bytes, const std::vector<PublicKey>& known);

}  // namespace paneproof
