// The page to read: a pure function of the result and the statement, drawn by Cairo and Pango with a
// structure for screen readers, bookmarks, and every word as text.
#pragma once

#include <string>
#include <vector>

#include "analyzer/evidence/statement.hpp"
#include "analyzer/report/check_result.hpp"

namespace paneproof {

struct Sheet {
  std::string pdf;  // as Cairo writes it
  std::string title, subject;
  std::vector<std::string> figure_words;  // alternative text of its figures
  std::vector<std::string> drawn_with;    // libraries and fonts, with versions
};

// Nothing of the ledger's head, the digests of the whole file or `drawn_with` is on the page: they are
// known only when it is drawn.
Sheet draw_sheet(const CheckResult& result, const Statement& statement);

}  // namespace paneproof
