#include "capture/video/slot.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "capture/video/follow.hpp"

namespace paneproof::video {
namespace {

constexpr int differs = 8;  // levels: more than grain and glare do

// Where the rows (columns) of a part end, most of them: corners are round, a badge sticks out.
double most_end(std::vector<int> ends, double share) {
  const auto k = static_cast<std::ptrdiff_t>(share * static_cast<double>(ends.size() - 1));
  std::nth_element(ends.begin(), ends.begin() + k, ends.end());
  return ends[static_cast<std::size_t>(k)];
}

struct Mask {
  int width, height;
  std::vector<std::uint8_t> set;
  std::uint8_t at(int x, int y) const {
    return x < 0 || y < 0 || x >= width || y >= height ? 0 : set[static_cast<std::size_t>(y) * width + x];
  }
};

// Sets what has at least `least` of the 5 x 5 about it set.
Mask voted(const Mask& in, int least) {
  Mask out{in.width, in.height, std::vector<std::uint8_t>(in.set.size())};
  for (int y = 0; y < in.height; ++y)
    for (int x = 0; x < in.width; ++x) {
      int n = 0;
      for (int j = -2; j <= 2; ++j)
        for (int i = -2; i <= 2; ++i) n += in.at(x + i, y + j);
      out.set[static_cast<std::size_t>(y) * in.width + x] = n >= least;
    }
  return out;
}

// The largest part of a mask, as a plate; nothing when it runs on beyond the mask.
std::optional<Plate> plate_of(Mask mask, double width) {
  std::vector<int> largest, part, open;
  for (int k = 0; k < static_cast<int>(mask.set.size()); ++k) {
    if (mask.set[static_cast<std::size_t>(k)] != 1) continue;
    part.clear();
    open.assign(1, k);
    mask.set[static_cast<std::size_t>(k)] = 2;
    while (!open.empty()) {
      const int at = open.back();
      open.pop_back();
      part.push_back(at);
      for (const auto& [i, j] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}})
        if (mask.at(at % mask.width + i, at / mask.width + j) == 1) {
          const int next = at + i + j * mask.width;
          mask.set[static_cast<std::size_t>(next)] = 2;
          open.push_back(next);
        }
    }
    if (part.size() > largest.size()) std::swap(part, largest);
  }
  std::vector<int> left(static_cast<std::size_t>(mask.height), mask.width), right(left.size(), -1),
      top(static_cast<std::size_t>(mask.width), mask.height), bottom(top.size(), -1);
  for (const int k : largest) {
    const int x = k % mask.width, y = k / mask.width;
    if (x == 0 || y == 0 || x == mask.width - 1 || y == mask.height - 1) return std::nullopt;
    left[y] = std::min(left[y], x), right[y] = std::max(right[y], x + 1);
    top[x] = std::min(top[x], y), bottom[x] = std::max(bottom[x], y + 1);
  }
  const auto middle = [](const std::vector<int>& ends, const std::vector<int>& of) {
    std::vector<int> some;
    for (std::size_t k = 0; k < ends.size(); ++k)
      if (of[k] >= 0) some.push_back(ends[k]);
    return some.size() < 8 ? std::vector<int>{}
                           : std::vector<int>(some.begin() + static_cast<std::ptrdiff_t>(some.size() / 5),
                                              some.end() - static_cast<std::ptrdiff_t>(some.size() / 5));
  };
  const std::vector<int> lefts = middle(left, right), rights = middle(right, right),
                         tops = middle(top, bottom), bottoms = middle(bottom, bottom);
  if (lefts.empty() || tops.empty()) return std::nullopt;
  const double l = most_end(lefts, 0.25), r = most_end(rights, 0.75), t = most_end(tops, 0.25),
               b = most_end(bottoms, 0.75);
  Plate plate;
  plate.x = (l + r) / 2, plate.y = (t + b) / 2, plate.width = r - l, plate.height = b - t;
  plate.sure = static_cast<double>(largest.size()) / std::max(1.0, plate.width * plate.height);
  if (!plausible(plate, width) || plate.sure < 0.9 || plate.width > 0.35 * width) return std::nullopt;
  return plate;
}

// Does the plate look in one picture as in another?
bool same_there(const Plane& a, const Plane& b, const Plate& plate) {
  int all = 0, same = 0;
  for (int y = std::max(0, static_cast<int>(plate.y - plate.height / 2));
       y < std::min<int>(a.height, static_cast<int>(plate.y + plate.height / 2)); ++y)
    for (int x = std::max(0, static_cast<int>(plate.x - plate.width / 2));
         x < std::min<int>(a.width, static_cast<int>(plate.x + plate.width / 2)); ++x)
      ++all, same += std::abs(a.row(y)[x] - b.row(y)[x]) <= differs;
  return all > 0 && same * 20 > all * 19;  // but for grain
}

}  // namespace

bool lies_as_before(const Plane& now, const std::vector<const Plane*>& before, const Plate& slot) {
  const auto same =
      std::count_if(before.begin(), before.end(), [&](const Plane* b) { return same_there(now, *b, slot); });
  return 2 * static_cast<std::size_t>(same) > before.size();
}

std::optional<Plate> left_slot(const std::vector<const Plane*>& before,
                               const std::vector<const Plane*>& after, double x, double y, double reach) {
  std::optional<Plate> found;
  double least = 1e9;
  for (const Plane* a : before)
    for (const Plane* b : after) {
      const int x0 = std::max(0, static_cast<int>(x - reach)), y0 = std::max(0, static_cast<int>(y - reach)),
                x1 = std::min(a->width, static_cast<int>(x + reach)),
                y1 = std::min(a->height, static_cast<int>(y + reach));
      if (x1 - x0 < 16 || y1 - y0 < 16) continue;
      Mask mask{x1 - x0, y1 - y0, {}};
      double changed = 0;
      for (int j = y0; j < y1; ++j)
        for (int i = x0; i < x1; ++i) {
          mask.set.push_back(std::abs(a->row(j)[i] - b->row(j)[i]) > differs);
          changed += mask.set.back();
        }
      if (changed < 40 || changed >= least) continue;
      auto plate = plate_of(voted(mask, 12), a->width);
      if (!plate) continue;
      plate->x += x0, plate->y += y0;
      found = plate, least = changed;
    }
  return found;
}

// The plate that lies at (x, y) in pictures before it was taken up: a closed line, told by the look alone, on
// which most of them agree.
std::optional<Plate> lying(const std::vector<const Plane*>& before, double x, double y) {
  constexpr double least_sure = 0.9, agree = 1.3;  // agree: px
  std::vector<Plate> found;
  const std::size_t every = std::max<std::size_t>(1, before.size() / 7);
  for (std::size_t k = 0; k < before.size(); k += every) {
    const double width = before[k]->width;
    const int side = static_cast<int>(0.11 * width), x0 = static_cast<int>(x) - side / 2,
              y0 = static_cast<int>(y) - side / 2;
    Model model(*before[k], {x0, y0, side, side}, static_cast<int>(0.13 * width));
    model.take_as_known();
    Plate plate = find_plate(model, true);
    if (plate.sure < least_sure || !plausible(plate, width) || std::hypot(plate.x, plate.y) > 0.12 * width)
      continue;
    plate.x += x0 + side / 2.0, plate.y += y0 + side / 2.0;
    found.push_back(plate);
  }
  std::optional<Plate> best;
  double most = 0;
  for (const Plate& plate : found) {
    Plate mean = plate;
    double n = 0, sx = 0, sy = 0;
    for (const Plate& other : found)
      if (std::hypot(other.x - plate.x, other.y - plate.y) < agree) {
        const double w = other.sure * other.sure;
        n += w, sx += w * other.x, sy += w * other.y;
      }
    if (n > most) most = n, mean.x = sx / n, mean.y = sy / n, best = mean;
  }
  return most > 1.7 ? best : std::nullopt;
}

std::optional<Plate> seen_lying(const Track& track) {
  std::vector<const Plane*> before;
  for (const Plane& picture : track.lay.pictures) before.push_back(&picture);
  if (before.size() < 2) return {};
  const auto plate = lying(before, track.lay.x, track.lay.y);
  return plate && plate->sure > 1 ? plate : std::nullopt;
}

// For seen_lying, which takes long and is seldom asked.
void Follow::keep_lying(Track& track) {
  const Sample& lift = track.samples[track.grab];
  if (!lift.known) return;
  track.lay.x = lift.pose.x, track.lay.y = lift.pose.y;
  track.lay.pictures.clear();
  for (const std::int64_t frames : {3, 8})
    if (const Kept* kept = kept_at(lift.frame - frames); kept && lift.t_us - kept->t_us < 300'000)
      track.lay.pictures.push_back(kept->plane);
}

// Filmed: a hand covers much of what it drags, and what was learnt is a part of both. At the lift both still
// lie in the slot, and the slot tells where the thing's own middle is.
void Follow::ask_slot(Track& track) {
  track.slot_asked = true;
  const Sample& lift = track.samples[track.grab];
  if (!lift.known) return;
  std::vector<const Plane*> before, after;
  std::int64_t last_before = -1'000'000, last_after = -1'000'000;
  for (const Kept& kept : kept_) {
    if (kept.t_us < lift.t_us + 60'000) {
      if (kept.t_us - last_before > 90'000) before.push_back(&kept.plane), last_before = kept.t_us;
    } else if (kept.t_us > lift.t_us + 200'000 && kept.t_us - last_after > 90'000) {
      after.push_back(&kept.plane), last_after = kept.t_us;
    }
  }
  const double width = kept_.back().plane.width;
  auto slot = lying(before, lift.pose.x, lift.pose.y);
  if (!slot) slot = left_slot(before, after, lift.pose.x, lift.pose.y, 0.2 * width);
  if (slot && lies_yet(track, before, *slot)) return;
  if (slot && std::hypot(slot->x - lift.pose.x, slot->y - lift.pose.y) <= 0.12 * width) track.slot = slot;
}

// Is a thing seen where it lay, as it was, while what is followed is elsewhere? Then it is not what is
// dragged.
bool Follow::lies_yet(const Track& track, const std::vector<const Plane*>& before, const Plate& slot) const {
  const Sample& lift = track.samples[track.grab];
  return std::any_of(track.samples.begin(), track.samples.end(), [&](const Sample& s) {
    if (!s.known || s.t_us < lift.t_us || far(s.pose, lift.pose) < std::max(slot.width, slot.height))
      return false;
    const Kept* kept = kept_at(s.frame);
    return kept && lies_as_before(kept->plane, before, slot);
  });
}

std::pair<double, double> middle_from(const std::vector<Sample>& samples, std::size_t grab,
                                      const Plate& slot) {
  constexpr double still = 2.5;  // px
  std::vector<double> xs, ys;
  for (std::size_t i = grab; i < samples.size() && far(samples[i].pose, samples[grab].pose) < still; ++i)
    if (samples[i].known) xs.push_back(samples[i].pose.x), ys.push_back(samples[i].pose.y);
  if (xs.empty()) xs.push_back(samples[grab].pose.x), ys.push_back(samples[grab].pose.y);
  const auto half = static_cast<std::ptrdiff_t>(xs.size() / 2);
  std::nth_element(xs.begin(), xs.begin() + half, xs.end());
  std::nth_element(ys.begin(), ys.begin() + half, ys.end());
  return {slot.x - xs[xs.size() / 2], slot.y - ys[ys.size() / 2]};
}

}  // namespace paneproof::video
