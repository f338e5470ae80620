#include "tests/support/trace_builder.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "capture/model/notes.hpp"

namespace paneproof {

Where disc(double x, double y, double radius_mm) {
  return [=](Spot s) { return std::hypot(s.x - x, s.y - y) <= radius_mm; };
}

Where box(double x0, double x1, double y0, double y1) {
  return [=](Spot s) { return s.x >= x0 && s.x <= x1 && s.y >= y0 && s.y <= y1; };
}

SweepMaker::SweepMaker(double width_mm, double height_mm) {
  panel_.width_mm = width_mm;
  panel_.height_mm = height_mm;
  panel_.size_origin = "test";
}

SweepMaker& SweepMaker::pace(double rate_hz, double speed_mm_s) {
  rate_hz_ = rate_hz;
  speed_mm_s_ = speed_mm_s;
  return *this;
}

SweepMaker& SweepMaker::noise(double sigma_mm, std::uint64_t seed, double interval_scatter) {
  sigma_mm_ = sigma_mm;
  scatter_ = interval_scatter;
  random_.seed(seed);
  return *this;
}

SweepMaker& SweepMaker::lift(double seconds) {
  lift_s_ = seconds;
  return *this;
}

SweepMaker& SweepMaker::at(double t_s) {
  now_s_ = t_s;
  return *this;
}

void SweepMaker::put(Stroke& stroke, double x, double y) {
  std::normal_distribution<double> normal(0, 1);
  if (sigma_mm_ > 0) x += sigma_mm_ * normal(random_), y += sigma_mm_ * normal(random_);
  stroke.samples.push_back({now_s_, x, y});
}

// Reports at the rate along the way; the first of them is one interval after now.
void SweepMaker::walk(Stroke& stroke, const std::vector<Spot>& way) {
  std::normal_distribution<double> normal(0, 1);
  double total = 0;
  for (std::size_t i = 1; i < way.size(); ++i)
    total += std::hypot(way[i].x - way[i - 1].x, way[i].y - way[i - 1].y);
  double gone = 0, passed = 0;
  std::size_t part = 1;
  while (part < way.size()) {
    const double interval_s = (1 + std::clamp(scatter_ * normal(random_), -0.5, 0.5)) / rate_hz_;
    now_s_ += interval_s;
    gone += speed_mm_s_ * interval_s;
    if (gone > total) break;
    double length = std::hypot(way[part].x - way[part - 1].x, way[part].y - way[part - 1].y);
    while (part + 1 < way.size() && gone > passed + length) {
      passed += length;
      ++part;
      length = std::hypot(way[part].x - way[part - 1].x, way[part].y - way[part - 1].y);
    }
    const double share = length > 0 ? std::min(1.0, (gone - passed) / length) : 1;
    put(stroke, way[part - 1].x + share * (way[part].x - way[part - 1].x),
        way[part - 1].y + share * (way[part].y - way[part - 1].y));
  }
}

SweepMaker& SweepMaker::stroke(const std::vector<Spot>& way, Ending ending, Tool tool) {
  Stroke stroke;
  stroke.ending = ending;
  stroke.tool = tool;
  put(stroke, way.front().x, way.front().y);
  walk(stroke, way);
  strokes_.push_back(std::move(stroke));
  now_s_ += lift_s_;
  return *this;
}

SweepMaker& SweepMaker::rest(Spot at, double seconds) {
  Stroke stroke;
  for (const double end_s = now_s_ + seconds; now_s_ < end_s; now_s_ += 1 / rate_hz_) put(stroke, at.x, at.y);
  strokes_.push_back(std::move(stroke));
  now_s_ += lift_s_;
  return *this;
}

SweepMaker& SweepMaker::hold_then(double seconds, const std::vector<Spot>& way) {
  now_s_ = strokes_.back().samples.back().t_s + seconds;
  walk(strokes_.back(), way);
  now_s_ += lift_s_;
  return *this;
}

SweepMaker& SweepMaker::rows(double apart_mm, double inset_mm) {
  const double width = *panel_.width_mm, height = *panel_.height_mm;
  const int steps = static_cast<int>(std::ceil((height - 2 * inset_mm) / apart_mm));
  for (int i = 0; i <= steps; ++i) {
    const double y = inset_mm + i * (height - 2 * inset_mm) / steps;
    const Spot left{inset_mm, y}, right{width - inset_mm, y};
    stroke(i % 2 == 0 ? std::vector<Spot>{left, right} : std::vector<Spot>{right, left});
  }
  return *this;
}

SweepMaker& SweepMaker::columns(double apart_mm, double inset_mm) {
  const double width = *panel_.width_mm, height = *panel_.height_mm;
  const int steps = static_cast<int>(std::ceil((width - 2 * inset_mm) / apart_mm));
  for (int i = 0; i <= steps; ++i) {
    const double x = inset_mm + i * (width - 2 * inset_mm) / steps;
    const Spot top{x, inset_mm}, bottom{x, height - inset_mm};
    stroke(i % 2 == 0 ? std::vector<Spot>{top, bottom} : std::vector<Spot>{bottom, top});
  }
  return *this;
}

void SweepMaker::drop(const std::function<bool(const Stroke&, std::size_t)>& dropped, Lost how,
                      std::size_t from_stroke) {
  std::vector<Stroke> kept(strokes_.begin(), strokes_.begin() + static_cast<std::ptrdiff_t>(from_stroke));
  for (std::size_t s = from_stroke; s < strokes_.size(); ++s) {
    const Stroke& whole = strokes_[s];
    Stroke part{{}, whole.ending, whole.tool};
    for (std::size_t i = 0; i < whole.samples.size(); ++i) {
      if (!dropped(whole, i)) {
        part.samples.push_back(whole.samples[i]);
      } else if (how == Lost::contact && !part.samples.empty()) {
        part.ending = Ending::lifted;
        kept.push_back(std::exchange(part, Stroke{{}, whole.ending, whole.tool}));
      }
    }
    if (!part.samples.empty()) kept.push_back(std::move(part));
  }
  strokes_ = std::move(kept);
}

SweepMaker& SweepMaker::lose(const Where& where, Lost how) {
  drop([&](const Stroke& s, std::size_t i) { return where({s.samples[i].x, s.samples[i].y}); }, how, 0);
  return *this;
}

SweepMaker& SweepMaker::lose_frames(std::size_t first, std::size_t count, Lost how) {
  drop([&](const Stroke&, std::size_t i) { return i >= first && i < first + count; }, how,
       strokes_.size() - 1);
  return *this;
}

SweepMaker& SweepMaker::break_capture(double t_s, double seconds) {
  const auto cut = [&](const Sample& s) { return s.t_s >= t_s && s.t_s < t_s + seconds; };
  std::vector<Stroke> kept;
  for (const Stroke& whole : strokes_) {
    Stroke before{{}, whole.ending, whole.tool}, after = before;
    for (const Sample& sample : whole.samples)
      if (!cut(sample)) (sample.t_s < t_s ? before : after).samples.push_back(sample);
    if (!before.samples.empty() && before.samples.size() < whole.samples.size())
      before.ending = Ending::broken;
    if (!before.samples.empty()) kept.push_back(before);
    if (!after.samples.empty()) kept.push_back(after);
  }
  strokes_ = std::move(kept);
  holes_.push_back({t_s, seconds, 0});
  return *this;
}

SweepMaker& SweepMaker::swap_last_two(double t_s) {
  Stroke &a = strokes_[strokes_.size() - 2], &b = strokes_.back();
  const auto later = [&](Stroke& s) {
    return std::find_if(s.samples.begin(), s.samples.end(),
                        [&](const Sample& sample) { return sample.t_s >= t_s; });
  };
  const std::vector<Sample> tail_a(later(a), a.samples.end()), tail_b(later(b), b.samples.end());
  a.samples.erase(later(a), a.samples.end());
  b.samples.erase(later(b), b.samples.end());
  a.samples.insert(a.samples.end(), tail_b.begin(), tail_b.end());
  b.samples.insert(b.samples.end(), tail_a.begin(), tail_a.end());
  return *this;
}

SweepMaker SweepMaker::changed(const std::function<Spot(Spot)>& change) const {
  SweepMaker out = *this;
  for (Stroke& stroke : out.strokes_)
    for (Sample& sample : stroke.samples) {
      const Spot spot = change({sample.x, sample.y});
      sample.x = spot.x, sample.y = spot.y;
    }
  return out;
}

SweepMaker SweepMaker::mirrored_x() const {
  return changed([w = *panel_.width_mm](Spot s) { return Spot{w - s.x, s.y}; });
}

SweepMaker SweepMaker::mirrored_y() const {
  return changed([h = *panel_.height_mm](Spot s) { return Spot{s.x, h - s.y}; });
}

SweepMaker SweepMaker::transposed() const {
  SweepMaker out = changed([](Spot s) { return Spot{s.y, s.x}; });
  std::swap(out.panel_.width_mm, out.panel_.height_mm);
  return out;
}

SweepMaker& SweepMaker::repeat_unchanged(int times) {
  times_ = times;
  return *this;
}

Trace SweepMaker::trace() const {
  const auto us = [](double s) { return static_cast<std::int64_t>(std::llround(s * 1e6)); };
  struct Event {
    std::int64_t t_us;
    std::size_t stroke;
    const Sample* sample;
  };
  std::vector<Event> events;
  for (std::size_t s = 0; s < strokes_.size(); ++s)
    for (std::size_t i = 0; i < strokes_[s].samples.size(); ++i) {
      const Sample& sample = strokes_[s].samples[i];
      const double next_s =
          i + 1 < strokes_[s].samples.size() ? strokes_[s].samples[i + 1].t_s : sample.t_s + 1 / rate_hz_;
      for (int k = 0; k < times_; ++k)
        events.push_back({us(sample.t_s + k * (next_s - sample.t_s) / times_), s, &sample});
    }
  std::stable_sort(events.begin(), events.end(),
                   [](const Event& a, const Event& b) { return a.t_us < b.t_us; });
  RecordingBuilder builder;
  constexpr std::uint32_t none = ~0u;
  std::vector<std::uint32_t> names(strokes_.size(), none);
  for (const Event& event : events) {
    const Stroke& stroke = strokes_[event.stroke];
    std::uint32_t& name = names[event.stroke];
    if (name == none) name = builder.land(stroke.tool);
    builder.report(name, event.t_us, event.sample->x, event.sample->y);
    if (event.sample == &stroke.samples.back()) builder.end(name, stroke.ending);
  }
  for (const Sample& hole : holes_)
    builder.hole(us(hole.t_s), us(hole.t_s + hole.x), Hole::Kind::events_dropped);
  SourceFacts facts;
  facts.file = "test";
  facts.format = "test";
  facts.events = static_cast<std::int64_t>(events.size());
  double end_s = 0;
  for (const Stroke& stroke : strokes_) end_s = std::max(end_s, stroke.samples.back().t_s + 1 / rate_hz_);
  facts.duration_us = events.empty() ? 0 : us(end_s) - events.front().t_us;
  Axes axes;
  axes.in_mm = true;
  axes.origin = "test";
  Notes notes;
  return scale(std::move(builder).finish(axes, facts), panel_, notes);
}

}  // namespace paneproof
