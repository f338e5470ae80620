// The ledger for other programs.
#pragma once

#include <string>

#include "analyzer/ledger/store.hpp"

namespace paneproof {

// RFC 4180, one line an entry. A cell that a spreadsheet would take for a formula (= + - @, tab, return
// at its start) gets an apostrophe in front.
std::string ledger_csv(const Ledger& ledger);
// An array of {"entry", "leaf", "personal"}.
std::string ledger_json(const Ledger& ledger);

}  // namespace paneproof
