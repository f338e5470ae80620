// A sweep of a touchscreen that reports by wire: an Android device through the stock adb, or one of this
// machine.
#pragma once

#include "analyzer/cli/sweep/sweep_options.hpp"

namespace paneproof {

// Streams into the kept log until everything is settled, Ctrl-C, or the device is gone for good; gives the
// exit code. A size that the device told fills options.panel.
int run_wired_sweep(SweepOptions& options);

}  // namespace paneproof
