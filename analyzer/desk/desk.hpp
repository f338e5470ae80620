// What the commands of the desk share.
#pragma once

#include <CLI/CLI.hpp>
#include <optional>
#include <string>

#include "analyzer/ledger/store.hpp"

namespace paneproof {

// `named` or ledger.sqlite in the data folder.
std::string ledger_file(const std::string& named);
// The number typed as an entry. Throws InputError (64).
std::uint64_t entry_number(const std::string& typed);
inline constexpr std::size_t largest_evidence = std::size_t{1} << 30;

}  // namespace paneproof
