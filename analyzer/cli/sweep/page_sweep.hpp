// A sweep by the device's own page.
#pragma once

#include "analyzer/cli/sweep/sweep_options.hpp"

namespace paneproof {

// Serves, waits, judges; gives the exit code.
int run_page_sweep(const SweepOptions& options);

}  // namespace paneproof
