// The one place that turns an InputError, or any other exception, into a line and an exit code.
#pragma once

#include <functional>
#include <string>

#include "capture/model/input_error.hpp"

namespace paneproof {

// "paneproof: LINE" on standard error; gives the code.
int complain(const std::string& line, Exit exit);

// Runs it with closed pipes and full disks as errors to report, not signals to die of.
int guarded(const std::function<int()>& run);

}  // namespace paneproof
