// paneproof sweep: hands over to the program paneproof-sweep, which lies beside this one. What serves a live
// page is heavy to load, and no other command shall pay for it.
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>

#include "analyzer/cli/commands.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

int become(const std::vector<std::string>& arguments) {
  std::error_code error;
  const auto own = std::filesystem::read_symlink("/proc/self/exe", error);
  const std::string program = (own.parent_path() / "paneproof-sweep").string();
  std::vector<char*> argv = {const_cast<char*>("paneproof sweep")};
  for (const std::string& argument : arguments) argv.push_back(const_cast<char*>(argument.c_str()));
  argv.push_back(nullptr);
  ::execv(program.c_str(), argv.data());
  throw InputError(program, "", std::string("cannot be started: ") + std::strerror(errno),
                   "build or install it beside paneproof", Exit::no_input);
}

}  // namespace

std::function<int()> set_up_sweep(CLI::App& app) {
  app.prefix_command();
  app.set_help_flag();
  return [&app] { return become(app.remaining()); };
}

}  // namespace paneproof
