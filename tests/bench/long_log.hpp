// Logs of a wanted size or duration, from one `getevent -lt` recording.
#pragma once

#include <cstdint>
#include <string>

namespace paneproof {

// Writes the recording over and over to `path`, its times moved on each time, until the file holds
// `bytes`. Whole recordings only. Returns the bytes written. Throws InputError when the file cannot be
// written.
std::uint64_t write_repeated(const std::string& recording, std::uint64_t bytes, const std::string& path);

// The recording's first `seconds`, cut after a whole frame.
std::string first_seconds(const std::string& recording, double seconds);

}  // namespace paneproof
