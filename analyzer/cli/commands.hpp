// The table of commands. A command sets up its options on its own CLI11 app; after parsing, and only
// then, its run function may touch files. It returns an exit code and throws InputError for bad input.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <memory>
#include <vector>

namespace paneproof {

struct Command {
  const char* name;
  const char* described;
  // Adds the options and gives what runs after parsing.
  std::function<int()> (*set_up)(CLI::App& app);
};

const std::vector<Command>& commands();

std::function<int()> set_up_check(CLI::App& app);
std::function<int()> set_up_convert(CLI::App& app);
std::function<int()> set_up_job(CLI::App& app);
std::function<int()> set_up_key(CLI::App& app);
std::function<int()> set_up_ledger(CLI::App& app);
std::function<int()> set_up_plan(CLI::App& app);
std::function<int()> set_up_rehearse(CLI::App& app);
std::function<int()> set_up_sweep(CLI::App& app);
std::function<int()> set_up_verify(CLI::App& app);

}  // namespace paneproof
