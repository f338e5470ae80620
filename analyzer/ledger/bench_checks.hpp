// The bench's other function checks: a list that the shop edits, one name a line, in bench-checks.txt in
// the data folder.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "analyzer/ledger/store.hpp"

namespace paneproof {

// The shop's list, or the usual one where there is no file. Throws InputError (65) for a bad name.
std::vector<std::string> bench_check_names();

// Every check of the list with its last state at this stage of the job ("not tried" where nothing was
// recorded), then recorded ones that the list no longer has.
std::vector<std::pair<std::string, std::string>> checks_at(const Ledger& ledger, const std::string& job,
                                                           const std::string& stage);

}  // namespace paneproof
