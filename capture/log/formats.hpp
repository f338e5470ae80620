// The table of log formats, in order of trial, and the one way to read a log.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "capture/log/reader.hpp"

namespace paneproof {

// In order of trial: the most telling first bytes first.
const std::vector<Format>& formats();

// Finds the format by content and reads, with the axes of options.axes_file where the log has none.
// Throws InputError (65) for a log of no known format, an empty one, or one without any touch.
Recording read_log(Source& source, const ReadOptions& options, Notes& notes);

// Axes from a companion: an evemu description, a `getevent -p`/-lp list or an evtest header. Of several
// devices the one named, else the one screen or pen that covers the EV_ABS codes in `log_head` (the first
// bytes of the log, "" when not known). Throws InputError (65) when there is none or more than one fits.
Axes read_axes(Source& source, const std::string& device, std::string_view log_head = {});

// A companion beside the log: STEM.desc, STEM.axes, STEM_devices.txt or STEM_p.txt, where the log is
// STEM.anything (and .gz or .zst); "" if there is none.
std::string axes_beside(const std::string& log_path);

}  // namespace paneproof
