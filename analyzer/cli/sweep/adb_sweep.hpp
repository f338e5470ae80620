// A sweep of an Android device over USB, through the stock adb.
#pragma once

#include "analyzer/cli/sweep/sweep_options.hpp"

namespace paneproof {

// Streams into the kept log until everything is settled, Ctrl-C, or the device is gone; gives the exit code.
int run_adb_sweep(const SweepOptions& options);

}  // namespace paneproof
