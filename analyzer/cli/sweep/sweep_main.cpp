// paneproof-sweep: what `paneproof sweep` becomes. Its own program, for what it loads.
#include <cstdio>
#include <filesystem>

#include "analyzer/cli/command_line.hpp"
#include "analyzer/cli/guarded.hpp"
#include "analyzer/cli/sweep/judging.hpp"
#include "analyzer/cli/sweep/page_sweep.hpp"
#include "analyzer/cli/sweep/wired_sweep.hpp"
#include "analyzer/desk/desk.hpp"
#include "analyzer/desk/evidence_check.hpp"
#include "analyzer/ledger/store.hpp"
#include "capture/bytes/atomic_file.hpp"
#include "capture/model/input_error.hpp"

namespace {

int with_evidence(const paneproof::SweepOptions& options, const paneproof::SigningKey& key, int code) {
  if (std::error_code none; !std::filesystem::exists(options.keep, none)) {
    std::fprintf(stderr, "Nothing was swept: no evidence was made.\n");
    return code;
  }
  return paneproof::check_with_evidence(paneproof::Judging(options).question(), options.evidence, key,
                                        [&](const paneproof::CheckResult&) { return code; });
}

int run(int argc, char** argv) {
  CLI::App app{"take a live sweep of one panel and judge it"};
  app.name("paneproof sweep");
  app.footer(paneproof::verdict_exits);
  paneproof::SweepOptions options;
  paneproof::add_sweep_options(app, options);
  try {
    app.parse(argc, argv);
  } catch (const CLI::Success& success) {
    return app.exit(success);
  } catch (const CLI::ParseError& error) {
    return paneproof::complain(paneproof::told(app, error), paneproof::Exit::usage);
  }
  paneproof::settle(options);
  std::optional<paneproof::SigningKey> key;
  if (!options.evidence.file.empty()) {  // before anybody sweeps: the key, and places that can be written
    key = paneproof::evidence_key(options.evidence);
    const paneproof::AtomicFile file(options.evidence.file);
    const paneproof::Ledger ledger(paneproof::ledger_file(options.evidence.ledger),
                                   paneproof::Ledger::Mode::write);
  }
  const int code = options.wired() ? paneproof::run_wired_sweep(options) : paneproof::run_page_sweep(options);
  return key ? with_evidence(options, *key, code) : code;
}

}  // namespace

int main(int argc, char** argv) {
  return paneproof::guarded([&] { return run(argc, argv); });
}
