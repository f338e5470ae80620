#include "capture/rehearse/sweep_path.hpp"

#include <algorithm>

#include "capture/rehearse/sweep_style.hpp"

namespace paneproof {
namespace {

constexpr double aim_mm = 3;  // a hand that means to stop somewhere stops within this of it
constexpr double two_pi = 6.283185307179586;

double way_length(const Way& way) {
  double sum = 0;
  for (std::size_t i = 1; i < way.size(); ++i)
    sum += portable::length(way[i].x - way[i - 1].x, way[i].y - way[i - 1].y);
  return sum;
}

// Adds a slow sideways deviation, a smooth function of the way.
void wander(std::vector<Way>& ways, double rms_mm, Random& random) {
  struct Part {
    double fx, px, fy, py;
  } parts[3];
  for (Part& part : parts)
    part = {two_pi / random.uniform(35, 160), random.uniform(0, two_pi), two_pi / random.uniform(35, 160),
            random.uniform(0, two_pi)};
  double s = 0;
  for (Way& way : ways) {
    way = resample(way, 1.5);
    for (Vec& p : way) {
      for (const Part& part : parts) {
        p.x += rms_mm * 0.82 * portable::sin(part.fx * s + part.px);
        p.y += rms_mm * 0.82 * portable::sin(part.fy * s + part.py);
      }
      s += 1.5;
    }
  }
}

// The places that the omission leaves out.
std::vector<Box> omitted(Omission omission, double width, double height, Random& random) {
  std::vector<Box> out;
  if (omission == Omission::region) {
    const double w = std::min(random.uniform(16, 40), width * 0.7),
                 h = std::min(random.uniform(16, 40), height * 0.6);
    out.push_back({random.uniform(4, width - w - 4), random.uniform(4, height - h - 4), w, h});
  } else if (omission == Omission::strip) {
    const double size = random.uniform(15, 26);
    if (random.chance(0.5))
      out.push_back({-20, random.uniform(6, height - size - 6), width + 40, size});
    else
      out.push_back({random.uniform(6, width - size - 6), -20, size, height + 40});
  } else if (omission == Omission::lazy_edge) {
    const int first = random.below(4), count = random.between(1, 2);
    for (int i = 0; i < count; ++i) {
      const double depth = random.uniform(9, 16);
      const Box sides[] = {{-20, -20, 20 + depth, height + 40},
                           {width - depth, -20, 20 + depth, height + 40},
                           {-20, -20, width + 40, 20 + depth},
                           {-20, height - depth, width + 40, 20 + depth}};
      out.push_back(sides[(first + 2 * i + random.below(2)) % 4]);
    }
  } else if (omission == Omission::lazy_corners) {
    const double size = random.uniform(14, 24);
    for (int i = 0; i < 4; ++i)
      if (i == 0 || random.chance(0.6))
        out.push_back({i % 2 ? width - size : -20, i / 2 ? height - size : -20, size + 20, size + 20});
  }
  return out;
}

// Takes the omitted places out: along an edge or corner the finger turns short of it, inside the
// panel it lifts over it. No hand aims better than to a few mm: each approach ends somewhere else.
std::vector<Way> leave_out(const std::vector<Way>& ways, const std::vector<Box>& boxes, bool turns_short,
                           Random& random) {
  if (boxes.empty()) return ways;
  std::vector<Way> out;
  double margin = random.uniform(-aim_mm, aim_mm);
  bool near_it = false;
  const auto holds = [&](Vec p, double by) {
    return std::any_of(boxes.begin(), boxes.end(), [&](const Box& b) {
      return Box{b.x - by, b.y - by, b.width + 2 * by, b.height + 2 * by}.holds(p);
    });
  };
  for (const Way& way : ways) {
    Way kept;
    for (const Vec p : resample(way, 1)) {
      if (!holds(p, aim_mm)) {
        if (near_it) margin = random.uniform(-aim_mm, aim_mm);
        near_it = false;
      } else {
        near_it = true;
      }
      const bool inside = holds(p, margin);
      if (!inside) kept.push_back(p);
      if (inside && !turns_short && !kept.empty()) out.push_back(std::move(kept)), kept.clear();
    }
    if (!kept.empty()) out.push_back(std::move(kept));
  }
  out.erase(std::remove_if(out.begin(), out.end(), [](const Way& w) { return w.size() < 5; }), out.end());
  return out;
}

void stop_early(std::vector<Way>& ways, double share) {
  double total = 0;
  for (const Way& way : ways) total += way_length(way);
  double left = total * share;
  for (std::size_t i = 0; i < ways.size(); ++i) {
    const double length = way_length(ways[i]);
    if (length < left) {
      left -= length;
      continue;
    }
    ways[i] = resample(ways[i], 1);
    ways[i].resize(std::max<std::size_t>(2, std::min(ways[i].size(), static_cast<std::size_t>(left))));
    ways.resize(i + 1);
    return;
  }
}

// Cuts ways into strokes by lifts on purpose and quick re-grips.
class Cutter {
 public:
  Cutter(const HandSpec& hand, Random& random) : hand_(hand), random_(random) { draw_next(); }

  std::vector<Stroke> cut(const std::vector<Way>& ways) {
    for (const Way& way : ways) {
      begin(random_.chance(0.8) ? random_.uniform(0.12, 0.45) : random_.uniform(0.45, 0.9));
      cut_way(resample(way, 0.5));
    }
    return std::move(out_);
  }

 private:
  void begin(double air_s) {
    stroke_ = {};
    stroke_.air_before_s = air_s;
  }
  void finish() {
    if (stroke_.points.size() > 1) out_.push_back(std::move(stroke_));
    stroke_ = {};
  }
  void draw_next() {
    const double per_s = (hand_.lifts_per_minute + hand_.regrips_per_minute) / 60;
    left_ =
        per_s > 0 ? static_cast<std::int64_t>(random_.exponential(per_s) * hand_.motion.speed_mm_s * 2) : -1;
  }
  bool due(std::size_t at, std::size_t count) {
    return left_ >= 0 && --left_ < 0 && at > 12 && at + 24 < count;
  }

  void cut_way(Way way) {
    for (std::size_t i = 0; i < way.size(); ++i) {
      stroke_.points.push_back(way[i]);
      if (!due(i, way.size())) {
        if (left_ < 0) draw_next();
        continue;
      }
      const bool quick =
          random_.chance(hand_.regrips_per_minute / (hand_.lifts_per_minute + hand_.regrips_per_minute));
      if (quick)
        i = regrip(i, way.size());
      else
        i = lift(i, way);
      draw_next();
    }
    finish();
  }

  std::size_t regrip(std::size_t i, std::size_t count) {
    const double air_s = random_.uniform(0.06, 0.13);
    const bool moving = random_.chance(0.5);
    stroke_.lifts_moving = moving;
    finish();
    begin(air_s);
    stroke_.lands_moving = moving;
    const double on_mm =
        moving ? air_s * hand_.motion.speed_mm_s * random_.uniform(0.3, 1) : random_.uniform(-2, 1);
    return static_cast<std::size_t>(
        std::clamp(static_cast<double>(i) + on_mm * 2, 0.0, static_cast<double>(count - 4)));
  }

  // Lands near the lift, or at the far end of the way to come back to it.
  std::size_t lift(std::size_t i, Way& way) {
    stroke_.lifts_moving = random_.chance(0.3);
    finish();
    begin(random_.uniform(0.08, 0.6));
    stroke_.lands_moving = random_.chance(0.15);
    const std::size_t row = static_cast<std::size_t>(120 / 0.5);
    if (random_.chance(0.3) && way.size() - i < row) {
      const auto back = static_cast<std::size_t>(random_.between(0, 6));
      std::reverse(way.begin() + static_cast<std::ptrdiff_t>(i > back ? i - back : 0), way.end());
      return i > back ? i - back : 0;
    }
    const auto back = static_cast<std::size_t>(random_.between(0, 6));
    return i > back ? i - back : 0;
  }

  const HandSpec& hand_;
  Random& random_;
  std::vector<Stroke> out_;
  Stroke stroke_;
  std::int64_t left_ = 0;  // half millimetres to the next lift; -1: never
};

// Short strokes over what no finger came near, as a hand makes them that looks at what is left.
std::vector<Stroke> repairs(const HandPlan& plan, double width, double height, Random& random) {
  const int columns = static_cast<int>(width), rows = static_cast<int>(height);
  constexpr double near = 3.2;
  std::vector<char> met(static_cast<std::size_t>(columns) * rows, 0);
  for (const auto& finger : plan.fingers)
    for (const Stroke& stroke : finger)
      for (const Vec p : resample(stroke.points, 1))
        for (int y = std::max(0, static_cast<int>(p.y - near));
             y <= std::min(rows - 1, static_cast<int>(p.y + near)); ++y)
          for (int x = std::max(0, static_cast<int>(p.x - near));
               x <= std::min(columns - 1, static_cast<int>(p.x + near)); ++x)
            if (portable::length(x + 0.5 - p.x, y + 0.5 - p.y) <= near)
              met[static_cast<std::size_t>(y) * columns + x] = 1;
  std::vector<Stroke> out;
  for (int y = 0; y < rows; y += 3) {
    for (int x = 0; x < columns;) {
      const auto open = [&](int at) {
        for (int k = y; k < std::min(y + 3, rows); ++k) {
          const Vec p{at + 0.5, k + 0.5};
          const bool left = std::any_of(plan.left_out.begin(), plan.left_out.end(),
                                        [&](const Box& b) { return b.holds(p); });
          if (!met[static_cast<std::size_t>(k) * columns + at] && !left) return true;
        }
        return false;
      };
      if (!open(x)) {
        ++x;
        continue;
      }
      int end = x;
      while (end < columns && open(end)) ++end;
      const double level = std::min(y + 1.5, height - 0.5) + random.normal() * 0.2;
      Stroke stroke;
      stroke.air_before_s = random.uniform(0.25, 0.8);
      stroke.points = {{std::max(0.4, x - random.uniform(2, 5)), level},
                       {std::min(width - 0.4, end + random.uniform(2, 5)), level + random.normal() * 0.3}};
      out.push_back(std::move(stroke));
      x = end;
    }
  }
  return out;
}

}  // namespace

HandPlan plan_hand(const HandSpec& hand, double width, double height, Random random) {
  HandPlan plan;
  Vec second;
  std::vector<Way> ways = style_ways(hand, width, height, random, second);
  wander(ways, hand.wander_mm, random);
  if (hand.border_run) {
    std::vector<Way> border{border_way(width, height, random.uniform(0.6, 2.2), random)};
    wander(border, hand.wander_mm * 0.5, random);
    ways.insert(random.chance(0.5) ? ways.begin() : ways.end(), border.front());
  }
  plan.left_out = omitted(hand.omission, width, height, random);
  const bool turns_short = hand.omission == Omission::lazy_edge || hand.omission == Omission::lazy_corners;
  ways = leave_out(ways, plan.left_out, turns_short, random);
  if (hand.omission == Omission::early_stop) stop_early(ways, random.uniform(0.35, 0.85));
  if (ways.empty()) ways.push_back({{width / 4, height / 2}, {width * 3 / 4, height / 2}});

  plan.fingers.push_back(Cutter(hand, random).cut(ways));
  if (hand.style == SweepStyle::two_fingers) {
    std::vector<Stroke> other = plan.fingers.front();
    for (Stroke& stroke : other)
      for (Vec& p : stroke.points) p = {p.x + second.x, p.y + second.y};
    plan.fingers.push_back(std::move(other));
  }
  const bool by_design = hand.omission == Omission::wide_rows || hand.omission == Omission::early_stop;
  if (hand.repairs && !by_design)
    for (int round = 0; round < 2; ++round) {
      std::vector<Stroke> more = repairs(plan, width, height, random);
      plan.fingers.front().insert(plan.fingers.front().end(), more.begin(), more.end());
    }
  return plan;
}

}  // namespace paneproof
