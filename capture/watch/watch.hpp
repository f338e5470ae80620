// Has a recording followed by the video program, which stands beside paneproof as a program of its own, and
// takes the path it prints. Nothing of a decoder is loaded here; what a hostile file does ends there.
//
// The program is given two minutes from one sign of life to the next, and is ended when paneproof ends.
#pragma once

#include <functional>
#include <string>

#include "capture/model/notes.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

struct WatchOptions {
  std::string follow;    // --follow X,Y@T in px of the picture as displayed and s; "" when it is to be found
  std::string strips;    // folder for pictures around each drop; "" for none
  std::string annotate;  // video with the path drawn; "" for none
  std::string corners;   // a filmed device: its panel's corners, X,Y four times, px as displayed; "" for none
  std::function<void(double)> progress;  // share done, 0..1; may be empty
};

// Positions in px of the picture as displayed, axes from 0 to its size; a report for every frame in which the
// held thing is known, resting or not. Throws InputError (65, 66, 70, 73, 74) with what the program says.
Recording watch(const std::string& path, const WatchOptions& options, Notes& notes);

}  // namespace paneproof
