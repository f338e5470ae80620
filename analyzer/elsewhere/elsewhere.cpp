// In `paneproof`: the commands of the desk are run by paneproof-evidence (cli/evidence_check.hpp).
#include <unistd.h>

#include <cstring>
#include <filesystem>

#include "analyzer/cli/commands.hpp"
#include "analyzer/cli/evidence_check.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

// Takes whatever follows, --help too: the other program reads it.
std::function<int()> set_up_elsewhere(CLI::App& app) {
  app.set_help_flag();
  app.prefix_command();
  return []() -> int {
    go_where_evidence_is_made();
    return 0;
  };
}

}  // namespace

void go_where_evidence_is_made() {
  std::error_code unknown;
  const std::filesystem::path folder = std::filesystem::read_symlink("/proc/self/exe", unknown).parent_path();
  for (const char* place : {"paneproof-evidence", "../libexec/paneproof/paneproof-evidence"})
    if (const std::string program = folder / place; ::access(program.c_str(), X_OK) == 0)
      ::execv(program.c_str(), program_arguments);
  throw InputError("paneproof-evidence", "",
                   "expected this program beside paneproof: it makes and checks evidence",
                   "install or build all of paneproof", Exit::software);
}

int check_with_evidence(const EvidenceCheck&, const EvidenceOptions&,
                        const std::function<int(const CheckResult&)>&) {
  go_where_evidence_is_made();
  return static_cast<int>(Exit::software);
}

std::function<int()> set_up_key(CLI::App& app) { return set_up_elsewhere(app); }
std::function<int()> set_up_verify(CLI::App& app) { return set_up_elsewhere(app); }
std::function<int()> set_up_ledger(CLI::App& app) { return set_up_elsewhere(app); }
std::function<int()> set_up_job(CLI::App& app) { return set_up_elsewhere(app); }

}  // namespace paneproof
