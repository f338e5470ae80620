// paneproof: parses the command line and runs one command.
#include <cstdio>
#include <iostream>

#include "analyzer/cli/command_line.hpp"
#include "analyzer/cli/commands.hpp"
#include "analyzer/cli/evidence_check.hpp"
#include "analyzer/cli/guarded.hpp"
#include "capture/model/input_error.hpp"

namespace {

// A full disk shows itself at the latest when the last bytes leave.
void finish_output() {
  std::cout.flush();
  if (std::cout && std::fflush(stdout) == 0 && !std::ferror(stdout)) return;
  throw paneproof::InputError("", "standard output", "expected to be able to write",
                              "check the disk or the pipe", paneproof::Exit::io_error);
}

int run(int argc, char** argv) {
  CLI::App app{"Proves or disproves a touch panel from the log of a drag sweep."};
  app.name("paneproof");
  app.set_version_flag("--version", "paneproof " PANEPROOF_VERSION);
  app.require_subcommand(1);
  app.footer(paneproof::verdict_exits);
  std::vector<std::pair<CLI::App*, std::function<int()>>> runs;
  for (const paneproof::Command& command : paneproof::commands()) {
    CLI::App* sub = app.add_subcommand(command.name, command.described);
    sub->footer(command.set_up == paneproof::set_up_check ? paneproof::verdict_exits : paneproof::done_exits);
    runs.emplace_back(sub, command.set_up(*sub));
  }
  try {
    app.parse(argc, argv);
  } catch (const CLI::Success& success) {  // --help, --version
    const int code = app.exit(success);
    finish_output();
    return code;
  } catch (const CLI::ParseError& error) {
    return paneproof::complain(paneproof::told(app, error), paneproof::Exit::usage);
  }
  for (auto& [sub, command] : runs) {
    if (!sub->parsed()) continue;
    const int code = command();
    finish_output();
    return code;
  }
  return static_cast<int>(paneproof::Exit::usage);
}

}  // namespace

int main(int argc, char** argv) {
  paneproof::program_arguments = argv;
  return paneproof::guarded([&] { return run(argc, argv); });
}
