#include "analyzer/cli/load.hpp"

#include "capture/log/formats.hpp"

namespace paneproof {

Recording load_recording(const std::string& path, const LoadOptions& options, Notes& notes) {
  ReadOptions read;
  read.device = options.device;
  const std::string companion = options.axes_file.empty() && path != "-" ? axes_beside(path) : options.axes_file;
  const auto source = open_source(path, {.hash = options.hash});
  if (!companion.empty()) {
    read.axes_file = companion;
    if (options.axes_file.empty()) read.axes_beside = true;
  }
  Recording recording = read_log(*source, read, notes);
  recording.source.file = path;
  if (options.hash) recording.source.sha256 = sha256_of(*source);
  return recording;
}

Trace load_sweep(const std::string& path, const LoadOptions& options, Notes& notes) {
  return scale(load_recording(path, options, notes), options.panel, notes);
}

}  // namespace paneproof
