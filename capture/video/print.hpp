// What the video program prints, a line each, fields parted by tabs:
//   size W H CODEC                      px as displayed
//   progress SHARE
//   frames N LAST_US SPAN HELD FOLLOWED W H  SPAN: frames from the first grab to the last release; HELD: of
//                                       these, while something is held; W, H: px of the largest thing held
//   row T_US CONTACT X Y SD             contact by contact; px
//   end KIND T_US CONTACT X Y           KIND: drop, release, doubt, lost, end
//   note ID TEXT
//   error PLACE EXPECTED REMEDY EXIT    and nothing after it
//   done
// capture/watch/watch.cpp reads it.
#pragma once

#include "capture/model/input_error.hpp"
#include "capture/video/frames.hpp"
#include "capture/video/path.hpp"

namespace paneproof::video {

void print_size(const StreamFacts& facts);
void print_progress(double share);
void print_path(const Path& path);
void print_note(const char* id, const std::string& text);
void print_error(const InputError& error);

}  // namespace paneproof::video
