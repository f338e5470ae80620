// What the page says, apart from how it is set.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "analyzer/evidence/statement.hpp"
#include "analyzer/report/check_result.hpp"

namespace paneproof {

struct SheetBlock {
  std::string heading;
  std::vector<std::pair<std::string, std::string>> facts;  // label, value
  std::vector<std::string> lines;                          // each a paragraph with a mark
};

// Job, stage, device, who, when.
std::vector<std::pair<std::string, std::string>> job_facts(const CheckResult& result,
                                                           const Statement& statement);
// Everything after the picture, in order. Blocks without content are left out.
std::vector<SheetBlock> sheet_blocks(const CheckResult& result, const Statement& statement);
// The picture in words, for those who do not see it.
std::string picture_words(const CheckResult& result);

}  // namespace paneproof
