// The lines of a log with the time that each bears, without reading what else they say.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace paneproof {

struct LogLine {
  std::string_view text;   // with its line end; a record of a raw log
  std::int64_t t_us = 0;   // by the log's own clock
  bool event = false;      // false: a heading, which always stays
  std::size_t device = 0;  // number of the device it belongs to, in order of appearance
};

// Lines of an unpacked log of this format (a reader's name). A line without a time of its own bears that
// of the event it belongs to. Empty where the format has no lines that can be cut (inkml).
std::vector<LogLine> log_lines(std::string_view log, const std::string& format);

}  // namespace paneproof
