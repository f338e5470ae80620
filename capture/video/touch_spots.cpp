// The dots and rings of touch.hpp: where each goes, and where one comes.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <optional>

#include "capture/video/touch.hpp"

namespace paneproof::video {
namespace {

struct Weighed {
  int with = 0, at = 0;
};

// How much of a row differs, in twelfths a pixel from three levels on, and that times the pixel's number.
Weighed weigh(const std::uint8_t* __restrict seen, const std::uint8_t* __restrict ground, int count) {
  int with = 0, at = 0;
  for (int i = 0; i < count; ++i) {
    const int w = std::max(0, std::min(12, std::abs(seen[i] - ground[i]) - 3));
    with += w, at += w * i;
  }
  return {with, at};
}

}  // namespace

// The middle of what differs within a disc about (x, y), to a fraction of a px; false when less than `least`
// of the disc differs.
bool Touches::centre(const Plane& plane, double size, double& x, double& y, double least) const {
  const double reach = 0.62 * size + 1;
  double share = 0;
  for (int turn = 0; turn < 6; ++turn) {
    double sx = 0, sy = 0, n = 0, all = 0;
    const int y0 = std::max(0, static_cast<int>(y - reach)),
              y1 = std::min(height_ - 1, static_cast<int>(y + reach));
    for (int j = y0; j <= y1; ++j) {
      const double v = j + 0.5 - y, left = reach * reach - v * v;
      if (left < 0) continue;
      const double half = std::sqrt(left);
      const int x0 = std::max(0, static_cast<int>(std::ceil(x - half - 0.5))),
                x1 = std::min(width_ - 1, static_cast<int>(std::floor(x + half - 0.5)));
      if (x1 < x0) continue;
      const auto [with, at] =
          weigh(plane.row(j) + x0, ground_.data() + static_cast<std::size_t>(j) * width_ + x0, x1 - x0 + 1);
      all += x1 - x0 + 1;
      n += with / 12.0, sx += (at + with * (x0 + 0.5)) / 12.0, sy += with * (j + 0.5) / 12.0;
    }
    share = all > 0 ? n / all : 0;
    if (share < least) return false;
    const double dx = sx / n - x, dy = sy / n - y;
    x += dx, y += dy;
    if (std::hypot(dx, dy) < 0.02) break;
  }
  return true;
}

// Was there nothing at this place in the pictures before?
bool Touches::fresh(const Spot& spot) const {
  if (before_.size() < 2) return false;
  const double room = 0.5 * std::max(spot.width, spot.height) + 2;
  for (const auto& spots : before_)
    for (const Spot& s : spots)
      if (s.x0 < spot.x1 + room && s.x1 > spot.x0 - room && s.y0 < spot.y1 + room && s.y1 > spot.y0 - room &&
          !s.taken)
        return false;
  return true;
}

// As light as its ground there, so that it cannot be seen?
bool Touches::hidden(const Contact& contact, double x, double y) const {
  double sum = 0, n = 0;
  const double r = contact.size / 2;
  for (int j = static_cast<int>(y - r); j <= static_cast<int>(y + r); ++j)
    for (int i = static_cast<int>(x - r); i <= static_cast<int>(x + r); ++i)
      if (i >= 0 && j >= 0 && i < width_ && j < height_)
        sum += ground_[static_cast<std::size_t>(j) * width_ + i], ++n;
  return n == 0 || std::abs(sum / n - contact.level) < 16;
}

// Where a contact goes on by its own motion, half as far again at most.
void Touches::expect(const Contact& contact, std::int64_t t_us, double& x, double& y) const {
  const At *a = nullptr, *b = nullptr;
  for (auto at = contact.way.rbegin(); at != contact.way.rend() && !b; ++at)
    if (at->known) (a ? b : a) = &*at;
  x = a->x, y = a->y;
  if (!b || a->t_us <= b->t_us || t_us - a->t_us >= 100'000) return;
  const double f =
      std::min(3.0, static_cast<double>(t_us - a->t_us) / static_cast<double>(a->t_us - b->t_us));
  x = std::clamp(x + f * (a->x - b->x), 0.0, 1.0 * width_);
  y = std::clamp(y + f * (a->y - b->y), 0.0, 1.0 * height_);
}

// A round mark and nothing else: its look explains it, and what it left is the ground again. What was dragged
// away from its place has a drawing on it, and left a hole.
bool Touches::alone(const Plane& plane, Contact& contact, double x, double y) const {
  if (crowded_ > most_crowded || contact.look.learnt() < (contact.came ? 10 : 12) ||
      contact.reach <= (contact.came ? 0.04 : 0.06) * width_)
    return false;
  if (!contact.came && (contact.known() * 10 <= 7 * static_cast<std::int64_t>(contact.way.size()) ||
                        !restored(plane, contact.way.front().x, contact.way.front().y, contact.size, 0.3)))
    return false;
  contact.look.settle();
  return contact.look.at(plane, ground_, unrest_, x, y).share() >= 0.6;
}

// By a round spot of its size, before its look is known.
bool Touches::find_spot(const Plane& plane, Contact& contact, std::vector<Spot>& found, double& x,
                        double& y) {
  Spot* best = nullptr;
  double least = 1.2 * contact.size + 0.1 * width_;
  const auto at_side = [&](const Spot& s) {
    return s.x0 <= 1 || s.y0 <= 1 || s.x1 >= width_ - 2 || s.y1 >= height_ - 2;
  };
  for (Spot& spot : found) {
    const bool whole = std::abs(spot.width - contact.size) < 0.3 * contact.size + 3 &&
                       std::abs(spot.height - contact.size) < 0.3 * contact.size + 3;
    const bool cut =
        at_side(spot) && spot.width < 1.3 * contact.size + 3 && spot.height < 1.3 * contact.size + 3;
    if (spot.taken || !(whole || cut)) continue;
    const double d = std::hypot(spot.x - x, spot.y - y);
    if (d < least) least = d, best = &spot;
  }
  contact.hidden = hidden(contact, x, y);
  if (!best) {  // joined with something else that differs: what differs within its own disc
    const double px = x, py = y;
    return crowded_ < 0.3 && centre(plane, contact.size, x, y, 0.45) &&
           std::hypot(x - px, y - py) < 0.5 * contact.size;
  }
  best->taken = true;
  contact.round += best->round || at_side(*best);
  x = best->x, y = best->y;
  bool known = centre(plane, contact.size, x, y, 0.1);
  if (known && best->round && !at_side(*best) && crowded_ < most_crowded) {
    contact.look.take_in(plane, ground_, x, y);
    if (alone(plane, contact, x, y)) look_ = contact.look, doubtful_ = !contact.came;
  }
  // Cut off by the picture's side: its middle lies half its size from what is seen of it.
  const double r = contact.size / 2;
  if (best->x0 <= 1) x = best->x1 - 0.5 - r;
  if (best->x1 >= width_ - 2) x = best->x0 + 0.5 + r;
  if (best->y0 <= 1) y = best->y1 - 0.5 - r;
  if (best->y1 >= height_ - 2) y = best->y0 + 0.5 + r;
  return known || at_side(*best);
}

// Is another contact expected nearer to where one was found?
bool Touches::nearer_to_other(std::size_t number, const At& found) const {
  double x = 0, y = 0;
  expect(open_[number], found.t_us, x, y);
  const double off = std::hypot(found.x - x, found.y - y);
  for (std::size_t c = 0; c < open_.size(); ++c) {
    if (c == number || open_[c].cross || open_[c].missed > 0) continue;
    expect(open_[c], found.t_us, x, y);
    if (std::hypot(found.x - x, found.y - y) < off) return true;
  }
  return false;
}

// For how long it has not gone a px from where it is.
std::int64_t Touches::rested_us(const Contact& contact, std::int64_t t_us) {
  const At& now = contact.way.back();
  const auto moved = std::find_if(contact.way.rbegin(), contact.way.rend(),
                                  [&](const At& a) { return std::hypot(a.x - now.x, a.y - now.y) > 1; });
  return t_us - (moved == contact.way.rend() ? contact.way.front() : *moved).t_us;
}

void Touches::follow_spots(const Plane& plane, std::vector<Spot>& found, std::int64_t frame,
                           std::int64_t t_us) {
  // A mark where another contact is going is that one's: who finds its own goes first.
  std::vector<std::optional<At>> own(open_.size());
  for (std::size_t c = 0; look_.ready() && open_.size() > 1 && c < open_.size(); ++c)
    if (!open_[c].cross && open_[c].missed == 0) {
      At at{frame, t_us, 0, 0, true};
      expect(open_[c], t_us, at.x, at.y);
      if (find_look(plane, open_[c], at.x, at.y) && !nearer_to_other(c, at)) {
        own[c] = at;
        explain(at.x, at.y);
      }
    }
  for (std::size_t c = 0, k = 0; c < open_.size(); ++k) {
    Contact& contact = open_[c];
    if (contact.cross) {
      ++c;
      continue;
    }
    double x = 0, y = 0;
    expect(contact, t_us, x, y);
    const bool known = own[k]          ? (x = own[k]->x, y = own[k]->y, true)
                       : look_.ready() ? find_look(plane, contact, x, y)
                                       : find_spot(plane, contact, found, x, y);
    if (known && look_.ready()) {
      if (!own[k]) explain(x, y);
      const double room = 0.75 * contact.size + 2;
      for (Spot& spot : found)
        spot.taken |= spot.x0 > x - room && spot.x1 < x + room && spot.y0 > y - room && spot.y1 < y + room;
    }
    const bool gone = !known && look_.ready() && crowded_ <= 0.3 && !contact.hidden &&
                      restored(plane, x, y, contact.size, 0.1);
    contact.way.push_back({frame, t_us, x, y, known, gone});
    contact.reach = std::max(contact.reach, std::hypot(x - contact.way.front().x, y - contact.way.front().y));
    contact.missed = known ? 0 : contact.missed + 1;
    contact.unseen = !known && (contact.unseen || crowded_ > 0.3 || contact.hidden);
    const auto seen =
        std::find_if(contact.way.rbegin(), contact.way.rend(), [](const At& a) { return a.known; });
    const bool waits = contact.unseen && t_us - seen->t_us < unseen_us;
    // What was not seen to come and lies still is ground. So is what moves when a page turns.
    if (!look_.ready() && !contact.came && (crowded_ > most_crowded || rested_us(contact, t_us) > 500'000)) {
      open_.erase(open_.begin() + static_cast<std::ptrdiff_t>(c));
    } else if (contact.missed > most_missed && !waits) {
      contact.lost = contact.unseen;
      if (!look_.ready() && !contact.came) contact.way.clear();
      end(std::move(contact), true, &plane);
      open_.erase(open_.begin() + static_cast<std::ptrdiff_t>(c));
    } else {
      ++c;
    }
  }
}

bool Touches::start(const Plane& plane, double x, double y, double size, std::int64_t frame,
                    std::int64_t t_us) {
  if (open_.size() >= 10 || std::any_of(open_.begin(), open_.end(), [&](const Contact& c) {
        return !c.cross && c.missed == 0 && std::hypot(c.way.back().x - x, c.way.back().y - y) < 0.6 * size;
      }))
    return false;
  Contact contact;
  contact.size = size;
  contact.look = TouchLook(size);
  double sum = 0, n = 0;
  const double r = size / 2;
  for (int j = std::max(0, static_cast<int>(y - r)); j < std::min<double>(height_, y + r); ++j)
    for (int i = std::max(0, static_cast<int>(x - r)); i < std::min<double>(width_, x + r); ++i) {
      const std::size_t k = static_cast<std::size_t>(j) * width_ + i;
      if (std::abs(plane.luma[k] - ground_[k]) > telling) sum += plane.luma[k], ++n;
    }
  contact.level = n > 0 ? sum / n : 128;
  contact.way.push_back({frame, t_us, x, y, true});
  contact.round = 1;
  open_.push_back(std::move(contact));
  return true;
}

// Did it lie elsewhere until now? There the ground still shows what is here now, and the picture does not.
// What moves aside leaps from its place; a mark comes from nothing.
bool Touches::moved_here(const Plane& plane, const Spot& spot, const std::vector<Spot>& found) const {
  return std::any_of(found.begin(), found.end(), [&](const Spot& left) {
    if (&left == &spot || left.width < 0.5 * spot.width || left.height < 0.5 * spot.height) return false;
    constexpr int about = 4;  // px: with what is about it, or one flat part would look like any other
    const int w = spot.x1 - spot.x0 + 2 * about, h = spot.y1 - spot.y0 + 2 * about;
    for (int oy = -4; oy <= 4; oy += 2)
      for (int ox = -4; ox <= 4; ox += 2)
        for (const int side : {0, 1}) {  // by its top left, or its bottom right: it may be joined with others
          const int dx = (side ? left.x1 - spot.x1 : left.x0 - spot.x0) + ox,
                    dy = (side ? left.y1 - spot.y1 : left.y0 - spot.y0) + oy;
          double off = 0, drawn = 0;
          int n = 0;
          for (int y = spot.y0 - about; y < spot.y1 + about; ++y)
            for (int x = spot.x0 - about; x < spot.x1 + about; ++x) {
              if (x < 0 || y < 0 || x >= width_ || y >= height_) continue;
              const int px = x + dx, py = y + dy;
              if (px < 0 || py < 0 || px >= width_ || py >= height_) continue;
              const std::size_t here = static_cast<std::size_t>(y) * width_ + x,
                                there = static_cast<std::size_t>(py) * width_ + px;
              off += std::abs(plane.luma[here] - ground_[there]);
              drawn += std::abs(plane.luma[there] - ground_[there]), ++n;
            }
          if (2 * n > w * h && drawn > 3 * n && off < 0.3 * drawn) return true;
        }
    return false;
  });
}

void Touches::start_spots(const Plane& plane, std::vector<Spot>& found, std::int64_t frame,
                          std::int64_t t_us) {
  if (look_.ready()) {
    keep_wide(found, t_us);
    if (frames_ % 3 == 0 && crowded_ < most_crowded) start_alike(plane, frame, t_us);
    return;
  }
  for (Spot& spot : found) {
    const double size = (spot.width + spot.height) / 2 - 1;
    if (spot.taken || !spot.round || size < smallest * width_ || size > largest * width_ ||
        crowded_ > most_crowded)
      continue;
    double x = spot.x, y = spot.y;
    const bool came = fresh(spot) && !moved_here(plane, spot, found);
    if (!centre(plane, size, x, y, 0.1) || !start(plane, x, y, size, frame, t_us)) continue;
    spot.taken = true, open_.back().came = came;
  }
}

}  // namespace paneproof::video
