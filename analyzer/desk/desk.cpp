#include "analyzer/desk/desk.hpp"

#include <charconv>

#include "analyzer/cli/evidence_check.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {

void go_where_evidence_is_made() {}  // here

std::string ledger_file(const std::string& named) {
  return named.empty() ? data_folder() + "/ledger.sqlite" : named;
}

std::uint64_t entry_number(const std::string& typed) {
  std::uint64_t number = 0;
  const auto [end, error] = std::from_chars(typed.data(), typed.data() + typed.size(), number);
  if (error != std::errc() || end != typed.data() + typed.size() || number > (std::uint64_t{1} << 52))
    throw InputError("", printable(typed), "expected the number of an entry",
                     "paneproof ledger head shows how many there are", Exit::usage);
  return number;
}

}  // namespace paneproof
