// Marks of touch.hpp whose look is known (touch_look.hpp).
#include <algorithm>
#include <cmath>

#include "capture/video/touch.hpp"

namespace paneproof::video {

// By its look: where it explains most of what differs from the ground.
bool Touches::find_look(const Plane& plane, Contact& contact, double& x, double& y) {
  const double ex = x, ey = y;
  TouchLook::Match match = look_.find(plane, ground_, unrest_, x, y, 0.6 * look_.size() + 0.03 * width_);
  if (match.share() < 0.5 || !match.visible()) {
    double fx = contact.way.back().x, fy = contact.way.back().y;
    const TouchLook::Match farther = look_.find(plane, ground_, unrest_, fx, fy, 0.2 * width_);
    if (farther.share() > 0.6 && farther.visible()) match = farther, x = fx, y = fy;
  }
  const bool known =
      match.visible() && match.share() > 0.4 && look_.differs_about(plane, ground_, x, y) < 0.65;
  if (!known) x = ex, y = ey;
  contact.hidden = in_wide(ex, ey) || !look_.at(plane, ground_, unrest_, ex, ey).visible() ||
                   look_.differs_about(plane, ground_, ex, ey) > 0.65;  // another ground than was known
  if (known && match.share() > 0.7 && frames_ % 3 == 0) look_.learn(plane, ground_, x, y);
  contact.round += known;
  return known;
}

// Lays the mark over the ground for the rest of this picture: what it explains is no other's.
void Touches::explain(double x, double y) {
  if (explained_.empty()) explained_ = ground_;
  look_.paint(ground_, width_, height_, x, y);
}

// Where something much larger than a mark, such as a banner, came over the ground or went within the last
// quarter of a second: what differs there is not known yet.
void Touches::keep_wide(const std::vector<Spot>& found, std::int64_t t_us) {
  std::erase_if(wide_, [&](const Wide& w) { return t_us - w.t_us > 250'000; });
  for (const Spot& s : found)
    if (std::max(s.width, s.height) > 6 * look_.size()) wide_.push_back({s.x0, s.y0, s.x1, s.y1, t_us});
  if (wide_.size() > 200) wide_.erase(wide_.begin(), wide_.end() - 200);
}

bool Touches::in_wide(double x, double y) const {
  const double room = 0.6 * look_.size();
  return std::any_of(wide_.begin(), wide_.end(), [&](const Wide& w) {
    return w.x0 < x + room && w.x1 > x - room && w.y0 < y + room && w.y1 > y - room;
  });
}

// Marks whose look is known, wherever they are: joined with other things, over them, cut off by a side.
void Touches::start_alike(const Plane& plane, std::int64_t frame, std::int64_t t_us) {
  constexpr double stride = 2;
  constexpr std::size_t most_asked = 20;
  std::vector<std::pair<double, double>> asked;
  // What was looked for beside it was looked for here as well.
  const auto beside = [&](double x, double y) {
    return std::any_of(asked.rbegin(), asked.rend(), [&](const auto& a) {
      return std::abs(a.first - x) <= stride && y - a.second <= stride;
    });
  };
  const TouchLook::Quiet quiet = look_.quiet(plane, ground_);
  for (double y = 0; y <= height_; y += stride)
    for (double x = 0; x <= width_ && asked.size() < most_asked; x += stride) {
      if (quiet.at(static_cast<int>(x), static_cast<int>(y))) {
        x += stride *
             std::floor((TouchLook::Quiet::block - 1 - std::fmod(x, TouchLook::Quiet::block)) / stride);
        continue;
      }
      if (!look_.maybe(plane, ground_, x, y) || beside(x, y)) continue;
      if (std::any_of(open_.begin(), open_.end(), [&](const Contact& c) {
            return std::hypot(c.way.back().x - x, c.way.back().y - y) < 0.3 * look_.size();
          }))
        continue;
      asked.emplace_back(x, y);
      double bx = x, by = y;
      const TouchLook::Match match = look_.find(plane, ground_, unrest_, bx, by, 2 * stride, 0.6);
      if (match.share() < 0.6 || !match.visible() || match.pixels < 12 || in_wide(bx, by) ||
          look_.differs_about(plane, ground_, bx, by) > 0.4)
        continue;
      if (!start(plane, bx, by, look_.size(), frame, t_us)) continue;
      trace_back(open_.back());
      explain(bx, by);
    }
}

// Through the pictures kept to where it came.
void Touches::trace_back(Contact& contact) {
  std::vector<At> back;
  int missed = 0;
  const auto others = [&](std::int64_t frame, double x, double y) {
    return std::any_of(open_.begin(), open_.end(), [&](const Contact& c) {
      if (&c == &contact || c.cross) return false;
      const auto at =
          std::find_if(c.way.rbegin(), c.way.rend(), [&](const At& a) { return a.frame <= frame; });
      return at != c.way.rend() && at->frame == frame &&
             std::hypot(at->x - x, at->y - y) < 0.6 * look_.size();
    });
  };
  At last = contact.way.front(), before = last;
  if (contact.way.size() > 1 && contact.way[1].known) before = contact.way[1];
  for (auto old = old_.rbegin(); old != old_.rend() && missed < 3; ++old) {
    if (old->frame >= contact.way.front().frame) continue;
    double x = last.x, y = last.y;
    if (before.t_us != last.t_us && last.t_us - old->t_us < 100'000) {
      const double f =
          static_cast<double>(last.t_us - old->t_us) / static_cast<double>(before.t_us - last.t_us);
      x += std::min(f, 2.0) * (last.x - before.x), y += std::min(f, 2.0) * (last.y - before.y);
    }
    const TouchLook::Match match =
        look_.find(old->plane, ground_, unrest_, x, y, 0.5 * look_.size() + 0.02 * width_);
    const bool known = match.visible() && match.share() > 0.4 && !others(old->frame, x, y);
    missed = known ? 0 : missed + 1;
    back.push_back({old->frame, old->t_us, x, y, known});
    if (known) before = last, last = back.back(), ++contact.round;
  }
  while (!back.empty() && !back.back().known) back.pop_back();
  contact.way.insert(contact.way.begin(), back.rbegin(), back.rend());
}

}  // namespace paneproof::video
