// Programs run as children, with what they cost: CPU time and peak memory as the kernel counts them
// (wait4, getrusage(2)), so that other load on the machine does not count.
#pragma once

#include <string>

namespace paneproof {

struct Cost {
  double cpu_s = 0;    // user and system, all threads and grandchildren that were waited for
  double peak_mb = 0;  // largest resident set of one process, 10^6 bytes
  int exit = 0;        // -1: ended by a signal
};

// Runs a shell command; its output goes nowhere.
Cost run_shell(const std::string& command);

// CPU time of this process so far.
double own_cpu_s();

}  // namespace paneproof
