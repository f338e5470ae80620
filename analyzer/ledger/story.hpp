// The story of a job: what each stage's sweep showed, and which faults appeared, stayed, went or came back
// between one stage and the next.
#pragma once

#include <string>
#include <vector>

#include "analyzer/evidence/judged.hpp"
#include "analyzer/ledger/store.hpp"

namespace paneproof {

struct StageResult {
  std::string stage, verdict, stated_time;
  std::uint64_t number = 0;
  Question question;
  Answer answer;
  std::vector<std::pair<std::string, std::string>> checks;
};

// The evidence of a job, analysed again from the ledger, in the order of the ledger. Forgotten statements
// are left out (their options are gone with them).
std::vector<StageResult> stages_of(const Ledger& ledger, const std::string& job);

// Of panels of one size, cell by cell: places of others are no places of one panel.
bool comparable(const StageResult& a, const StageResult& b);

// What changed from one sweep to the next, one sentence each.
std::vector<std::string> changes(const std::vector<StageResult>& stages, std::size_t at);

}  // namespace paneproof
