// A video file that is there whole or not at all, written through the ffmpeg libraries.
#pragma once

#include <cstdint>
#include <memory>
#include <string>

#include "capture/video/draw_on.hpp"

namespace paneproof::video {

class VideoFile {
 public:
  // mp4 in fragments, so that it never needs to be gone back in. Throws InputError 73.
  VideoFile(const std::string& path, int width, int height);
  ~VideoFile();
  VideoFile(const VideoFile&) = delete;
  VideoFile& operator=(const VideoFile&) = delete;
  void add(const Picture& picture, std::int64_t t_us);
  void commit();

  struct Inner;  // the libraries' side

 private:
  std::unique_ptr<Inner> inner_;
};

// One picture of luma as PNG. Throws InputError 73, 74.
void write_png(const std::string& path, const Plane& plane);

}  // namespace paneproof::video
