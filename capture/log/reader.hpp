// What every log reader offers: it recognises its format from the first bytes, and reads a log as a
// stream into a Recording. One file a format; `formats.cpp` holds the table.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "capture/bytes/source.hpp"
#include "capture/model/notes.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

struct ReadOptions {
  std::string device;        // --device: a name or an event node; "" lets the log decide
  std::optional<Axes> axes;  // used where the log has none; read_log fills it from axes_file
  std::string axes_file;     // --axes or a companion; "" when there is none
  bool axes_beside = false;  // axes_file was found beside the log: noted when used, no error when unfit
};

struct Format {
  const char* name;       // one word: "getevent"
  const char* described;  // for help and errors: "Android getevent -lt or -t text"
  // Could a log that starts with `head` (unpacked, UTF-8, up to 64 KiB) be of this format?
  bool (*recognises)(std::string_view head);
  // Reads the whole log. Throws InputError; survivable damage goes to notes. Memory besides the
  // reports does not grow with the log.
  Recording (*read)(Source& source, const ReadOptions& options, Notes& notes);
};

}  // namespace paneproof
