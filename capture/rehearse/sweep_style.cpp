#include "capture/rehearse/sweep_style.hpp"

#include <algorithm>

namespace paneproof {
namespace {

constexpr double two_pi = 6.283185307179586;

// Corners cut by a parabola that starts and ends up to `radius` from the corner.
Way round_corners(const Way& way, double radius) {
  if (way.size() < 3) return way;
  Way out{way.front()};
  for (std::size_t i = 1; i + 1 < way.size(); ++i) {
    const Vec a = way[i - 1], b = way[i], c = way[i + 1];
    const double before = portable::length(b.x - a.x, b.y - a.y),
                 after = portable::length(c.x - b.x, c.y - b.y);
    const double r = std::min({radius, before / 2, after / 2});
    if (r < 0.2) {
      out.push_back(b);
      continue;
    }
    const Vec from{b.x + (a.x - b.x) * r / before, b.y + (a.y - b.y) * r / before};
    const Vec to{b.x + (c.x - b.x) * r / after, b.y + (c.y - b.y) * r / after};
    for (int k = 0; k <= 6; ++k) {
      const double u = k / 6.0, p = (1 - u) * (1 - u), q = 2 * u * (1 - u), s = u * u;
      out.push_back({p * from.x + q * b.x + s * to.x, p * from.y + q * b.y + s * to.y});
    }
  }
  out.push_back(way.back());
  return out;
}

double row_step(const HandSpec& hand, Random& random) {
  return hand.omission == Omission::wide_rows ? random.uniform(10, 14) : hand.row_distance_mm;
}

// Rows at the heights given, alternately there and back.
std::vector<Way> rows_at(const std::vector<double>& heights, const HandSpec& hand, double width,
                         double height, Random& random) {
  const double bow = random.normal() * 0.6;
  bool back = random.chance(0.5);
  std::vector<Way> out;
  Way joined;
  for (const double y : heights) {
    const double left = -hand.overrun_mm + random.normal() * 0.5;
    const double right = width + hand.overrun_mm + random.normal() * 0.5;
    Way row;
    for (int k = 0; k <= 16; ++k) {
      const double u = k / 16.0;
      row.push_back(
          {left + u * (right - left), std::clamp(y + bow * (4 * u * (1 - u) - 0.67), 0.3, height - 0.3)});
    }
    if (back) std::reverse(row.begin(), row.end());
    back = !back;
    if (hand.lifts_at_row_ends)
      out.push_back(row);
    else
      joined.insert(joined.end(), row.begin(), row.end());
  }
  if (!hand.lifts_at_row_ends) out.push_back(round_corners(joined, random.uniform(1, 3)));
  return out;
}

std::vector<Way> rows(const HandSpec& hand, double width, double height, Random& random) {
  const double step = row_step(hand, random), inset = random.uniform(0.5, 2);
  const int count = std::max(2, static_cast<int>((height - 2 * inset) / step + 0.999) + 1);
  const double pitch = (height - 2 * inset) / (count - 1);
  std::vector<double> heights;
  for (int i = 0; i < count; ++i) heights.push_back(inset + i * pitch + random.normal() * 0.06 * pitch);
  return rows_at(heights, hand, width, height, random);
}

// Two fingers side by side: each band of rows covers the gap between them twice.
std::vector<Way> two_finger_rows(const HandSpec& hand, double width, double height, Random& random,
                                 Vec& second) {
  const double gap = random.chance(0.3) ? height / 2 : random.uniform(17, 24);
  second = {random.normal() * 2, gap};
  const double step = row_step(hand, random);
  const int rows_a_band = std::max(1, static_cast<int>(gap / step + 0.999));
  std::vector<double> heights;
  for (double top = random.uniform(0.5, 1.5); top < height - 1; top += 2 * gap)
    for (int i = 0; i <= rows_a_band; ++i)
      heights.push_back(std::min(top + i * gap / rows_a_band, height - 0.5));
  return rows_at(heights, hand, width, height, random);
}

std::vector<Way> spiral(const HandSpec& hand, double width, double height, Random& random) {
  const double step = row_step(hand, random);
  Way way;
  double inset = random.uniform(0.5, 1.8);
  way.push_back({inset, inset});
  for (; inset < std::min(width, height) / 2 - 0.5; inset += step) {
    way.push_back({width - inset, inset});
    way.push_back({width - inset, height - inset});
    way.push_back({inset, height - inset});
    way.push_back({inset, std::min(inset + step, height / 2)});
  }
  if (height > width) way.push_back({width / 2, height - inset});
  const bool mirrored = random.chance(0.5), outward = random.chance(0.3);
  way = round_corners(way, random.uniform(2, 5));
  if (mirrored)
    for (Vec& p : way) p.x = width - p.x;
  if (outward) std::reverse(way.begin(), way.end());
  return {way};
}

// Loops whose centre walks along rows.
std::vector<Way> scribble(const HandSpec& hand, double width, double height, Random& random) {
  const double radius = random.uniform(8, 14), forward = row_step(hand, random) * 0.9;
  const double reach = hand.omission == Omission::wide_rows ? 2.4 : 1.6;
  const double beyond = std::max(0.0, hand.overrun_mm);
  const int lanes = std::max(1, static_cast<int>((height - radius) / (radius * reach) + 0.999));
  std::vector<Way> out;
  Way way;
  for (int lane = 0; lane < lanes; ++lane) {
    const double y0 = radius * 0.8 + (lanes > 1 ? lane * (height - 1.6 * radius) / (lanes - 1) : 0);
    const bool back = lane % 2 == 1;
    const int points = static_cast<int>(width / forward * 28);
    const double start = random.uniform(0, two_pi);
    for (int k = 0; k <= points; ++k) {
      const double along = static_cast<double>(k) / points * width;
      const auto turn = portable::turn(start + two_pi * k / 28.0);
      const double r = radius * (1 + 0.12 * portable::sin(0.05 * k + lane));
      way.push_back({std::clamp((back ? width - along : along) + 0.9 * r * turn.cos, -beyond, width + beyond),
                     std::clamp(y0 + r * turn.sin, -beyond, height + beyond)});
    }
    if (hand.lifts_at_row_ends || lane + 1 == lanes) out.push_back(std::move(way)), way.clear();
  }
  return out;
}

std::vector<Way> thumb_arcs(const HandSpec& hand, double width, double height, Random& random) {
  const bool left_hand = random.chance(0.3);
  const Vec pivot{width + random.uniform(2, 15), height + random.uniform(-20, 15)};
  const double step = row_step(hand, random), beyond = hand.overrun_mm;
  const double far = portable::length(pivot.x, std::max(pivot.y, height - pivot.y));
  std::vector<Way> out;
  bool back = false;
  for (double radius = random.uniform(6, 10); radius < far; radius += step) {
    const int points = std::max(16, static_cast<int>(radius * two_pi / 1.0));
    Way run;
    const auto close = [&] {
      if (run.size() > 4) {
        if (back) std::reverse(run.begin(), run.end());
        back = !back;
        out.push_back(run);
      }
      run.clear();
    };
    for (int k = 0; k <= points; ++k) {
      const auto turn = portable::turn(two_pi * k / points);
      const Vec p{pivot.x + radius * turn.cos, pivot.y + radius * turn.sin};
      if (p.x > -beyond && p.x < width + beyond && p.y > -beyond && p.y < height + beyond)
        run.push_back(p);
      else
        close();
    }
    close();
  }
  if (left_hand)
    for (Way& way : out)
      for (Vec& p : way) p.x = width - p.x;
  if (hand.lifts_at_row_ends || out.empty()) return out;
  // Without a lift the thumb turns at the end of an arc where the next begins close by.
  std::vector<Way> joined{out.front()};
  for (std::size_t i = 1; i < out.size(); ++i) {
    const Vec a = joined.back().back(), b = out[i].front();
    if (portable::length(a.x - b.x, a.y - b.y) < 3 * step)
      joined.back().insert(joined.back().end(), out[i].begin(), out[i].end());
    else
      joined.push_back(out[i]);
  }
  return joined;
}

}  // namespace

std::vector<Way> style_ways(const HandSpec& hand, double width, double height, Random& random, Vec& second) {
  switch (hand.style) {
    case SweepStyle::columns: {
      std::vector<Way> out = rows(hand, height, width, random);
      for (Way& way : out)
        for (Vec& p : way) std::swap(p.x, p.y);
      return out;
    }
    case SweepStyle::spiral:
      return spiral(hand, width, height, random);
    case SweepStyle::scribble:
      return scribble(hand, width, height, random);
    case SweepStyle::two_fingers:
      return two_finger_rows(hand, width, height, random, second);
    case SweepStyle::thumb_arcs:
      return thumb_arcs(hand, width, height, random);
    case SweepStyle::rows:
      break;
  }
  return rows(hand, width, height, random);
}

Way border_way(double width, double height, double inset, Random& random) {
  Way corners{
      {inset, inset}, {width - inset, inset}, {width - inset, height - inset}, {inset, height - inset}};
  std::rotate(corners.begin(), corners.begin() + random.below(4), corners.end());
  if (random.chance(0.5)) std::reverse(corners.begin(), corners.end());
  const Vec first = corners[0], second = corners[1];
  corners.push_back(first);
  const double past = 0.15;  // a little beyond where it began
  corners.push_back({first.x + past * (second.x - first.x), first.y + past * (second.y - first.y)});
  return round_corners(corners, random.uniform(1, 3.5));
}

}  // namespace paneproof
