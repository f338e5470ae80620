#include "analyzer/cli/load.hpp"

#include "capture/log/formats.hpp"
#include "capture/model/input_error.hpp"
#include "capture/model/panel_shape.hpp"
#include "capture/watch/media.hpp"

namespace paneproof {

namespace {

Recording load_video(const std::string& path, const LoadOptions& options, Notes& notes) {
  if (!options.panel.width_mm && !options.panel.diagonal_mm)
    throw InputError(path, "", "expected the size of the panel, which a recording does not tell",
                     "give --panel WIDTHxHEIGHT in mm, or --diagonal");
  Recording recording = watch(path, options.watch, notes);
  recording.source.file = path;
  if (options.hash) recording.source.sha256 = sha256_of(*open_source(path, {.hash = true}));
  return recording;
}

}  // namespace

Recording load_recording(const std::string& path, const LoadOptions& options, Notes& notes) {
  if (is_media_file(path)) return load_video(path, options, notes);
  ReadOptions read;
  read.device = options.device;
  const std::string companion =
      options.axes_file.empty() && path != "-" ? axes_beside(path) : options.axes_file;
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
  Recording recording = load_recording(path, options, notes);
  note_doubtful_size(recording.axes, options.panel, notes);
  return scale(std::move(recording), options.panel, notes);
}

}  // namespace paneproof
