// What is signed: who says what of which panel, on which bytes it rests, and what the ledger was before.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <utility>
#include <vector>

#include "analyzer/evidence/judged.hpp"

namespace paneproof {

struct TreeHead {
  std::string ledger;  // its random id, 32 hex digits
  std::uint64_t size = 0;
  std::string root;  // 64 hex digits
};

// How a log was cut to its sweep.
struct CutFacts {
  std::string part;       // "trace-1.txt"
  std::string chosen_by;  // "nobody" (nothing left out), "program", "operator" (--from, --to)
  std::int64_t lines_before = 0, lines_after = 0;  // left out; records where the log has no lines
};

struct PartFacts {
  std::string name, sha256;
  std::int64_t size = 0;
};

struct Statement {
  std::string job, stage, verdict, version;
  std::string stated_time;              // RFC 3339 with zone: what the bench's clock said, not a trusted time
  std::string device_id, part_lot, by;  // "" when not given
  std::string paper = "a4";             // or "letter"
  std::string origin = "handed in";     // or "live", "recording"
  std::vector<std::pair<std::string, std::string>> bench_checks;  // name; "works", "does not", "not tried"
  Question question;
  std::vector<CutFacts> cuts;
  std::vector<PartFacts> parts;         // all but the statement itself, in the file's order
  std::string pdf_sha256;               // of the whole file with the slot filled with spaces
  TreeHead before;                      // the ledger's, before this entry
  std::string nonce;                    // 32 random bytes, base64url
  std::string judge;                    // judge_digest() of the program that made it
  std::vector<std::string> drawn_with;  // libraries and fonts of the page
  nlohmann::json key;                   // public, as JWK
};

nlohmann::json statement_json(const Statement& statement);
// Takes exactly what statement_json writes. Throws InputError (65) naming `file` else.
Statement statement_of(const nlohmann::json& json, const std::string& file);

// A name as the bench types it: UTF-8, 1 to `longest` bytes, no control or bidirectional characters, no
// blank at its ends. Throws InputError (64) naming the option.
void check_name(const std::string& option, const std::string& text, std::size_t longest = 120);

// Now, in RFC 3339 with the zone's offset.
std::string time_now();

}  // namespace paneproof
