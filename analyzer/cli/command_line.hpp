// What a command line that cannot be parsed is told, and which exit codes a command's help names.
#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace paneproof {

// Of commands that judge; and of those that only do something.
extern const char* const verdict_exits;
extern const char* const done_exits;

// One line: what was wrong, and whose --help tells more.
std::string told(const CLI::App& app, const CLI::ParseError& error);

}  // namespace paneproof
