// Which of the things that move is the one that is held: what goes on its way.
#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "capture/video/follow.hpp"
#include "capture/video/let_go.hpp"
#include "capture/video/page.hpp"

namespace paneproof::video {
namespace {

constexpr std::int64_t seek_every_us = 40'000;
constexpr std::int64_t goes_on_us = 420'000;  // what makes room has stopped by then
constexpr std::int64_t rests_us = 120'000;    // within which a thing on its way moves a px
constexpr std::int64_t lies_us = 300'000;     // what made room and rests this long is given up
constexpr double least_reach = 0.06;          // of the width
constexpr double wiggle_reach = 0.03;         // and what went no farther only wiggles
constexpr std::size_t most_candidates = 5;
constexpr int most_missed = 4;
constexpr std::int64_t out_of_sight_us = 300'000;  // what went far may be so long, and come back
constexpr double far_gone = 0.25;                  // of the width

// Since when it has been on its way without a rest. What makes room again and again rests in its slots
// between.
std::int64_t on_its_way_since(const Track& track) {
  const auto& s = track.samples;
  std::size_t later = s.size() - 1;
  for (std::size_t i = s.size(); i-- > 0;) {
    if (!s[i].known) continue;
    while (later > i + 1 && s[later - 1].t_us - s[i].t_us >= rests_us) --later;
    if (s[later].known && s[later].t_us - s[i].t_us >= rests_us && far(s[i].pose, s[later].pose) < 1)
      return s[later].t_us;
  }
  return track.since_us;
}

// Have two gone the same way side by side for a while? Then they are parts of one thing.
bool go_together(const Track& a, const Track& b) {
  constexpr std::int64_t while_us = 120'000;
  const auto &s = a.samples, &o = b.samples;
  const Pose &p = s.back().pose, &q = o.back().pose;
  if (std::abs(p.x - q.x) > a.half_width + b.half_width ||
      std::abs(p.y - q.y) > a.half_height + b.half_height)
    return false;
  double moved = 0;
  for (std::size_t k = 1; k < std::min(s.size(), o.size()); ++k) {
    const Sample &i = s[s.size() - 1 - k], &j = o[o.size() - 1 - k];
    if (i.frame != j.frame) return false;
    if (!i.known || !j.known) continue;
    if (std::hypot(i.pose.x - p.x - j.pose.x + q.x, i.pose.y - p.y - j.pose.y + q.y) > 2) return false;
    moved = std::max(moved, far(i.pose, p));
    if (s.back().t_us - i.t_us >= while_us) return moved > 8;
  }
  return false;
}

// Is a row first seen where it comes in from beyond the picture, as a banner does?
bool came_in(const Track& track, const Plane& plane) {
  constexpr double room = 6;  // px
  const double y = track.samples.front().pose.y,
               half = track.plate.height > 0 ? track.plate.height / 2 : track.half_height;
  return y - half < room || y + half > plane.height - room;
}

// Does it look like the model, by as much as that has a drawing?
bool fits(const Track& track) { return track.cut || track.usual <= 0.4 * track.model->contrast() + 0.5; }

// Out of sight for longer than it may be?
bool gone(const Track& track, double width) {
  if (track.missed <= most_missed) return false;
  if (track.reach < far_gone * width || !fits(track)) return true;
  const auto& s = track.samples;
  const auto seen = std::find_if(s.rbegin(), s.rend(), [](const Sample& sample) { return sample.known; });
  return s.back().t_us - seen->t_us > out_of_sight_us;
}

// Is this pixel as it was before, and unlike what has moved there with the mover?
bool lies_still(const Plane& earlier, const Plane& later, const Mover& mover, int x, int y) {
  constexpr int alike = 3, unlike = 12;  // levels
  const int own = later.row(y)[x];
  if (std::abs(own - earlier.row(y)[x]) > alike) return false;
  const int from_x = x - static_cast<int>(std::lround(mover.dx)),
            from_y = y - static_cast<int>(std::lround(mover.dy));
  for (int j = -1; j <= 1; ++j)
    for (int i = -1; i <= 1; ++i) {
      const int ex = from_x + i, ey = from_y + j;
      if (ex < 0 || ey < 0 || ex >= earlier.width || ey >= earlier.height) return false;
      if (std::abs(own - earlier.row(ey)[ex]) <= unlike) return false;
    }
  return true;
}

bool lies(const Track& track) {
  const auto& s = track.samples;
  for (auto i = s.rbegin(); i != s.rend(); ++i) {
    if (i->known && far(i->pose, s.back().pose) > 1) return false;
    if (s.back().t_us - i->t_us > lies_us) return true;
  }
  return false;
}

}  // namespace

// The thing as it is now, already lifted, is what will be looked for.
void Follow::start_candidate(const Mover& mover, const Kept& earlier) {
  const Kept& now = kept_.back();
  const bool small = kept_.back().plane.width < 220 || kept_.back().t_us - earlier.t_us > 65'000;
  if (mover.with_page || mover.squares < (small ? 2 : 3)) return;
  const Pose middle{mover.box.x + mover.box.width / 2.0 + mover.dx,
                    mover.box.y + mover.box.height / 2.0 + mover.dy, 1, 0};
  if (lies_there(middle.x, middle.y) || is_of_lying(mover.box)) return;
  if (held_ &&
      far(held_->samples.back().pose, middle) < 0.5 * std::max(held_->plate.width, held_->plate.height) + 8 &&
      std::abs(held_->samples.back().pose.y - middle.y) < 0.5 * held_->plate.height + 8)
    return;
  for (const Track& track : candidates_)
    if (std::abs(track.samples.back().pose.x - middle.x) < track.half_width + 4 &&
        std::abs(track.samples.back().pose.y - middle.y) < track.half_height + 4)
      return;
  if (candidates_.size() >= most_candidates) {
    // What sets off takes the place of what only wiggles.
    const auto least = std::min_element(candidates_.begin(), candidates_.end(),
                                        [](const Track& a, const Track& b) { return a.reach < b.reach; });
    if (std::hypot(mover.dx, mover.dy) < 2 * least->reach + 4) return;
    candidates_.erase(least);
  }
  if (start_known(middle, earlier)) return;
  // What surely moved, and all that seems to move with it, which may be more than the one thing: whichever
  // goes on its way, the larger first.
  Box seen = mover.box, box = whole_of(mover, earlier.plane, now.plane);
  seen.x += static_cast<int>(std::lround(mover.dx)), seen.y += static_cast<int>(std::lround(mover.dy));
  const double icon = 0.3 * std::min(now.plane.width, now.plane.height);
  const bool grown = box.width > icon || box.height > icon;
  // A hand runs on beyond the picture, or lies across it, and is no row.
  if (options_.filmed && (box.width == 0 || 10 * box.width > 6 * now.plane.width)) box = seen;
  take_up(box, mover, earlier);
  if (grown && !options_.filmed && mover.squares > 8 && seen.width < icon && seen.height < icon &&
      10 * box.width < 6 * now.plane.width)
    take_up(seen, mover, earlier);
}

void Follow::take_up(const Box& box, const Mover& mover, const Kept& earlier) {
  if (box.width < 8 || box.height < 8) return;
  const Kept& now = kept_.back();
  Track track;
  track.row = !options_.filmed && 10 * box.width > 6 * now.plane.width;
  const int w = box.width, h = box.height, margin = 6 + (track.row ? h : std::max(w, h)) / 4;
  track.model = std::make_unique<Model>(now.plane, box, margin);
  if (!options_.filmed && !track.row)
    track.model->leave_out(box,
                           [&](int x, int y) { return lies_still(earlier.plane, now.plane, mover, x, y); });
  track.samples.push_back({now.frame, now.t_us, {box.x + w / 2.0, box.y + h / 2.0, 1, 0}, 0.1, 0, 1, true});
  track.half_width = w / 2.0, track.half_height = h / 2.0;
  track.since_us = earlier.t_us;
  candidates_.push_back(std::move(track));
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
    for (const Mover& mover : seek(base->plane, halves_.back().plane, px, reach, options_.filmed))
      start_candidate(
          options_.filmed && mover.with_page ? fingertip(mover, side, px, 0.16 * now.plane.width) : mover,
          *earlier);
  }
}

// Does what is about it go the same way? By two pictures between which it went far enough to tell.
bool Follow::is_page(const Track& track) const {
  constexpr double least_px = 5;
  const Sample& now = track.samples.back();
  for (auto s = track.samples.rbegin(); s != track.samples.rend(); ++s) {
    const Kept* earlier = kept_at(s->frame);
    if (!earlier || now.t_us - s->t_us > 600'000) return false;
    if (!s->known || far(s->pose, now.pose) < least_px) continue;
    const Box own{static_cast<int>(now.pose.x - track.half_width),
                  static_cast<int>(now.pose.y - track.half_height), static_cast<int>(2 * track.half_width),
                  static_cast<int>(2 * track.half_height)};
    return goes_with_page(earlier->plane, kept_.back().plane, now.pose.x - s->pose.x, now.pose.y - s->pose.y,
                          own);
  }
  return false;
}

void Follow::judge_candidates() {
  if (candidates_.empty()) return;
  if (held_ && !options_.filmed && still_lifted(*held_)) return candidates_.clear();
  const std::int64_t now = kept_.back().t_us;
  const double width = kept_.back().plane.width;
  std::vector<Track> lain;
  if (!options_.filmed)
    for (Track& track : candidates_) {
      if (track.given_up || gone(track, width) || track.reach <= wiggle_reach * width || !lies(track))
        continue;
      track.given_up = true;
      if (track.reach > least_reach * width && fits(track) && (track.cut || stands_out(track)))
        lain.push_back(std::move(track));
    }
  std::erase_if(candidates_, [&](const Track& track) {
    if (track.given_up || gone(track, width) || track.samples.size() > 4000) return true;
    return track.reach <= wiggle_reach * width && now - track.since_us > 700'000;
  });
  if (!held_)
    for (Track& track : lain)
      if (track.cut ? take_stopped(track) : take_lifted(track)) return;
  Track* best = nullptr;
  const auto merit = [&](const Track& of) {
    return of.reach * (options_.filmed ? 1 : std::sqrt(of.half_width * of.half_height));
  };
  double awaited = 0;  // the most of one that moves, but not for long enough yet
  for (Track& track : candidates_) {
    std::int64_t since = options_.filmed ? track.since_us : on_its_way_since(track);
    // While something is held and rests pages turn under it: what shall take its place is seen for longer.
    if (held_) since = std::max(since, track.samples.front().t_us + 100'000);
    if (track.given_up || track.reach < least_reach * width || track.missed || !fits(track)) continue;
    if (track.cut ? left_with_page(track) : best && best->cut) continue;  // or a part of it, or makes room
    if (now - since < goes_on_us && !(track.cut && made_room_for(track))) {
      if (now - since > goes_on_us / 2) awaited = std::max(awaited, merit(track));
      continue;
    }
    if (best && best->cut == track.cut && merit(track) <= merit(*best)) continue;
    if (!options_.filmed && !(track.cut && made_room_for(track)) && is_page(track))
      track.given_up = true;
    else
      best = &track;
  }
  if (best && !options_.filmed && !best->cut && awaited > merit(*best)) return;
  // Of its parts the largest: it may hold the whole.
  if (best && !best->known && !best->cut && !options_.filmed)
    for (Track& track : candidates_) {
      const bool larger = track.half_width * track.half_height > 1.2 * best->half_width * best->half_height;
      if (!larger || track.known || track.missed || !fits(track)) continue;
      if (go_together(*best, track)) best = &track;
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
  if (!held_->known && !held_->cut) learn_wide(*held_);
  held_->cut ? trace_back_cut(*held_) : trace_back(*held_);
  if (held_->row && came_in(*held_, kept_.back().plane)) return held_.reset();
  if (!options_.filmed && !held_->known && !held_->cut && !held_->row) keep_lying(*held_);
  ++contacts_;
}

// What the user says is held: taken up at once.
void Follow::take_hint() {
  const Kept& now = kept_.back();
  options_.hint_t_s.reset();
  if (held_ &&
      std::abs(held_->samples.back().pose.x - *options_.hint_x / shrink_) < held_->plate.width / 2 + 4 &&
      std::abs(held_->samples.back().pose.y - *options_.hint_y / shrink_) < held_->plate.height / 2 + 4)
    return advance(*held_, now, true);  // it is followed already
  if (held_) judge_held(true);
  held_.reset();
  candidates_.clear();
  const double x = *options_.hint_x / shrink_, y = *options_.hint_y / shrink_;
  const int side = std::max(12, static_cast<int>(0.12 * std::min(now.plane.width, now.plane.height)));
  Track track;
  const Box core{static_cast<int>(x) - side / 2, static_cast<int>(y) - side / 2, side, side};
  track.model = std::make_unique<Model>(now.plane, core, 6 + side / 4);
  track.samples.push_back(
      {now.frame, now.t_us, {core.x + side / 2.0, core.y + side / 2.0, 1, 0}, 0.1, 0, 1, true});
  track.since_us = now.t_us;
  held_ = std::move(track);
  learn_wide(*held_);
  trace_back(*held_);
  ++contacts_;
}

}  // namespace paneproof::video
