// Is a file a recording (a video) and no log? By its first bytes, never by its name.
#pragma once

#include <string>
#include <string_view>

namespace paneproof {

// True for the containers that are read (mp4, mov, mkv, webm, gif) and for pictures, sounds and other
// videos, which the video program refuses by name. At least 64 bytes of the file, where it has them.
bool is_media(std::string_view head);

// The same of a file; false when it cannot be read (whoever opens it next says why), for "-" and for pipes.
bool is_media_file(const std::string& path);

}  // namespace paneproof
