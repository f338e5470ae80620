// The result as JSON, by docs/result.schema.json. Keys are only ever added.
#pragma once

#include <string>

#include "analyzer/report/check_result.hpp"

namespace paneproof {

// UTF-8 text that ends in a line break. Numbers are rounded to the decimals that the table in json.cpp and
// the schema name; the same result gives the same bytes on every machine. Text that is not UTF-8 (a
// device name in an old encoding) has U+FFFD in place of what cannot be read; a number that is not
// finite is null.
std::string json_text(const CheckResult& result);

}  // namespace paneproof
