// In a recording of few pictures a second: what lies on plain ground, picture by picture, and where.
#include "capture/video/lying.hpp"

#include <algorithm>
#include <cmath>

#include "capture/video/follow.hpp"
#include "capture/video/let_go.hpp"
#include "capture/video/on_ground.hpp"

namespace paneproof::video {
namespace {

constexpr std::int64_t slow_us = 75'000;  // from picture to picture
constexpr std::size_t asked_back = 8;     // pictures
constexpr int settles_for = 3;            // pictures
constexpr std::size_t most_slots = 256;

// As large as before, or lifted there.
bool same_place(const Plate& a, const Plate& b) {
  constexpr double lifted = 0.15;
  return std::abs(a.x - b.x) < stays_px && std::abs(a.y - b.y) < stays_px &&
         std::abs(a.width - b.width) < std::max(2 * stays_px, lifted * b.width) &&
         std::abs(a.height - b.height) < std::max(2 * stays_px, lifted * b.height);
}

bool covers(const Plate& plate, double x, double y) {
  return std::abs(plate.x - x) < plate.width / 2 && std::abs(plate.y - y) < plate.height / 2;
}

}  // namespace

bool other_size(const Plate& plate, double width, double height) {
  const double by_x = plate.width / width - 1, by_y = plate.height / height - 1;
  return by_x * by_y > 0 && std::min(std::abs(by_x), std::abs(by_y)) > least_raised &&
         std::min(std::abs(plate.width - width), std::abs(plate.height - height)) > 1;
}

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
      if (lying.seen == lay_for && !is_slot(lying.x, lying.y) && !is_held_at(lying.x, lying.y)) {
        slots_.emplace_back(lying.x, lying.y);
        if (slots_.size() > most_slots) slots_.pop_front();
      }
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

}  // namespace paneproof::video
