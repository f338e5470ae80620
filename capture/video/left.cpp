// In a recording of few pictures a second: what lay on plain ground and lies there no more.
//
// From one picture to the next a thing goes half its own size, so its motion shows too late and in too few
// pictures to learn from. But what lies on plain ground is seen whole, plate and all, before anything moves.
// So each thing is cut out as it lay, and when it is gone from there it is looked for all over the picture.
#include <algorithm>
#include <cmath>

#include "capture/video/follow.hpp"
#include "capture/video/let_go.hpp"
#include "capture/video/on_ground.hpp"

namespace paneproof::video {
namespace {

constexpr std::int64_t slow_us = 55'000;                     // from picture to picture
constexpr std::size_t asked_back = 8;                        // pictures
constexpr int lay_for = 2, settles_for = 3, looked_for = 3;  // pictures
constexpr double stays_px = 2.5;                             // a thing that wiggles about its place

// As large as before, or lifted there.
bool same_place(const Plate& a, const Plate& b) {
  constexpr double lifted = 0.15;
  return std::abs(a.x - b.x) < stays_px && std::abs(a.y - b.y) < stays_px &&
         std::abs(a.width - b.width) < std::max(2 * stays_px, lifted * b.width) &&
         std::abs(a.height - b.height) < std::max(2 * stays_px, lifted * b.height);
}

// Is it its look? What was cut out has its edge on it, against the ground on which it lay: on other ground
// that fits ill.
bool alike(const Fit& fit) {
  return fit.good || (!fit.plain && fit.visible > 0.5 && fit.alike > 0.88 && fit.misfit < 20);
}

// Of two places the one where more of it is seen, that fits better and lies nearer to where it was going.
bool better(const Fit& a, const Fit& b, const Pose& guess, const Plane& plane) {
  constexpr double leap = 5;  // levels, for one of the width
  if (!alike(a) || !alike(b)) return alike(a);
  const auto merit = [&](const Fit& fit) {
    return fit.misfit / std::max(0.1, fit.visible) + leap * far(fit.pose, guess) / plane.width;
  };
  return merit(a) < merit(b);
}

// Is a plate larger, or smaller, both ways than that by what tells a lift?
bool other_size(const Plate& plate, double width, double height) {
  const double by_x = plate.width / width - 1, by_y = plate.height / height - 1;
  return by_x * by_y > 0 && std::min(std::abs(by_x), std::abs(by_y)) > least_raised &&
         std::min(std::abs(plate.width - width), std::abs(plate.height - height)) > 1;
}

bool covers(const Plate& plate, double x, double y) {
  return std::abs(plate.x - x) < plate.width / 2 && std::abs(plate.y - y) < plate.height / 2;
}

}  // namespace

bool Follow::is_slow() const {
  if (options_.filmed || kept_.size() < 2) return false;
  for (std::size_t k = kept_.size() - 1; k > 0 && kept_.size() - k <= asked_back; --k)
    if (kept_[k].t_us - kept_[k - 1].t_us < slow_us) return false;
  return true;
}

// Is this a part of something that lies where it lay?
bool Follow::lies_there(double x, double y) const {
  return std::any_of(lying_.begin(), lying_.end(), [&](const Lying& lying) {
    return lying.seen >= lay_for && lying.missed == 0 && covers(lying.plate, x, y);
  });
}

// Does another lie just there, or is one seen whole that would be covered by it?
bool Follow::is_taken(double x, double y, double half_x, double half_y) const {
  constexpr double covered = 0.15;  // of what lies there
  return std::any_of(lying_.begin(), lying_.end(), [&](const Lying& lying) {
    const Plate& p = lying.plate;
    if (lying.seen < lay_for || lying.missed > 0) return false;
    if (std::abs(p.x - x) < 2 * stays_px && std::abs(p.y - y) < 2 * stays_px) return true;
    if (lying.frame != kept_.back().frame) return false;
    const double w = std::min(p.x + p.width / 2, x + half_x) - std::max(p.x - p.width / 2, x - half_x),
                 h = std::min(p.y + p.height / 2, y + half_y) - std::max(p.y - p.height / 2, y - half_y);
    return w > 0 && h > 0 && w * h > covered * p.width * p.height;
  });
}

// Is it held there, or may it be? Where a hand pauses there is no slot.
bool Follow::is_held_at(double x, double y) const {
  const auto there = [&](const Track& track) {
    const Pose& at = track.samples.back().pose;
    return std::abs(at.x - x) < stays_px && std::abs(at.y - y) < stays_px;
  };
  return (held_ && there(*held_)) || std::any_of(candidates_.begin(), candidates_.end(),
                                                 [&](const Track& t) { return t.cut && there(t); });
}

// Are they parts of what lies, or lay a moment ago, or of several such things? What leaves is found as it
// lay.
bool Follow::is_of_lying(const Box& box) const {
  int in_box = 0;
  for (const Lying& lying : lying_) {
    if (lying.seen < lay_for) continue;
    if (covers(lying.plate, box.x + box.width / 2.0, box.y + box.height / 2.0)) return true;
    in_box +=
        lying.x > box.x && lying.x < box.x + box.width && lying.y > box.y && lying.y < box.y + box.height;
  }
  return in_box > 1;
}

bool Follow::is_slot(double x, double y) const {
  return std::any_of(slots_.begin(), slots_.end(), [&](const auto& slot) {
    return std::abs(slot.first - x) < stays_px && std::abs(slot.second - y) < stays_px;
  });
}

// Its look as it lay, cut out along its plate.
void Follow::cut_out(Lying& lying) const {
  const Kept* kept = kept_at(lying.frame);
  if (lying.model || !kept) return;
  const Plate& p = lying.plate;
  // With its edge, lest a plain thing have nothing that tells where it is.
  const int x0 = static_cast<int>(std::floor(p.x - p.width / 2)) - 1,
            y0 = static_cast<int>(std::floor(p.y - p.height / 2)) - 1;
  const Box core{x0, y0, static_cast<int>(std::ceil(p.x + p.width / 2)) + 1 - x0,
                 static_cast<int>(std::ceil(p.y + p.height / 2)) + 1 - y0};
  if (core.width < 8 || core.height < 8) return;
  constexpr int margin = 6;
  lying.model = std::make_unique<Model>(kept->plane, core, margin);
  lying.model->move_origin(p.x - (core.x + core.width / 2.0), p.y - (core.y + core.height / 2.0));
  lying.model->trust({margin, margin, core.width, core.height}, p.corner);
}

// In one picture more, forwards in time or backwards: about where it was going and where it was, and all
// over.
Fit Follow::look_for_cut(const Track& track, const std::vector<Sample>& samples, const Kept& kept) const {
  constexpr int near = 12;  // px
  const bool back = samples.size() > 1 && samples.front().t_us > samples.back().t_us;
  const auto seen = std::find_if(samples.rbegin(), samples.rend(), [](const Sample& s) { return s.known; });
  if (seen == samples.rend()) return {};
  const Pose guess = ahead(samples, kept.t_us), last = seen->pose;
  const Model& model = *track.model;
  Fit best = model.search(kept.plane, guess, near);
  const auto take = [&](const Fit& fit) {
    if (better(fit, best, last, kept.plane)) best = fit;
  };
  take(model.refine(kept.plane, last));
  take(model.search(kept.plane, last, near));
  if (const Kept* other = kept_at(kept.frame + (back ? 1 : -1)))
    take(find_all_over(model, kept.plane, other->plane, last));
  // Lifted or let go it is of another size at once.
  if (!alike(best) || best.misfit > 1.5 * track.usual + 1)
    for (const double size : {0.91, 0.95, 1.05, 1.1}) {
      Pose sized = last;
      sized.scale *= size;
      take(model.search(kept.plane, sized, near));
    }
  best.good = alike(best) && !beyond_size(best);
  return best;
}

// Of all places about which the picture changed, the one where most of it is seen and fits best. What lies
// where it lay is not it, however much alike.
Fit Follow::find_all_over(const Model& model, const Plane& now, const Plane& other, const Pose& guess) const {
  const int reach = now.width / 2;
  constexpr int block = 8, least = 4;  // px, levels
  std::vector<std::uint8_t> changed;
  const int columns = now.width / block, rows = now.height / block;
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < columns; ++i) {
      int most = 0;
      for (int y = j * block; y < (j + 1) * block; ++y)
        for (int x = i * block; x < (i + 1) * block; ++x)
          most = std::max(most, std::abs(now.row(y)[x] - other.row(y)[x]));
      changed.push_back(most >= least);
    }
  const auto share = [&](double x, double y, double half_x, double half_y) {
    const int i0 = std::clamp(static_cast<int>((x - half_x) / block), 0, columns - 1),
              i1 = std::clamp(static_cast<int>((x + half_x) / block), 0, columns - 1),
              j0 = std::clamp(static_cast<int>((y - half_y) / block), 0, rows - 1),
              j1 = std::clamp(static_cast<int>((y + half_y) / block), 0, rows - 1);
    double with = 0;
    for (int j = j0; j <= j1; ++j)
      for (int i = i0; i <= i1; ++i) with += changed[static_cast<std::size_t>(j) * columns + i];
    return with / ((i1 - i0 + 1) * (j1 - j0 + 1));
  };
  const double half_x = model.core().width / 2.0, half_y = model.core().height / 2.0;
  const auto elsewhere = [&](double x, double y) {
    return is_taken(x, y, half_x, half_y) || share(x, y, half_x, half_y) < 0.1;
  };
  Fit best = model.search(now, guess, reach, {true, elsewhere});
  best.good = alike(best);
  return best;
}

// Was it lifted there, with a shadow that goes on into others, so that it is not seen whole?
bool Follow::raised_there(const Lying& lying, const Plane& plane) {
  for (const double size : {1.03, 1.06, 1.1, 1.15}) {
    const Fit fit = lying.model->refine(plane, {lying.plate.x, lying.plate.y, size, 0});
    if (fit.good && fit.visible > 0.9 && fit.alike > 0.9 &&
        std::hypot(fit.pose.x - lying.x, fit.pose.y - lying.y) < stays_px)
      return true;
  }
  return false;
}

// What lies, in one picture more.
void Follow::see_what_lies() {
  const Kept& now = kept_.back();
  if (!is_slow()) return lying_.clear();
  const auto lay_down = [&](const OnGround& o, const Kept& kept) {
    Lying& lying = lying_.emplace_back();
    lying.plate = o.plate, lying.x = o.plate.x, lying.y = o.plate.y;
    lying.width = o.plate.width, lying.height = o.plate.height;
    lying.frame = lying.lay = lying.first = kept.frame, lying.seen = 1;
  };
  if (lying_.empty()) {
    const Kept& before = kept_[kept_.size() - 2];
    for (const OnGround& o : on_ground(before.plane)) lay_down(o, before);
  }
  std::vector<OnGround> seen = on_ground(now.plane);
  for (Lying& lying : lying_) {
    Plate at = lying.plate;
    at.x = lying.x, at.y = lying.y;  // where it was first: what creeps on does not lie
    const auto same =
        std::find_if(seen.begin(), seen.end(), [&](const OnGround& o) { return same_place(o.plate, at); });
    if (same != seen.end()) {
      lying.plate = same->plate;
      if (!other_size(lying.plate, lying.width, lying.height))
        lying.lifted = -1;
      else if (lying.lifted < 0)
        lying.lifted = now.frame;
      lying.model.reset();
      seen.erase(same);
      // Not seen whole for a while it may be another that came there under cover.
      if (lying.frame < now.frame - 1) lying.first = now.frame;
      ++lying.seen, lying.missed = 0, lying.frame = lying.lay = now.frame;
      if (lying.seen <= settles_for) {
        lying.x = lying.plate.x, lying.y = lying.plate.y;
        lying.width = lying.plate.width, lying.height = lying.plate.height;
      }
      if (lying.seen == lay_for && !is_slot(lying.x, lying.y) && !is_held_at(lying.x, lying.y))
        slots_.emplace_back(lying.x, lying.y);
      continue;
    }
    cut_out(lying);
    if (lying.model) {
      const Fit fit = lying.model->refine(now.plane, {lying.plate.x, lying.plate.y, 1, 0});
      if (fit.good && std::hypot(fit.pose.x - lying.x, fit.pose.y - lying.y) < stays_px) {
        lying.missed = 0, lying.lay = now.frame;
        continue;
      }
      if (raised_there(lying, now.plane)) {
        if (lying.lifted < 0) lying.lifted = now.frame;
        lying.missed = 0, lying.lay = now.frame;
        continue;
      }
    }
    ++lying.missed;
  }
  // What two that lie make up as one, or one with a line beside it, is no other.
  for (const OnGround& o : seen)
    if (std::none_of(lying_.begin(), lying_.end(), [&](const Lying& lying) {
          return lying.seen >= lay_for && lying.missed == 0 && covers(o.plate, lying.x, lying.y);
        }))
      lay_down(o, now);
  std::erase_if(candidates_, [&](const Track& track) {
    const Pose& at = track.samples.back().pose;
    return !track.cut && lies_there(at.x, at.y);
  });
}

// What has left its place in this picture.
void Follow::look_for_left() {
  const Kept& now = kept_.back();
  std::vector<Track> left;
  for (Lying& lying : lying_) {
    if (lying.missed == 0 || lying.seen < lay_for || !lying.model || lying.missed > looked_for) continue;
    const Pose lay{lying.plate.x, lying.plate.y, 1, 0};
    Track track = track_of(lying);
    const Fit fit = look_for_cut(track, track.samples, now);
    const bool known = std::any_of(candidates_.begin(), candidates_.end(), [&](const Track& other) {
      return other.cut && far(other.samples.back().pose, fit.pose) < stays_px;
    });
    if (!fit.good || known || far(fit.pose, lay) < stays_px) {
      lying.model = std::move(track.model);
      continue;
    }
    lying.missed = looked_for + 1;
    track.samples.push_back(sample_of(now.frame, now.t_us, fit));
    track.usual = fit.misfit;
    track.away = track.reach = far(lay, fit.pose);
    departures_.push_back(now.t_us);
    left.push_back(std::move(track));
  }
  std::erase_if(lying_, [&](const Lying& lying) {
    return lying.missed > looked_for || (lying.missed > 0 && (lying.seen < lay_for || !lying.model));
  });
  if (held_ && !resting(*held_)) return;
  for (Track& track : left) candidates_.push_back(std::move(track));
}

// Up to the picture before this one.
Track Follow::track_of(Lying& lying) const {
  const Kept& now = kept_.back();
  Track track;
  track.cut = true;
  track.plate = lying.plate;
  track.plate.x = track.plate.y = 0;
  track.row = is_row(lying.plate, now.plane.width);
  track.half_width = lying.plate.width / 2, track.half_height = lying.plate.height / 2;
  track.model = std::move(lying.model);
  const Pose lay{lying.plate.x, lying.plate.y, 1, 0};
  track.since_us = now.t_us;
  if (lying.lifted >= 0) {
    track.lifted = std::max(lying.lifted, kept_.front().frame);
    track.rest_scale = std::sqrt(lying.width * lying.height / (lying.plate.width * lying.plate.height));
  }
  for (std::int64_t f = track.lifted >= 0 ? track.lifted : lying.lay; f < now.frame; ++f) {
    const Kept* kept = kept_at(f);
    if (!kept) continue;
    if (f == lying.lay) track.since_us = kept->t_us;
    track.samples.push_back({f, kept->t_us, lay, 0.1, 0, 1, f <= lying.lay});
  }
  track.left_us = now.t_us;
  return track;
}

// Did others leave their places after it, and none with it or shortly before? Then they made room for it.
bool Follow::made_room_for(const Track& track) const {
  constexpr std::int64_t before_us = 600'000;
  int with = 0, after = 0;
  for (const std::int64_t us : departures_) {
    if (us < track.left_us && us > track.left_us - before_us) return false;
    with += us == track.left_us, after += us > track.left_us;
  }
  return with == 1 && after > 0;
}

// Where it was seen to be lifted no more is asked.
void Follow::trace_back_cut(Track& track) {
  if (track.lifted < 0) return trace_back(track);
  track.grab = 0;
}

// Does what is followed lie in a slot again, not there before, and as large as what lies? Since which sample.
std::optional<std::size_t> Follow::lies_again(const Track& track) const {
  constexpr double about = 0.1;  // of its size: as it is followed lifted, its place there is told less well
  const auto& s = track.samples;
  const Pose& at = s.back().pose;
  for (const Lying& lying : lying_) {
    if (lying.missed > 0 || lying.seen <= lay_for || !is_slot(lying.x, lying.y)) continue;
    const double off = std::hypot(lying.x - at.x, lying.y - at.y);
    const bool lowered =
        track.rest_scale > 0 && other_size(lying.plate, track.plate.width, track.plate.height);
    if (off > (lowered ? about * track.plate.width : stays_px)) continue;
    std::size_t rest = s.size() - 1;
    while (rest > track.grab && (!s[rest - 1].known || far(s[rest - 1].pose, at) < off + 1)) --rest;
    if (rest > track.grab + 1 && s[rest].frame <= lying.first + 2 &&
        s.back().t_us - s[rest].t_us >= rest_us - 20'000)
      return rest;
  }
  return {};
}

// What left its place and stopped is held where others made room for it, or where it stopped at no slot.
bool Follow::take_stopped(Track& track) {
  const Pose& now = track.samples.back().pose;
  if (!made_room_for(track) && (is_slot(now.x, now.y) || is_page(track))) return false;
  trace_back_cut(track);
  held_ = std::move(track);
  candidates_.clear();
  ++contacts_;
  return true;
}

}  // namespace paneproof::video
