// Evidence in the making: from a result and its parts to a PDF with an empty slot, and, when the ledger's
// head is known, to the signed file.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analyzer/evidence/key.hpp"
#include "analyzer/evidence/pdf_file.hpp"
#include "analyzer/evidence/statement.hpp"

namespace paneproof {

// What the bench says of a sweep.
struct BenchWords {
  std::string job, stage, device_id, part_lot, by, paper = "a4", origin = "handed in";
  std::vector<std::pair<std::string, std::string>> bench_checks;
};

struct Evidence {
  Statement statement;      // all but the ledger's head
  std::vector<Part> parts;  // traces, result.json, limits.txt
  PdfFile pdf;
};

// Draws and puts together, before any lock is held. `cuts` holds the traces.
Evidence make_evidence(const Answer& answer, const Question& question, const std::vector<Part>& traces,
                       const std::vector<CutFacts>& cuts, const BenchWords& words, const PublicKey& key);

// The same from a statement that is there: what verify compares with, and what a lost file is made of.
PdfFile pdf_of(const CheckResult& result, const Statement& statement, const std::vector<Part>& parts,
               std::size_t slot_size);

// Signs with the ledger's head before the entry. Gives the compact JWS; the file's bytes are pdf.bytes
// with it at the slot.
std::string sign_evidence(Evidence& evidence, const TreeHead& before, const SigningKey& key);
std::string signed_bytes(const PdfFile& pdf, const std::string& jws);

// The names that the parts of so many traces have: trace-1.txt, ..., result.json, limits.txt.
std::string trace_name(std::size_t index, std::string_view bytes);

}  // namespace paneproof
