#include "capture/rehearse/finger.hpp"

#include <algorithm>
#include <array>

namespace paneproof {
namespace {

constexpr double step_mm = 0.4;
constexpr double two_pi = 6.283185307179586;

double distance(Vec a, Vec b) { return portable::length(a.x - b.x, a.y - b.y); }

// A smooth random curve of unit variance: a few sines of random phase.
class Wave {
 public:
  // Frequencies (per unit of the argument) between low and high.
  Wave(Random& random, double low, double high) {
    for (auto& part : parts_) part = {two_pi * random.uniform(low, high), random.uniform(0, two_pi)};
  }
  double at(double s) const {
    double sum = 0;
    for (const auto& part : parts_) sum += portable::sin(part.frequency * s + part.phase);
    return sum * 0.8164965809277260;  // sqrt(2 / 3)
  }

 private:
  struct Part {
    double frequency = 0, phase = 0;
  };
  std::array<Part, 3> parts_;
};

// Highest speed at each point: the pace, and no more than the turn allows.
std::vector<double> speed_limits(const std::vector<Vec>& p, const Motion& motion, const Wave& pace,
                                 double from_mm) {
  std::vector<double> out(p.size());
  for (std::size_t i = 0; i < p.size(); ++i) {
    const double way = from_mm + static_cast<double>(i) * step_mm;
    double v = motion.speed_mm_s * portable::exp(motion.speed_spread * pace.at(way / motion.speed_mm_s));
    const std::size_t a = i < 3 ? 0 : i - 3, b = std::min(i + 3, p.size() - 1);
    const double before = distance(p[a], p[i]), after = distance(p[i], p[b]);
    if (before > 0 && after > 0) {
      const double bend = portable::length((p[b].x - p[i].x) / after - (p[i].x - p[a].x) / before,
                                           (p[b].y - p[i].y) / after - (p[i].y - p[a].y) / before);
      const double radius = 0.5 * (before + after) / std::max(bend, 1e-6);
      v = std::min(v, std::sqrt(motion.turn_accel_mm_s2 * radius));
    }
    out[i] = std::max(v, 5.0);
  }
  return out;
}

// Speeds that also respect the acceleration along the path and the ends.
void respect_acceleration(std::vector<double>& v, const Stroke& stroke, double accel) {
  if (!stroke.lands_moving) v.front() = std::min(v.front(), 10.0);
  if (!stroke.lifts_moving) v.back() = std::min(v.back(), 12.0);
  for (std::size_t i = 1; i < v.size(); ++i)
    v[i] = std::min(v[i], std::sqrt(v[i - 1] * v[i - 1] + 2 * accel * step_mm));
  for (std::size_t i = v.size() - 1; i-- > 0;)
    v[i] = std::min(v[i], std::sqrt(v[i + 1] * v[i + 1] + 2 * accel * step_mm));
}

double ramp(double t, double length) { return t >= length ? 1 : t <= 0 ? 0.25 : 0.25 + 0.75 * t / length; }

// Where along a stroke the finger is: times of its points, in seconds from landing.
struct Timed {
  std::vector<Vec> points;
  std::vector<double> times;
  double duration() const { return times.back(); }
  Vec at(double t, std::size_t& hint) const {
    while (hint + 2 < times.size() && times[hint + 1] <= t) ++hint;
    if (t <= times[hint]) return points[hint];
    if (t >= times.back()) return points.back();
    const double f = (t - times[hint]) / (times[hint + 1] - times[hint]);
    const Vec a = points[hint], b = points[hint + 1];
    return {a.x + f * (b.x - a.x), a.y + f * (b.y - a.y)};
  }
};

Timed time_stroke(const Stroke& stroke, const Motion& motion, const Wave& pace, double& way_mm) {
  Timed out;
  out.points = resample(stroke.points, step_mm);
  std::vector<double> v = speed_limits(out.points, motion, pace, way_mm);
  respect_acceleration(v, stroke, motion.accel_mm_s2);
  const double dwell = stroke.lands_moving ? 0 : motion.dwell_s;
  out.times.reserve(v.size());
  out.times.push_back(dwell);
  for (std::size_t i = 1; i < v.size(); ++i)
    out.times.push_back(out.times.back() +
                        std::max(1e-6, 2 * distance(out.points[i - 1], out.points[i]) / (v[i] + v[i - 1])));
  way_mm += static_cast<double>(v.size()) * step_mm;
  return out;
}

}  // namespace

std::vector<Vec> resample(const std::vector<Vec>& points, double step) {
  std::vector<Vec> out{points.front()};
  double left = step;
  for (std::size_t i = 1; i < points.size(); ++i) {
    Vec a = points[i - 1];
    const Vec b = points[i];
    double rest = distance(a, b);
    while (rest >= left) {
      const double f = left / rest;
      a = {a.x + f * (b.x - a.x), a.y + f * (b.y - a.y)};
      out.push_back(a);
      rest -= left;
      left = step;
    }
    left -= rest;
  }
  if (out.size() < 2 || distance(out.back(), points.back()) > step / 4) out.push_back(points.back());
  return out;
}

std::vector<FingerSample> move_finger(const std::vector<Stroke>& strokes, const Motion& motion, Random pace,
                                      Random tremble) {
  const Wave pace_wave(pace, 0.15, 1.2);
  const Wave tremor_x(tremble, 8, 12), tremor_y(tremble, 8, 12), pressure(tremble, 0.2, 1.5);
  // The wave's root mean square is one, a sine's 0.71 of its amplitude.
  const double tremor = motion.tremor_mm * 0.70710678118654752;
  std::vector<FingerSample> out;
  double start_s = 0, way_mm = 0;
  for (const Stroke& stroke : strokes) {
    const Timed timed = time_stroke(stroke, motion, pace_wave, way_mm);
    start_s += stroke.air_before_s;
    const Vec from = out.empty() ? timed.points.front() : out.back().at;
    const std::size_t air_from = out.size();
    for (;;) {
      const double t = static_cast<double>(out.size()) * (finger_step_us * 1e-6);
      if (t >= start_s) break;
      out.push_back({static_cast<std::int64_t>(out.size()) * finger_step_us, from, 0, false});
    }
    const double air = static_cast<double>(out.size() - air_from);
    for (std::size_t i = air_from; i < out.size(); ++i) {
      const double f = static_cast<double>(i - air_from + 1) / air;
      out[i].at.x += f * (timed.points.front().x - from.x);
      out[i].at.y += f * (timed.points.front().y - from.y);
    }
    const double quick = stroke.lands_moving ? 0.5 : 1, leaving = stroke.lifts_moving ? 0.5 : 1;
    std::size_t hint = 0;
    for (;;) {
      const double now = static_cast<double>(out.size()) * (finger_step_us * 1e-6), t = now - start_s;
      if (t > timed.duration()) break;
      Vec at = timed.at(t, hint);
      at.x += tremor * tremor_x.at(now);
      at.y += tremor * tremor_y.at(now);
      const double touch = ramp(t, motion.land_ramp_s * quick) *
                           ramp(timed.duration() - t, motion.lift_ramp_s * leaving) *
                           (1 + motion.pressure_spread * pressure.at(now));
      out.push_back({static_cast<std::int64_t>(out.size()) * finger_step_us, at, touch, true});
    }
    start_s += timed.duration();
  }
  return out;
}

FingerSample finger_at(const std::vector<FingerSample>& samples, std::int64_t t_us) {
  FingerSample none;
  none.t_us = t_us;
  if (samples.empty() || t_us < 0) return none;
  const auto i = static_cast<std::size_t>(t_us / finger_step_us);
  if (i + 1 >= samples.size()) return none;
  const FingerSample &a = samples[i], &b = samples[i + 1];
  const double f = static_cast<double>(t_us % finger_step_us) / finger_step_us;
  FingerSample out = a;
  out.t_us = t_us;
  out.at = {a.at.x + f * (b.at.x - a.at.x), a.at.y + f * (b.at.y - a.at.y)};
  if (a.down && b.down) out.touch = a.touch + f * (b.touch - a.touch);
  return out;
}

}  // namespace paneproof
