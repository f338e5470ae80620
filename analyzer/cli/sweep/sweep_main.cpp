// paneproof-sweep: what `paneproof sweep` becomes. Its own program, for what it loads.
#include <csignal>
#include <cstdio>
#include <filesystem>
#include <new>

#include "analyzer/cli/sweep/judging.hpp"
#include "analyzer/cli/sweep/page_sweep.hpp"
#include "analyzer/cli/sweep/wired_sweep.hpp"
#include "analyzer/desk/evidence_check.hpp"
#include "capture/model/input_error.hpp"

namespace {

int complain(const std::string& line, paneproof::Exit exit) {
  std::fflush(stdout);
  std::fprintf(stderr, "paneproof: %s\n", line.c_str());
  return static_cast<int>(exit);
}

int with_evidence(const paneproof::SweepOptions& options, const paneproof::SigningKey& key, int code) {
  if (std::error_code none; !std::filesystem::exists(options.keep, none)) {
    std::fprintf(stderr, "Nothing was swept: no evidence was made.\n");
    return code;
  }
  return paneproof::check_with_evidence(paneproof::Judging(options).question(), options.evidence, key, [&](const paneproof::CheckResult&) { return code; });
}

int run(int argc, char** argv) {
  CLI::App app{"Takes a live sweep of one panel and judges it."};
  app.name("paneproof sweep");
  app.footer("Exit codes: 0 pass, 1 fail, 2 resweep; 64 usage, 65 bad data, 66 no input, 73/74 output.");
  paneproof::SweepOptions options;
  paneproof::add_sweep_options(app, options);
  try {
    app.parse(argc, argv);
  } catch (const CLI::Success& success) {
    return app.exit(success);
  } catch (const CLI::ParseError& error) {
    return complain(paneproof::printable(error.what(), 400) + "; see paneproof sweep --help",
                    paneproof::Exit::usage);
  }
  paneproof::settle(options);
  std::optional<paneproof::SigningKey> key;  // before anybody sweeps
  if (!options.evidence.file.empty()) key = paneproof::evidence_key(options.evidence);
  const int code = options.wired() ? paneproof::run_wired_sweep(options) : paneproof::run_page_sweep(options);
  return key ? with_evidence(options, *key, code) : code;
}

}  // namespace

int main(int argc, char** argv) {
  std::signal(SIGPIPE, SIG_IGN);
  std::signal(SIGXFSZ, SIG_IGN);
  try {
    return run(argc, argv);
  } catch (const paneproof::InputError& error) {
    return complain(error.what(), error.exit);
  } catch (const std::bad_alloc&) {
    return complain("not enough memory for this sweep", paneproof::Exit::bad_data);
  } catch (const std::exception& error) {
    return complain(std::string("internal error: ") + paneproof::printable(error.what(), 400),
                    paneproof::Exit::software);
  }
}
