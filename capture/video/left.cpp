// In a recording of few pictures a second: what lay on plain ground and lies there no more.
//
// From one picture to the next a thing goes half its own size, so its motion shows too late and in too few
// pictures to learn from. But what lies on plain ground is seen whole, plate and all, before anything moves.
// So each thing is cut out as it lay, and when it is gone from there it is looked for all over the picture.
#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "capture/video/follow.hpp"
#include "capture/video/let_go.hpp"
#include "capture/video/lying.hpp"

namespace paneproof::video {
namespace {

constexpr std::int64_t told_for_us = 4'000'000;  // of what left its place

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

}  // namespace

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
  const int columns = now.width / block, rows = now.height / block;
  cv::Mat_<std::uint8_t> changed(rows, columns);
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < columns; ++i) {
      int most = 0;
      for (int y = j * block; y < (j + 1) * block; ++y)
        for (int x = i * block; x < (i + 1) * block; ++x)
          most = std::max(most, std::abs(now.row(y)[x] - other.row(y)[x]));
      changed(j, i) = most >= least;
    }
  cv::Mat_<int> sums;
  cv::integral(changed, sums, CV_32S);
  const auto share = [&](double x, double y, double half_x, double half_y) {
    const int i0 = std::clamp(static_cast<int>((x - half_x) / block), 0, columns - 1),
              i1 = std::clamp(static_cast<int>((x + half_x) / block), 0, columns - 1) + 1,
              j0 = std::clamp(static_cast<int>((y - half_y) / block), 0, rows - 1),
              j1 = std::clamp(static_cast<int>((y + half_y) / block), 0, rows - 1) + 1;
    const int with = sums(j1, i1) - sums(j0, i1) - sums(j1, i0) + sums(j0, i0);
    return static_cast<double>(with) / ((i1 - i0) * (j1 - j0));
  };
  const double half_x = model.core().width / 2.0, half_y = model.core().height / 2.0;
  const auto elsewhere = [&](double x, double y) {
    return share(x, y, half_x, half_y) < 0.1 || is_taken(x, y, half_x, half_y);
  };
  Fit best = model.search(now, guess, reach, {true, elsewhere});
  best.good = alike(best);
  return best;
}

// What has left its place in this picture.
void Follow::look_for_left() {
  const Kept& now = kept_.back();
  std::vector<Track> left;
  while (!departures_.empty() && now.t_us - departures_.front().left_us > told_for_us)
    departures_.pop_front();
  const auto lay_there = static_cast<int>(
      std::count_if(lying_.begin(), lying_.end(), [](const Lying& lying) { return lying.seen >= lay_for; }));
  for (Lying& lying : lying_) {
    if (lying.missed == 0 || lying.seen < lay_for || !lying.model || lying.missed > looked_for) continue;
    const Pose lay{lying.plate.x, lying.plate.y, 1, 0};
    Track track = track_of(lying);
    const Fit fit = look_for_cut(track, track.samples, now);
    // What lay there twice, by two plates of it, is one.
    const auto is_this = [&](const Track& other) {
      const Pose &from = other.samples.front().pose, &at = other.samples.back().pose;
      return other.cut && (far(at, fit.pose) < stays_px ||
                           (far(from, lay) < std::min(other.half_width, other.half_height) &&
                            std::hypot(at.x - from.x - fit.pose.x + lay.x,
                                       at.y - from.y - fit.pose.y + lay.y) < stays_px));
    };
    const bool known = std::any_of(candidates_.begin(), candidates_.end(), is_this) ||
                       std::any_of(left.begin(), left.end(), is_this);
    if (!fit.good || known || far(fit.pose, lay) < stays_px) {
      lying.model = std::move(track.model);
      continue;
    }
    lying.missed = looked_for + 1;
    track.samples.push_back(sample_of(now.frame, now.t_us, fit));
    track.usual = fit.misfit;
    track.away = track.reach = far(lay, fit.pose);
    departures_.push_back({track.left_us, track.off_us, fit.pose.x - lay.x, fit.pose.y - lay.y, lay_there});
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
  const Kept* off = kept_at(lying.lay + 1);
  track.left_us = now.t_us, track.off_us = off ? off->t_us : now.t_us;
  return track;
}

// Did others leave their places after it, and none with it or shortly before? Then they made room for it.
bool Follow::made_room_for(const Track& track) const {
  constexpr std::int64_t before_us = 600'000;
  int with = 0, after = 0;
  for (const Departure& other : departures_) {
    if (other.left_us < track.left_us && other.left_us > track.left_us - before_us) return false;
    with += other.left_us == track.left_us, after += other.left_us > track.left_us;
  }
  return with == 1 && after > 0 && !left_with_page(track);
}

// Did another leave its place too and was it as far off, the same way, at the same time? So do the things of
// a page. A hand takes one, and what makes room for it goes another way. And where most of what lay left as
// one, it went with them, even if what was found elsewhere is another that looks like it.
bool Follow::left_with_page(const Track& track) const {
  constexpr std::int64_t about_us = 130'000;
  const auto& s = track.samples;
  const auto same_way = [&](const Sample& at, double dx, double dy) {
    return at.known &&
           std::hypot(at.pose.x - s.front().pose.x - dx, at.pose.y - s.front().pose.y - dy) < stays_px;
  };
  int with = 0, at_once = 0, of = 0;
  for (const Departure& other : departures_) {
    const auto then =
        std::find_if(s.begin(), s.end(), [&](const Sample& at) { return at.t_us == other.left_us; });
    with += then != s.end() && same_way(*then, other.dx, other.dy);
    if (other.off_us > track.off_us || track.off_us - other.off_us > about_us) continue;  // makes room
    const auto as_one = std::count_if(departures_.begin(), departures_.end(), [&](const Departure& d) {
      return d.left_us == other.left_us && std::hypot(d.dx - other.dx, d.dy - other.dy) < stays_px;
    });
    if (as_one > 2 && 2 * as_one > other.of) return true;
    at_once += other.off_us == track.off_us, of = std::max(of, other.of);
  }
  if (at_once > 2 && 4 * at_once >= 3 * of) return true;  // all of a page that is gone already
  if (with > 1) return true;                              // itself is one
  return std::any_of(candidates_.begin(), candidates_.end(), [&](const Track& other) {
    const Pose &from = other.samples.front().pose, &now = other.samples.back().pose;
    return &other != &track && other.cut && far(from, s.front().pose) > track.half_height &&
           other.samples.back().known && far(from, now) > stays_px &&
           same_way(s.back(), now.x - from.x, now.y - from.y);
  });
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
  if (!made_room_for(track) && (is_slot(now.x, now.y) || left_with_page(track) || is_page(track)))
    return false;
  trace_back_cut(track);
  held_ = std::move(track);
  candidates_.clear();
  ++contacts_;
  return true;
}

}  // namespace paneproof::video
