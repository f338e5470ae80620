// Things that were held before: all that was learnt of them serves again.
#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "capture/video/follow.hpp"

namespace paneproof::video {
namespace {

constexpr double least_contrast = 8;  // levels

// Is it seen that the picture changed there?
bool changed(const Plane& earlier, const Plane& later, const Box& box) {
  constexpr double least = 1;  // level, mean
  double sum = 0, n = 0;
  for (int y = std::max(0, box.y); y < std::min(later.height, box.y + box.height); ++y)
    for (int x = std::max(0, box.x); x < std::min(later.width, box.x + box.width); ++x)
      sum += std::abs(later.row(y)[x] - earlier.row(y)[x]), ++n;
  return n > 0 && sum > least * n;
}

Box box_of(const Plate& plate, const Pose& at) {
  const double w = plate.width * at.scale, h = plate.height * at.scale;
  return {static_cast<int>(at.x - w / 2), static_cast<int>(at.y - h / 2), static_cast<int>(w),
          static_cast<int>(h)};
}

}  // namespace

Fit Follow::find_known(const Known& known, const Pose& at) const {
  const Pose about{at.x, at.y, known.held_scale, 0};
  Fit fit = known.model->search(kept_.back().plane, about,
                                std::max(known.model->width(), known.model->height()) / 2 + 4);
  if (fit.misfit > 1.6 * known.usual + 2.5 || fit.misfit > 0.4 * known.model->contrast() + 0.5)
    fit.good = false;
  // What shows of it must show its drawing, lest bare ground pass for it.
  if (fit.plain && known.model->contrast() > least_contrast) fit.good = false;
  return fit;
}

Track Follow::track_of(const Known& known, const Fit& fit, std::int64_t since_us) const {
  const Kept& now = kept_.back();
  Track track;
  track.model = std::make_unique<Model>(*known.model);
  track.known = true;
  track.row = is_row(known.plate, now.plane.width);
  track.usual = known.usual;
  track.rest_scale = known.scale;
  track.plate = known.plate;
  track.contacts = known.contacts;
  track.samples.push_back(sample_of(now.frame, now.t_us, fit));
  track.half_width = known.plate.width / 2, track.half_height = known.plate.height / 2;
  track.since_us = since_us;
  return track;
}

// Is what moved there one of them?
bool Follow::start_known(const Pose& at, const Kept& earlier) {
  for (const Known& known : known_) {
    const Fit fit = find_known(known, at);
    // What lies there as it did before is another, or it, but not held.
    if (!fit.good || !changed(earlier.plane, kept_.back().plane, box_of(known.plate, fit.pose))) continue;
    for (const Track& track : candidates_)
      if (track.known && far(track.samples.back().pose, fit.pose) < 10) return true;
    candidates_.push_back(track_of(known, fit, earlier.t_us));
    return true;
  }
  return false;
}

// What was taken up while it was hardly seen, as under a banner, may turn out to be a part of one of them, or
// what lies close about it.
void Follow::recognise() {
  constexpr std::int64_t every = 12;  // pictures
  const Sample& now = held_->samples.back();
  if (!held_->wide || held_->known || !now.known || now.frame % every) return;
  for (const Known& known : known_) {
    if (2 * held_->plate.width * held_->plate.height > known.plate.width * known.plate.height) continue;
    const Fit fit = find_known(known, now.pose);
    if (!fit.good || !very_look(fit) || std::abs(fit.pose.x - now.pose.x) > 0.75 * known.plate.width ||
        std::abs(fit.pose.y - now.pose.y) > 0.75 * known.plate.height)
      continue;
    held_ = track_of(known, fit, held_->since_us);
    return trace_back(*held_);
  }
}

// Its middle is better known now than when it was held before: what was written then is put right.
void Follow::put_right(const Track& track, const Plate& plate, double scale) {
  const auto of_it = [&](int contact) {
    return std::find(track.contacts.begin(), track.contacts.end(), contact) != track.contacts.end();
  };
  const double x = shrink_ * scale * plate.x, y = shrink_ * scale * plate.y;
  for (Row& row : path_.rows)
    if (of_it(row.contact)) row.x += x, row.y += y;
  for (Ended& end : path_.endings)
    if (of_it(end.contact)) end.x += x, end.y += y;
}

}  // namespace paneproof::video
