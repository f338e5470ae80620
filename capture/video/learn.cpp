// What a follower learns of the look of a thing that it took up: first over a wide box, then about its plate.
#include <algorithm>
#include <cmath>

#include "capture/video/follow.hpp"
#include "capture/video/median.hpp"

namespace paneproof::video {
namespace {

// How ill it fits when all is well, by the samples that were fitted anew.
double usual_misfit(const std::vector<Sample>& samples, double otherwise) {
  std::vector<double> misfits;
  for (const Sample& sample : samples)
    if (sample.known && sample.visible > 0.6) misfits.push_back(sample.misfit);
  return misfits.empty() ? otherwise : median(misfits);
}

}  // namespace

// Learns anew from the pictures kept, over a box that holds the whole of it whatever part was seen first.
// Twice: what was off the first time is put right by what was learnt, and pictures that fit ill are left out.
void Follow::learn_wide(Track& track) {
  Model& model = *track.model;
  const Plane& now = kept_.back().plane;
  const Box core = model.core();
  if (track.row) {  // the whole of it was seen
    const int width = now.width * 11 / 10, height = core.height * 11 / 5;
    model.reframe(core.x + core.width / 2 - width / 2, core.y + core.height / 2 - height / 2, width, height);
  } else {
    const int side = static_cast<int>(0.9 * now.width);
    const auto [x, y] = model.middle();
    model.reframe(static_cast<int>(x) - side / 2, static_cast<int>(y) - side / 2, side, side);
  }
  model.let_size_change(true);
  model.keep_size_firm();
  track.wide = true;
  learn_what_fits(track);
  for (int turn = 0; turn < 2; ++turn) {
    for (Sample& sample : track.samples)
      if (const Kept* kept = kept_at(sample.frame); kept && sample.known) {
        Fit fit = model.refine(kept->plane, sample.pose);
        if (!fit.good && sample.misfit > 0) continue;
        sample = sample_of(sample.frame, sample.t_us, fit);
      }
    if (turn == 0) learn_what_fits(track);
  }
  // In a film a finger covers a part, another in every picture.
  if (!options_.filmed) track.usual = usual_misfit(track.samples, track.usual);
  track.narrow_at = 5;
  narrow(track);
  if (!track.wide) return;
  // Not sure yet, but better than where it was first seen.
  const Plate plate = track.plate;
  if (plausible(plate, kept_.back().plane.width)) recentre(track, plate);
}

// Forgets, and learns from the samples that fit about as well as most do.
void Follow::learn_what_fits(Track& track) {
  std::vector<double> misfits;
  for (const Sample& sample : track.samples)
    if (sample.known) misfits.push_back(sample.misfit);
  if (misfits.empty()) return;
  const double most = 1.5 * median(misfits) + 1;
  std::vector<Model::Seen> fitting;
  for (const Sample& sample : track.samples)
    if (const Kept* kept = kept_at(sample.frame);
        kept && sample.known && sample.visible > 0.6 && sample.misfit <= most)
      fitting.push_back({&kept->plane, sample.pose});
  track.model->learn_anew(fitting);
}

// Once its plate is known, only what is about the plate is kept, and poses tell where its middle is.
void Follow::narrow(Track& track) {
  Model& model = *track.model;
  if (!track.wide || model.learnt() < track.narrow_at) return;
  constexpr double proves = 8;  // px: what has gone less far about may have taken its surroundings along
  const bool gone = (track.row ? model.went() : model.tried()) >= proves;
  if (!gone && track.plate.width > 0) {  // it would not do yet: not looked for
    track.narrow_at = model.learnt() + 2;
    return;
  }
  track.narrow_at = model.learnt() + std::max(4, model.learnt() / 3);
  const Plate plate = find_plate(model, model.learnt() >= 14);
  const bool agrees =
      std::abs(plate.x - track.plate.x) + std::abs(plate.y - track.plate.y) < 2.5 &&
      std::abs(plate.width - track.plate.width) + std::abs(plate.height - track.plate.height) < 4;
  track.plate = plate;
  if (track.row && gone && is_row(plate, kept_.back().plane.width) && plate.sure > 0.9) {
    narrow_to(track, plate);  // its long sides are seen at once
    return relearn(track);
  }
  if (!gone || !plausible(plate, kept_.back().plane.width) || model.learnt() < 14 || !agrees ||
      plate.sure < 0.6 || (plate.proved < 0.7 && model.learnt() < 50))
    return;
  narrow_to(track, plate);
  relearn(track);
  // Of what lay about it nothing misleads any more: where it was lost on the way back it may be seen now.
  if (!track.lost_back) return;
  trace_back(track);
  if (stands_out(track)) keep_lying(track);
}

void Follow::narrow_to(Track& track, const Plate& plate) {
  Model& model = *track.model;
  const double shorter = std::min(plate.width, plate.height),
               longer = std::min(2.5 * shorter, std::max(plate.width, plate.height));
  const int margin = 6 + static_cast<int>(0.4 * longer);
  const int w = static_cast<int>(std::lround(plate.width)) + 2 * margin,
            h = static_cast<int>(std::lround(plate.height)) + 2 * margin;
  const int x = static_cast<int>(std::lround(model.origin_x() + plate.x - w / 2.0)),
            y = static_cast<int>(std::lround(model.origin_y() + plate.y - h / 2.0));
  model.reframe(x, y, w, h);
  recentre(track, plate);
  model.trust({margin, margin, w - 2 * margin, h - 2 * margin}, std::max(0.02, plate.corner));
  if (track.row) model.keep_size_firm();
  track.wide = false;
}

// Learns anew from the pictures kept, with what is known by now.
void Follow::relearn(Track& track) {
  for (Sample& sample : track.samples)
    if (const Kept* kept = kept_at(sample.frame); kept && sample.known) {
      const Fit fit = track.model->refine(kept->plane, sample.pose);
      if (fit.good) sample = sample_of(sample.frame, sample.t_us, fit);
    }
  learn_what_fits(track);
  look_again(track);
}

// Where it fits ill it may have been mistaken for what it passed: it is looked for about there.
void Follow::look_again(Track& track) {
  constexpr int reach = 24;  // px
  const double usual = usual_misfit(track.samples, track.usual);
  for (Sample& sample : track.samples) {
    const Kept* kept = sample.misfit > 1.5 * usual + 2 ? kept_at(sample.frame) : nullptr;
    if (!kept || !sample.known) continue;
    const Fit fit = track.model->search(kept->plane, sample.pose, reach);
    if (fit.good && fit.misfit < 0.6 * sample.misfit) sample = sample_of(sample.frame, sample.t_us, fit);
  }
}

// From now on poses tell where the middle of the plate is.
void Follow::recentre(Track& track, const Plate& plate) {
  track.model->move_origin(plate.x, plate.y);
  for (Sample& sample : track.samples) {
    Pose& p = sample.pose;
    const double c = p.scale * std::cos(p.turn), n = p.scale * std::sin(p.turn);
    p.x += c * plate.x - n * plate.y, p.y += n * plate.x + c * plate.y;
  }
  track.plate = plate;
  track.plate.x = track.plate.y = 0;
}

}  // namespace paneproof::video
