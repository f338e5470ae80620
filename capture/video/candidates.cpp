// Which of the things that move is the one that is held: what goes on its way.
#include <algorithm>
#include <cmath>

#include "capture/video/follow.hpp"
#include "capture/video/let_go.hpp"

namespace paneproof::video {
namespace {

constexpr std::int64_t seek_every_us = 40'000;
constexpr std::int64_t goes_on_us = 420'000;  // what makes room has stopped by then
constexpr std::size_t most_candidates = 5;

}  // namespace

// The thing as it is now, already lifted, is what will be looked for.
void Follow::start_candidate(const Mover& mover, const Kept& earlier) {
  const Kept& now = kept_.back();
  const bool small = kept_.back().plane.width < 220 || kept_.back().t_us - earlier.t_us > 65'000;
  if (mover.with_page || mover.squares < (small ? 2 : 3)) return;
  const Pose middle{mover.box.x + mover.box.width / 2.0 + mover.dx,
                    mover.box.y + mover.box.height / 2.0 + mover.dy, 1, 0};
  if (held_ &&
      far(held_->samples.back().pose, middle) < 0.5 * std::max(held_->plate.width, held_->plate.height) + 8)
    return;
  for (const Track& track : candidates_)
    if (std::abs(track.samples.back().pose.x - middle.x) < track.half_width + 4 &&
        std::abs(track.samples.back().pose.y - middle.y) < track.half_height + 4)
      return;
  if (candidates_.size() >= most_candidates || start_known(middle, earlier.t_us)) return;
  Box box = whole_of(mover, earlier.plane, now.plane);
  if (options_.filmed && box.width == 0) {  // a hand runs on beyond the picture
    box = mover.box;
    box.x += static_cast<int>(std::lround(mover.dx)), box.y += static_cast<int>(std::lround(mover.dy));
  }
  if (box.width < 8 || box.height < 8) return;
  Track track;
  const int w = box.width, h = box.height, margin = 6 + std::max(w, h) / 4;
  track.model = std::make_unique<Model>(now.plane, box, margin);
  track.samples.push_back({now.frame, now.t_us, {box.x + w / 2.0, box.y + h / 2.0, 1, 0}, 0.1, 0, 1, true});
  track.half_width = w / 2.0, track.half_height = h / 2.0;
  track.since_us = earlier.t_us;
  candidates_.push_back(std::move(track));
}

// Is it a thing that was held before? Then all that was learnt of it serves again.
bool Follow::start_known(const Pose& at, std::int64_t since_us) {
  const Kept& now = kept_.back();
  for (const Known& known : known_) {
    const Pose about{at.x, at.y, known.held_scale, 0};
    const Fit fit =
        known.model->search(now.plane, about, std::max(known.model->width(), known.model->height()) / 2 + 4);
    if (!fit.good || fit.misfit > 1.6 * known.usual + 2.5 || fit.misfit > 0.4 * known.model->contrast() + 0.5)
      continue;
    for (const Track& track : candidates_)
      if (track.known && far(track.samples.back().pose, fit.pose) < 10) return true;
    Track track;
    track.model = std::make_unique<Model>(*known.model);
    track.known = true;
    track.usual = known.usual;
    track.rest_scale = known.scale;
    track.plate = known.plate;
    track.contacts = known.contacts;
    track.samples.push_back(sample_of(now.frame, now.t_us, fit));
    track.half_width = known.plate.width / 2, track.half_height = known.plate.height / 2;
    track.since_us = since_us;
    candidates_.push_back(std::move(track));
    return true;
  }
  return false;
}

void Follow::look_for_movers() {
  const Kept& now = kept_.back();
  if (now.t_us - last_seek_us_ < seek_every_us) return;
  last_seek_us_ = now.t_us;
  Half half{now.frame, now.t_us, {}};
  const int px = now.plane.width < 220 ? 1 : 2;
  if (px == 2)
    halve(now.plane, half.plane);
  else
    half.plane = now.plane;
  halves_.push_back(std::move(half));
  while (halves_.size() > 2 && now.t_us - halves_.front().t_us > 450'000) halves_.pop_front();
  if (halves_.size() < 2 || (held_ && !resting(*held_))) return;
  std::vector<const Half*> bases{&halves_[halves_.size() - 2]};
  if (halves_.size() > 5) bases.push_back(&halves_[halves_.size() / 2 - 1]);
  for (const Half* base : bases) {
    const Kept* earlier = kept_at(base->frame);
    if (!earlier || earlier->frame <= closed_frame_) continue;
    const int reach = now.t_us - base->t_us > 65'000 ? 14 : 9;
    const int side = options_.filmed ? hand_side(earlier->plane, now.plane) : 0;
    for (const Mover& mover : seek(base->plane, halves_.back().plane, px, reach))
      start_candidate(
          options_.filmed && mover.with_page ? fingertip(mover, side, px, 0.16 * now.plane.width) : mover,
          *earlier);
  }
}

void Follow::judge_candidates() {
  if (candidates_.empty()) return;
  const std::int64_t now = kept_.back().t_us;
  const double width = kept_.back().plane.width;
  std::erase_if(candidates_, [&](const Track& track) {
    if (track.missed > 4 || track.samples.size() > 4000) return true;
    if (now - track.since_us < 700'000) return false;
    return track.reach < 0.03 * width;
  });
  Track* best = nullptr;
  for (Track& track : candidates_) {
    if (now - track.since_us < goes_on_us || track.reach < 0.06 * width || track.missed) continue;
    if (track.usual > 0.4 * track.model->contrast() + 0.5) continue;
    // Still on its way: it moved within the last fifth of a second.
    double lately = 0;
    for (auto s = track.samples.rbegin(); s != track.samples.rend() && s->t_us > now - 200'000; ++s)
      if (s->known) lately = std::max(lately, far(s->pose, track.samples.back().pose));
    if (lately < 1.5) continue;
    if (!best || track.reach > best->reach) best = &track;
  }
  if (!best) {
    std::erase_if(candidates_, [&](const Track& track) { return now - track.since_us > 1'500'000; });
    return;
  }
  if (held_) {  // another thing goes on its way while this one rests: it is this one no more
    Track next = std::move(*best);
    candidates_.clear();
    const double w = kept_.back().plane.width;
    const auto judged = judge_let_go(*held_, w, true);
    close(judged ? judged->last : held_->samples.size() - 1, judged ? judged->kind : LetGo::Kind::doubt);
    candidates_.push_back(std::move(next));
    best = &candidates_.back();
  }
  held_ = std::move(*best);
  candidates_.clear();
  if (!held_->known) learn_wide(*held_);
  trace_back(*held_);
  if (!options_.filmed && !held_->known) see_lying(*held_);
  ++contacts_;
}

}  // namespace paneproof::video
