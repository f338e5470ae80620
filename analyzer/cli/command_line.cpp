#include "analyzer/cli/command_line.hpp"

#include "capture/model/input_error.hpp"

namespace paneproof {

const char* const verdict_exits =
    "Exit codes: 0 pass, 1 fail, 2 resweep; 64 usage, 65 bad data, 66 no input, 73/74 output.";
const char* const done_exits = "Exit codes: 0 done; 64 usage, 65 bad data, 66 no input, 73/74 output.";

std::string told(const CLI::App& app, const CLI::ParseError& error) {
  const CLI::App* command = &app;
  std::string help = app.get_name();
  while (!command->get_subcommands().empty()) {
    command = command->get_subcommands().front();
    help += ' ' + command->get_name();
  }
  std::string what = error.what();
  const bool commands_only = !command->get_subcommands({}).empty();
  const std::vector<std::string> left = command->remaining();
  if (commands_only)
    what = left.empty() || left.front().starts_with("-") ? "expected a command"
                                                         : "expected a command, not " + left.front();
  const std::string twice = ": At Most 1 required";
  if (const std::size_t at = what.find(twice); at != what.npos) what = what.substr(0, at) + ": expected once";
  return printable(what, 400) + "; see " + help + " --help";
}

}  // namespace paneproof
