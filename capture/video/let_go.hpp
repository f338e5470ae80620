// Was it let go, when, and how? Read from the way and the size of a held thing up to a moment of rest.
//
// A thing that is let go glides straight to its slot, and shrinks or grows back to the size it had before
// it was lifted. A hand that comes to rest does neither. A drop is a let-go while the hand was moving, a
// release one after a quarter of a second at rest; between the two is doubt.
#pragma once

#include <cstddef>
#include <optional>

#include "capture/video/follow.hpp"
#include "capture/video/path.hpp"

namespace paneproof::video {

constexpr std::int64_t rest_us = 250'000;  // at rest this long before it is let go: meant

constexpr double least_raised = 0.022;  // of its size: by less no lift can be told
constexpr double surely_raised = 0.04;  // by this no icon that makes room is larger

struct Judged {
  std::size_t last = 0;  // last sample in which it was held
  LetGo::Kind kind = LetGo::Kind::release;
  double rest_scale = 0;  // its size where it came to rest; 0: not known
  bool lifted = false;    // and it was of another while held, and of that size before
};

// Nothing when it is still held as far as can be told. `width` of the picture in px. `surely`: it is known
// from elsewhere that it is not held any more.
std::optional<Judged> judge_let_go(const Track& track, double width, bool surely = false);

// Of a thing that lies in a slot now, where few pictures tell little: the last sample before it went straight
// there, ever more slowly. `rest`: since which sample it lies.
Judged let_go_into_slot(const Track& track, std::size_t rest, double width);

// At the end of a recording: the sample after which it went straight, in a third of a second at most, from
// where it had lain to where it lies at the end, both for a quarter of a second and more. That is a release,
// of a thing whose size tells nothing.
std::optional<std::size_t> released_before_end(const Track& track);

// Did it leap from one picture to the next to where it rests from sample `rest` on, much farther than it went
// in any picture before? A hand does not stop as soon as it sets off, but some home screens put what is let
// go into its slot at once. The sample before the leap.
std::optional<std::size_t> snapped(const Track& track, std::size_t rest);

// Is it seen to have been larger, or smaller, on its way than it lay before, by as much as no icon that makes
// room is?
bool surely_lifted(const Track& track);

// Is it seen to be as large as while it was held, and not as before its lift? Then it has not been let go.
bool still_lifted(const Track& track);

// Did what was followed just before this sample fit its learnt look so ill, for a look of this contrast
// (levels), that it may be another thing? Then how it was let go is in doubt.
bool fits_ill(const std::vector<Sample>& samples, std::size_t last, double contrast);

// What it was when a thing is gone after its last sample: drop, release or doubt.
LetGo::Kind kind_of_end(const std::vector<Sample>& samples, double width);

// Of dragged things: where another is held within 0.06 s of a let-go, no hand took it up, unless it lay there
// for longer; what was followed is another thing from there on, and how the first was let go is not known.
// Within 0.2 s it is in doubt, as it is of what was held for less than 0.6 s and not seen to be lifted: that
// may be an icon that made room.
void doubt_hasty_endings(Path& path);

}  // namespace paneproof::video
