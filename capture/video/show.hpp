// Pictures of what was followed, for people: the recording with the path drawn into it, and a strip of frames
// about each drop. Made in a second pass over the file.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "capture/video/path.hpp"
#include "capture/video/rectify.hpp"

namespace paneproof::video {

struct ShowOptions {
  std::string strips;                   // folder, made when it is not there; "" for none
  std::string annotate;                 // .mp4; "" for none
  std::optional<Corners> corners = {};  // of a filmed panel: made upright, as it was followed
};

// Throws InputError 73 or 74 when something cannot be made or written; a video that is not whole is never
// left. The strips are called drop-N.png, N from 1: frame by frame from three before the last one in which it
// was held (framed) to five after it.
void show(const std::string& recording, const Path& path, const ShowOptions& options,
          const std::function<void(double)>& progress);

}  // namespace paneproof::video
