// From a file name to a sweep: opens the log, finds the axes that it lacks, reads and scales it.
#pragma once

#include <string>

#include "capture/model/panel.hpp"
#include "capture/model/trace.hpp"
#include "capture/watch/watch.hpp"

namespace paneproof {

struct LoadOptions {
  PanelRequest panel;
  std::string axes_file;  // --axes
  std::string device;     // --device
  WatchOptions watch;     // recordings only
  bool hash = false;      // SHA-256 of the file, for JSON and evidence
};

// In the units of the log.
Recording load_recording(const std::string& path, const LoadOptions& options, Notes& notes);
// In mm.
Trace load_sweep(const std::string& path, const LoadOptions& options, Notes& notes);

}  // namespace paneproof
