// Writing into the ledger: evidence (with its file), bench checks, keys, and forgetting.
#pragma once

#include <string>
#include <vector>

#include "analyzer/evidence/evidence.hpp"
#include "analyzer/ledger/store.hpp"

namespace paneproof {

struct Recorded {
  std::uint64_t number = 0;
  std::vector<std::uint64_t> seen_before;  // entries that hold one of its traces already
};

// Under one lock: takes the head, signs, writes the file beside its place, adds the entry, commits, and
// puts the file in its place. When it returns, both are there for good. Throws InputError; where the
// entry was recorded and only the last step failed, it says which entry to make the file from again.
Recorded record_evidence(Ledger& ledger, Evidence& evidence, const SigningKey& key,
                         const std::string& pdf_file);

struct BenchNote {
  std::string job, stage, name, state, by;
};
// One entry a note, all or none; gives the first's number.
std::uint64_t record_notes(Ledger& ledger, const std::vector<BenchNote>& notes);

// A key that takes over from another. In a transaction of its own.
std::uint64_t record_key(Ledger& ledger, const PublicKey& key, const std::string& replaces);

// Removes the personal words (and the statement that repeats them) of evidence and notes stated before
// `day` (YYYY-MM-DD), and adds an entry that says so. Gives how many entries were concerned.
std::size_t forget_before(Ledger& ledger, const std::string& day);

// A lost evidence file, made again from the ledger. Throws InputError (65) where it cannot be.
std::string reissued(const Ledger& ledger, std::uint64_t number);

}  // namespace paneproof
