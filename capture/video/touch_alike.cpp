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
  // One that was missed comes again where the ground is known about it, or not for certain.
  const double most_about = contact.missed > most_missed ? 0.4 : 0.65;
  const bool known =
      match.visible() && match.share() > 0.4 && look_.differs_about(plane, ground_, x, y) < most_about;
  if (!known) x = ex, y = ey;
  contact.hidden = !known && may_hide(plane, contact, ex, ey);
  if (known && match.share() > 0.7 && frames_ % 3 == 0) look_.learn(plane, ground_, x, y);
  contact.round += known;
  return known;
}

// Might a mark be about (x, y), where it should be, and not be seen? By how far it may have gone since: the
// ground there may be as light as the mark, or not be known.
bool Touches::may_hide(const Plane& plane, const Contact& contact, double x, double y) const {
  if (in_wide(x, y) || look_.differs_about(plane, ground_, x, y) > 0.65) return true;
  const auto seen =
      std::find_if(contact.way.rbegin(), contact.way.rend(), [](const At& a) { return a.known; });
  const double gone = seen == contact.way.rend() ? 0 : std::hypot(x - seen->x, y - seen->y);
  const double reach = 0.5 * look_.size() + 0.4 * gone;
  int hidden = 0;
  for (const auto& [u, v] :
       {std::pair{0, 0}, {1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, -1}, {1, -1}, {-1, 1}}) {
    const double px = x + reach * u, py = y + reach * v;
    const bool out = px < 0 || py < 0 || px > width_ || py > height_;
    if (out || look_.surely_seen(plane, ground_, px, py)) continue;
    if (u == 0 && v == 0) return true;
    ++hidden;
  }
  return hidden >= 3;
}

// Is a mark that was just found (the last of the open ones) one that was missed where it could not be seen?
// Then it goes on with it. Speeds are bounded by the mark's own just before, and three widths a second.
bool Touches::gone_on(std::size_t number) {
  Contact& found = open_[number];
  const At& first = found.way.front();
  Contact* best = nullptr;
  double least = 0;
  for (Contact& c : open_) {
    if (&c == &found || c.cross || !c.unseen || c.missed == 0) continue;
    auto seen = c.way.rbegin();
    while (seen != c.way.rend() && !seen->known) ++seen;
    if (seen == c.way.rend() || seen->frame >= first.frame) continue;
    auto before = seen;
    while (before != c.way.rend() && seen->t_us - before->t_us < 60'000) ++before;
    if (before == c.way.rend()) --before;
    const double own = before->t_us < seen->t_us ? std::hypot(seen->x - before->x, seen->y - before->y) /
                                                       static_cast<double>(seen->t_us - before->t_us)
                                                 : 0,
                 gap_us = static_cast<double>(first.t_us - seen->t_us),
                 off = std::hypot(first.x - seen->x, first.y - seen->y) -
                       std::max(2 * own, 3e-6 * width_) * gap_us;
    if (off < look_.size() && (!best || off < least)) best = &c, least = off;
  }
  if (!best) return false;
  std::erase_if(best->way, [&](const At& a) { return a.frame >= first.frame; });
  best->way.insert(best->way.end(), found.way.begin(), found.way.end());
  best->round += found.round, best->missed = 0, best->unseen = false;
  for (const At& a : found.way)
    best->reach = std::max(best->reach, std::hypot(a.x - best->way.front().x, a.y - best->way.front().y));
  open_.erase(open_.begin() + static_cast<std::ptrdiff_t>(number));
  return true;
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
  struct Place {
    double gain, x, y;
  };
  std::vector<Place> places;
  const TouchLook::Quiet quiet = look_.quiet(plane, ground_);
  for (double y = 0; y <= height_; y += stride)
    for (double x = 0; x <= width_; x += stride) {
      if (quiet.at(static_cast<int>(x), static_cast<int>(y))) {
        x += stride *
             std::floor((TouchLook::Quiet::block - 1 - std::fmod(x, TouchLook::Quiet::block)) / stride);
        continue;
      }
      if (!look_.maybe(plane, ground_, x, y)) continue;
      if (std::any_of(open_.begin(), open_.end(), [&](const Contact& c) {
            return std::hypot(c.way.back().x - x, c.way.back().y - y) < 0.3 * look_.size();
          }))
        continue;
      const TouchLook::Match match = look_.at(plane, ground_, unrest_, x, y, 3);
      if (match.share() > 0.2) places.push_back({match.gain, x, y});
    }
  // The likeliest first, wherever they lie.
  std::stable_sort(places.begin(), places.end(),
                   [](const Place& a, const Place& b) { return a.gain > b.gain; });
  std::vector<Place> asked;
  for (const Place& place : places) {
    if (asked.size() >= most_asked) break;
    // What was looked for beside it was looked for here as well.
    if (std::any_of(asked.begin(), asked.end(), [&](const Place& a) {
          return std::abs(a.x - place.x) <= 2 * stride && std::abs(a.y - place.y) <= 2 * stride;
        }))
      continue;
    asked.push_back(place);
    double bx = place.x, by = place.y;
    const TouchLook::Match match = look_.find(plane, ground_, unrest_, bx, by, 2 * stride, 0.6);
    if (match.share() < 0.6 || !match.visible() || match.pixels < 12 || in_wide(bx, by) ||
        look_.differs_about(plane, ground_, bx, by) > 0.4)
      continue;
    if (!start(plane, bx, by, look_.size(), frame, t_us)) continue;
    trace_back(open_.back());
    gone_on(open_.size() - 1);
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
    if (last.t_us - old->t_us > unseen_us) break;
    double x = last.x, y = last.y;
    if (before.t_us != last.t_us && last.t_us - old->t_us < 100'000) {
      const double f =
          static_cast<double>(last.t_us - old->t_us) / static_cast<double>(before.t_us - last.t_us);
      x += std::min(f, 2.0) * (last.x - before.x), y += std::min(f, 2.0) * (last.y - before.y);
    }
    const double ex = x, ey = y;
    const TouchLook::Match match =
        look_.find(old->plane, ground_, unrest_, x, y, 0.5 * look_.size() + 0.02 * width_);
    const bool known = match.visible() && match.share() > 0.4 && !others(old->frame, x, y);
    if (known)
      missed = 0;
    else if (look_.surely_seen(old->plane, ground_, ex, ey))
      ++missed;
    back.push_back({old->frame, old->t_us, x, y, known});
    if (known) before = last, last = back.back(), ++contact.round;
  }
  while (!back.empty() && !back.back().known) back.pop_back();
  contact.way.insert(contact.way.begin(), back.rbegin(), back.rend());
}

}  // namespace paneproof::video
