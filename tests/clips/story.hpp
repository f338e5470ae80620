// What happens in a made-up recording, frame by frame: a hand lifts an icon, drags it over the panel while
// pages turn, other icons move aside, a clock ticks and a banner drops in; now and then the icon is lost
// and glides to a slot. Seeded; truth comes with it.
#pragma once

#include <vector>

#include "tests/clips/scene.hpp"

namespace paneproof::clips {

struct StoryOptions {
  std::uint64_t seed = 1;
  int style = 0;  // 0 home screen, 1 cards on plain ground
  int width = 540, height = 1200;
  double rate_hz = 60;
  double seconds = 12;  // about
  int drops = 2;
  Cursor cursor = Cursor::none;  // an indicator instead of an icon
  int fingers = 1;               // with a cursor
  int losses = 0;                // of each touch, in motion, for 0.02 to 0.045 s: drops by truth
  bool drag = true;              // false: pages turn and things tick, but nothing is held
};

struct Held {
  int contact = 0;                            // counts grabs, from 1
  double x = 0, y = 0, side = 0, height = 0;  // px: centre and size of the plate as displayed
};

struct Event {
  enum class Kind { drop, release, end } kind = Kind::drop;
  double t_s = 0;  // last frame in which the thing was held
  double x = 0, y = 0;
  int contact = 0;
};

struct Moment {
  double t_s = 0;
  std::vector<Held> held;
  // What to draw:
  double scroll = 0;
  std::vector<Placed> icons;  // in order from below
  double banner = 0, clock_s = 0;
  int banner_above = 1;
  struct Touch {
    double x, y, opacity;
  };
  std::vector<Touch> touches;
};

struct Story {
  StoryOptions options;
  std::vector<Look> looks;
  Wallpaper wallpaper;
  double cursor_size = 60, banner_luma = 230;
  std::vector<Moment> moments;
  std::vector<Event> events;
};

Story tell_story(const StoryOptions& options);
void render(const Story& story, const Moment& moment, Canvas& canvas);

}  // namespace paneproof::clips
