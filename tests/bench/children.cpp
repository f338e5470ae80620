#include "tests/bench/children.hpp"

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>

namespace paneproof {
namespace {

double cpu_s(const rusage& usage) {
  const auto seconds = [](const timeval& t) {
    return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_usec) * 1e-6;
  };
  return seconds(usage.ru_utime) + seconds(usage.ru_stime);
}

}  // namespace

Cost run_shell(const std::string& command) {
  const std::string quiet = "exec >/dev/null 2>&1; " + command;
  const pid_t child = fork();
  if (child == 0) {
    execl("/bin/sh", "sh", "-c", quiet.c_str(), static_cast<char*>(nullptr));
    _exit(127);
  }
  int status = 0;
  rusage usage{};
  if (child < 0 || wait4(child, &status, 0, &usage) != child) std::abort();
  return {cpu_s(usage), static_cast<double>(usage.ru_maxrss) * 1024e-6,
          WIFEXITED(status) ? WEXITSTATUS(status) : -1};
}

double own_cpu_s() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return cpu_s(usage);
}

}  // namespace paneproof
