#include "capture/video/touch.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "capture/video/let_go.hpp"

namespace paneproof::video {
namespace {

constexpr int telling = 10;                         // levels from the ground
constexpr double smallest = 0.025, largest = 0.18;  // of the picture's width

}  // namespace

// The ground is what stayed the same for a quarter of a second, but not where a finger is.
void Touches::learn_ground(const Plane& plane) {
  const auto size = plane.luma.size();
  if (ground_.size() != size) {
    ground_ = last_ = plane.luma;
    quiet_.assign(size, 0);
    width_ = plane.width, height_ = plane.height;
    return;
  }
  std::vector<std::uint8_t> kept_out(static_cast<std::size_t>(plane.width));
  for (int y = static_cast<int>(frames_ % 3); y < plane.height; y += 3) {
    std::fill(kept_out.begin(), kept_out.end(), std::uint8_t{0});
    for (const Contact& c : open_) {
      if (c.cross || std::abs(y + 0.5 - c.way.back().y) > 0.8 * c.size + 2) continue;
      const int x0 = std::max(0, static_cast<int>(c.way.back().x - 0.8 * c.size - 2)),
                x1 = std::min(plane.width, static_cast<int>(c.way.back().x + 0.8 * c.size + 3));
      if (x0 < x1) std::fill(kept_out.begin() + x0, kept_out.begin() + x1, std::uint8_t{1});
    }
    const std::size_t row = static_cast<std::size_t>(y) * plane.width;
    for (int x = 0; x < plane.width; ++x) {
      const std::size_t k = row + static_cast<std::size_t>(x);
      const int now = plane.luma[k];
      const bool same = std::abs(now - last_[k]) < 4;
      last_[k] = static_cast<std::uint8_t>(now);
      quiet_[k] = same && !kept_out[static_cast<std::size_t>(x)]
                      ? static_cast<std::uint8_t>(std::min(quiet_[k] + 1, 250))
                      : 0;
      if (quiet_[k] >= 6)
        ground_[k] = static_cast<std::uint8_t>((3 * ground_[k] + now + (now > ground_[k] ? 3 : 0)) / 4);
    }
  }
}

std::vector<Touches::Spot> Touches::spots(const Plane& plane) {
  const int w = plane.width / step, h = plane.height / step;
  differs_.assign(static_cast<std::size_t>(w) * h, 0);
  std::size_t many = 0;
  for (int y = 0; y < h; ++y) {
    const std::size_t from = static_cast<std::size_t>(y * step) * plane.width;
    for (int x = 0; x < w; ++x) {
      const std::size_t k = from + static_cast<std::size_t>(x * step);
      const bool d = std::abs(plane.luma[k] - ground_[k]) > telling;
      differs_[static_cast<std::size_t>(y) * w + x] = d;
      many += d;
    }
  }
  crowded_ = static_cast<double>(many) / static_cast<double>(std::max<std::size_t>(1, differs_.size()));
  std::vector<Spot> found;
  if (crowded_ > 0.3) return found;
  std::vector<int> open, part;
  for (int start = 0; start < w * h; ++start) {
    if (differs_[static_cast<std::size_t>(start)] != 1) continue;
    open.assign(1, start);
    part.clear();
    differs_[static_cast<std::size_t>(start)] = 2;
    int x0 = w, y0 = h, x1 = 0, y1 = 0;
    while (!open.empty()) {
      const int k = open.back(), x = k % w, y = k / w;
      open.pop_back();
      part.push_back(k);
      x0 = std::min(x0, x), x1 = std::max(x1, x), y0 = std::min(y0, y), y1 = std::max(y1, y);
      for (int dy = -1; dy <= 1; ++dy)
        for (int dx = -1; dx <= 1; ++dx) {
          const int nx = x + dx, ny = y + dy;
          if (nx < 0 || ny < 0 || nx >= w || ny >= h) continue;
          std::uint8_t& d = differs_[static_cast<std::size_t>(ny) * w + nx];
          if (d == 1) d = 2, open.push_back(ny * w + nx);
        }
    }
    if (part.size() < 5) continue;
    Spot spot;
    spot.x0 = x0 * step, spot.y0 = y0 * step, spot.x1 = (x1 + 1) * step, spot.y1 = (y1 + 1) * step;
    spot.width = spot.x1 - spot.x0, spot.height = spot.y1 - spot.y0;
    spot.x = (spot.x0 + spot.x1) / 2.0, spot.y = (spot.y0 + spot.y1) / 2.0;
    const double a = (x1 - x0 + 1) / 2.0, b = (y1 - y0 + 1) / 2.0, cx = (x0 + x1) / 2.0, cy = (y0 + y1) / 2.0;
    const bool sized = std::min(a, b) * 2 * step > 0.8 * smallest * width_ &&
                       std::max(a, b) * 2 * step < 1.2 * largest * width_;
    if (sized && std::max(a, b) < 1.35 * std::min(a, b) + 0.6) {
      int outside = 0;
      unsigned sectors = 0;
      for (const int k : part) {
        const double u = (k % w - cx) / a, v = (k / w - cy) / b, r = u * u + v * v;
        outside += r > 1.17;
        if (r > 0.36) sectors |= 1u << static_cast<int>((std::atan2(v, u) + 3.1416) / 6.2833 * 7.99);
      }
      spot.round = sectors == 255u && outside < 0.05 * static_cast<double>(part.size());
    }
    found.push_back(spot);
    if (found.size() > 300) return {};
  }
  return found;
}

// The middle of what differs within a disc about (x, y), to a fraction of a px; false when less than `least`
// of the disc differs.
bool Touches::centre(const Plane& plane, double size, double& x, double& y, double least) const {
  const double reach = 0.62 * size + 1;
  double share = 0;
  for (int turn = 0; turn < 6; ++turn) {
    double sx = 0, sy = 0, n = 0, all = 0;
    for (int j = static_cast<int>(y - reach); j <= static_cast<int>(y + reach); ++j)
      for (int i = static_cast<int>(x - reach); i <= static_cast<int>(x + reach); ++i) {
        const double u = i + 0.5 - x, v = j + 0.5 - y;
        if (i < 0 || j < 0 || i >= width_ || j >= height_ || u * u + v * v > reach * reach) continue;
        ++all;
        const std::size_t k = static_cast<std::size_t>(j) * width_ + i;
        const double weight = std::clamp((std::abs(plane.luma[k] - ground_[k]) - 3) / 12.0, 0.0, 1.0);
        sx += weight * (i + 0.5), sy += weight * (j + 0.5), n += weight;
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

std::int64_t Touches::Contact::known() const {
  return std::count_if(way.begin(), way.end(), [](const At& at) { return at.known; });
}

// Is the ground seen again where it was last?
bool Touches::restored(const Plane& plane, const Contact& contact) const {
  const At& last = contact.way.back();
  const double r = contact.size / 2;
  double differ = 0, all = 0;
  for (int j = static_cast<int>(last.y - r); j <= static_cast<int>(last.y + r); ++j)
    for (int i = static_cast<int>(last.x - r); i <= static_cast<int>(last.x + r); ++i) {
      if (i < 0 || j < 0 || i >= width_ || j >= height_) continue;
      const std::size_t k = static_cast<std::size_t>(j) * width_ + i;
      differ += std::abs(plane.luma[k] - ground_[k]) > telling, ++all;
    }
  return differ <= 0.15 * all;
}

void Touches::end(Contact&& contact, bool went, const Plane* plane) {
  while (!contact.way.empty() && !contact.way.back().known) contact.way.pop_back();
  if (contact.way.size() < 6) return;
  contact.went = went && (contact.cross || (plane && restored(*plane, contact)));
  double reach = 0;
  for (const At& at : contact.way)
    reach = std::max(reach, std::hypot(at.x - contact.way.front().x, at.y - contact.way.front().y));
  if (reach < 0.05 * width_ && !contact.cross) return;
  if (!contact.cross && contact.round < 0.6 * static_cast<double>(contact.known())) return;
  if (contact.went || !went) closed_.push_back(std::move(contact));
}

void Touches::follow_spots(const Plane& plane, std::vector<Spot>& found, std::int64_t frame,
                           std::int64_t t_us) {
  for (std::size_t c = 0; c < open_.size();) {
    Contact& contact = open_[c];
    if (contact.cross) {
      ++c;
      continue;
    }
    const At *a = nullptr, *b = nullptr;
    for (auto at = contact.way.rbegin(); at != contact.way.rend() && !b; ++at)
      if (at->known) (a ? b : a) = &*at;
    double x = a->x, y = a->y;
    if (b && a->t_us > b->t_us && t_us - a->t_us < 100'000) {
      const double f =
          std::min(3.0, static_cast<double>(t_us - a->t_us) / static_cast<double>(a->t_us - b->t_us));
      x += f * (a->x - b->x), y += f * (a->y - b->y);
    }
    Spot* best = nullptr;
    double least = 1.2 * contact.size + 0.1 * width_;
    for (Spot& spot : found) {
      const bool whole = std::abs(spot.width - contact.size) < 0.3 * contact.size + 3 &&
                         std::abs(spot.height - contact.size) < 0.3 * contact.size + 3;
      const bool at_edge = spot.x0 <= 1 || spot.y0 <= 1 || spot.x1 >= width_ - 2 || spot.y1 >= height_ - 2;
      const bool cut = at_edge && spot.width < 1.3 * contact.size + 3 && spot.height < 1.3 * contact.size + 3;
      if (spot.taken || !(whole || cut)) continue;
      const double d = std::hypot(spot.x - x, spot.y - y);
      if (d < least) least = d, best = &spot;
    }
    bool known = false;
    if (best) {
      best->taken = true;
      contact.round +=
          best->round || best->x0 <= 1 || best->y0 <= 1 || best->x1 >= width_ - 2 || best->y1 >= height_ - 2;
      x = best->x, y = best->y;
      known = centre(plane, contact.size, x, y, 0.1);
      // Cut off by the picture's side: its middle lies half its size from what is seen of it.
      const double r = contact.size / 2;
      if (best->x0 <= 1) x = best->x1 - 0.5 - r;
      if (best->x1 >= width_ - 2) x = best->x0 + 0.5 + r;
      if (best->y0 <= 1) y = best->y1 - 0.5 - r;
      if (best->y1 >= height_ - 2) y = best->y0 + 0.5 + r;
      if (!known) known = best->x0 <= 1 || best->y0 <= 1 || best->x1 >= width_ - 2 || best->y1 >= height_ - 2;
    } else {
      // Joined with something else that differs: what differs within its own disc.
      const double px = x, py = y;
      known = crowded_ < 0.3 && centre(plane, contact.size, x, y, 0.45) &&
              std::hypot(x - px, y - py) < 0.5 * contact.size;
    }
    contact.way.push_back({frame, t_us, x, y, known});
    contact.missed = known ? 0 : contact.missed + 1;
    const bool waits = contact.missed < 40 && (crowded_ > 0.3 || hidden(contact, x, y));
    if (contact.missed > most_missed && !waits) {
      end(std::move(contact), true, &plane);
      open_.erase(open_.begin() + static_cast<std::ptrdiff_t>(c));
    } else {
      ++c;
    }
  }
}

void Touches::start_spots(const Plane& plane, std::vector<Spot>& found, std::int64_t frame,
                          std::int64_t t_us) {
  for (Spot& spot : found) {
    const double size = (spot.width + spot.height) / 2 - 1;
    if (spot.taken || !spot.round || size < smallest * width_ || size > largest * width_ ||
        open_.size() >= 10)
      continue;
    if (!fresh(spot)) continue;
    double x = spot.x, y = spot.y;
    if (!centre(plane, size, x, y, 0.1)) continue;
    Contact contact;
    contact.size = size;
    double sum = 0, n = 0;
    for (int j = spot.y0; j < spot.y1; ++j)
      for (int i = spot.x0; i < spot.x1; ++i) {
        const std::size_t k = static_cast<std::size_t>(j) * width_ + i;
        if (std::abs(plane.luma[k] - ground_[k]) > telling) sum += plane.luma[k], ++n;
      }
    contact.level = n > 0 ? sum / n : 128;
    contact.way.push_back({frame, t_us, x, y, true});
    contact.round = 1;
    spot.taken = true;
    open_.push_back(std::move(contact));
  }
}

// A system draws one kind of indicator, of one size: what else came and went is none.
void Touches::keep_one_kind() {
  double most = 0, size = 0;
  bool cross = false;
  const auto alike = [](const Contact& a, bool b_cross, double b_size) {
    return a.cross == b_cross && std::abs(a.size - b_size) < 0.15 * b_size + 1;
  };
  for (const Contact& a : closed_) {
    double sum = 0;
    for (const Contact& b : closed_)
      if (alike(b, a.cross, a.size)) sum += static_cast<double>(b.known());
    if (sum > most) most = sum, size = a.size, cross = a.cross;
  }
  std::erase_if(closed_, [&](const Contact& c) { return !alike(c, cross, size); });
}

void Touches::add(const Plane& plane, std::int64_t frame, std::int64_t t_us) {
  if (off_) return;
  learn_ground(plane);
  std::vector<Spot> found = spots(plane);
  follow_spots(plane, found, frame, t_us);
  start_spots(plane, found, frame, t_us);
  if (crowded_ < 0.3) follow_cross(plane, frame, t_us);
  before_.push_back(std::move(found));
  if (before_.size() > 3) before_.erase(before_.begin());
  ++frames_;
  if (t_us > 20'000'000 && closed_.empty() && open_.empty()) off_ = true;  // no touches are shown here
}

void Touches::compare(std::int64_t dragged) {
  if (off_ || dragged < 150) return;
  std::int64_t touched = 0;
  for (const Contact& contact : open_) touched += contact.known();
  for (const Contact& contact : closed_) touched += contact.known();
  if (touched * 10 >= dragged * 4) return;
  off_ = true;
  open_.clear(), closed_.clear();
}

bool Touches::finish(Path& path) {
  for (Contact& contact : open_) end(std::move(contact), false, nullptr);
  open_.clear();
  keep_one_kind();
  std::int64_t touched = 0;
  for (const Contact& contact : closed_) touched += contact.known();
  if (static_cast<double>(touched) < 0.7 * static_cast<double>(path.followed_frames)) return false;
  if (std::none_of(closed_.begin(), closed_.end(), [](const Contact& c) { return c.went; })) return false;
  std::sort(closed_.begin(), closed_.end(),
            [](const Contact& a, const Contact& b) { return a.way.front().frame < b.way.front().frame; });
  path.rows.clear(), path.endings.clear();
  path.held_frames = path.followed_frames = 0;
  path.first_held = closed_.front().way.front().frame, path.last_held = -1;
  path.largest_width = path.largest_height = 0;
  int number = 0;
  for (const Contact& contact : closed_) {
    ++number;
    std::vector<Sample> samples;
    for (const At& at : contact.way) {
      Sample sample;
      sample.frame = at.frame, sample.t_us = at.t_us, sample.pose.x = at.x, sample.pose.y = at.y;
      sample.known = at.known;
      samples.push_back(sample);
      path.held_frames += 1, path.followed_frames += at.known;
      if (at.known) path.rows.push_back({at.t_us, number, shrink_ * at.x, shrink_ * at.y, shrink_ * 0.15});
    }
    path.last_held = std::max(path.last_held, contact.way.back().frame);
    const LetGo::Kind kind = contact.went ? kind_of_end(samples, width_) : LetGo::Kind::end;
    path.endings.push_back({kind, number, contact.way.back().t_us, shrink_ * contact.way.back().x,
                            shrink_ * contact.way.back().y});
  }
  return true;
}

}  // namespace paneproof::video
