// Android `getevent -lt` and `getevent -t`, with or without the device column and the -p/-lp list.
//
// Logs of hundreds of megabytes come in this format, so the two layouts that getevent prints are read by
// column, eight bytes at a time; every other line goes through parse_getevent_line, with the same result.
#pragma once

#include "capture/log/reader.hpp"

namespace paneproof {

const Format& getevent_format();

}  // namespace paneproof
