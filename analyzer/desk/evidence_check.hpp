// From logs or a recording to the signed file and its entry.
#pragma once

#include "analyzer/cli/evidence_check.hpp"
#include "analyzer/evidence/key.hpp"

namespace paneproof {

// Before anything is swept: the names, and the key (its passphrase is asked for here). Throws InputError
// (64, 65, 66).
SigningKey evidence_key(const EvidenceOptions& options);

// As the one of cli/evidence_check.hpp, with a key that is at hand.
int check_with_evidence(const EvidenceCheck& check, const EvidenceOptions& options, const SigningKey& key,
                        const std::function<int(const CheckResult&)>& report);

}  // namespace paneproof
