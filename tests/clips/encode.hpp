// Writes luma pictures as a video file through the ffmpeg libraries, with times of our choosing.
#pragma once

#include <cstdint>
#include <string>

#include "tests/clips/scene.hpp"

namespace paneproof::clips {

struct EncodeOptions {
  std::string codec = "libx264";  // any encoder of libavcodec; the file's ending names the container
  int quality = 23;               // crf, or quantiser
  bool full_range = false, ten_bit = false;
  int rotate_deg = 0;  // display matrix: the frame is stored turned, a viewer turns it back
};

class ClipWriter {
 public:
  ClipWriter(const std::string& path, int width, int height, const EncodeOptions& options);
  ~ClipWriter();
  ClipWriter(const ClipWriter&) = delete;
  ClipWriter& operator=(const ClipWriter&) = delete;
  void add(const Canvas& canvas, std::int64_t t_us);
  void finish();

 private:
  struct Inner;
  Inner* inner_;
};

}  // namespace paneproof::clips
