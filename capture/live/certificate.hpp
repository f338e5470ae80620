// The bench's own certificate for --tls: self-signed (ECDSA P-256), made on first use and kept, so that a
// device that was told once to trust it need not be told again.
#pragma once

#include <string>
#include <vector>

namespace paneproof {

struct Certificate {
  std::string key_pem, certificate_pem;
  std::string fingerprint;  // SHA-256 as browsers show it: "AB:CD:..."
  bool fresh = false;       // made just now
};

// Kept as sweep-key.pem (mode 0600) and sweep-certificate.pem in `folder`, which exists. The certificate is
// made anew, for the same key, when it does not name all `addresses` (IPv4) or ends within a day. Throws
// InputError (65, 73, 74).
Certificate bench_certificate(const std::string& folder, const std::vector<std::string>& addresses);

}  // namespace paneproof
