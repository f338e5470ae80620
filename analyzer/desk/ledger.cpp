#include "analyzer/cli/commands.hpp"
namespace paneproof {
std::function<int()> set_up_ledger(CLI::App&) { return [] { return 70; }; }
std::function<int()> set_up_job(CLI::App&) { return [] { return 70; }; }
}  // namespace paneproof
