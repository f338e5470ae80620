#include "tests/clips/story.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace paneproof::clips {
namespace {

double smooth(double s) {  // 0..1, at rest at both ends
  s = std::clamp(s, 0.0, 1.0);
  return s * s * s * (10 + s * (6 * s - 15));
}

struct Point {
  double x = 0, y = 0;
};

// The hand's way: stretches, each at rest or between two places.
struct Stretch {
  double from_s, to_s;
  Point a, b;
  double blend;  // 0: at rest at both ends; 1: even speed
};

class Teller {
 public:
  explicit Teller(const StoryOptions& options) : o_(options), dice_(options.seed * 7919 + options.style) {}
  Story tell();

 private:
  void furnish();
  void plan_way(double start, Point from);
  Point hand(double t) const;
  double hand_speed(double t) const {
    return std::hypot(hand(t + 0.01).x - hand(t - 0.01).x, hand(t + 0.01).y - hand(t - 0.01).y) / 0.02;
  }
  Point slot(int index) const;
  int nearest_free(Point p) const;
  void frame(double t);
  void step_held(double t);
  void aside(double t);
  void let_go(double t, bool drop, bool back);
  void touches(double t, Moment& moment);
  int lost(int finger, int grab, double t, double from_s, double length_s, bool& now) const;

  struct Thing {
    int slot = 0;
    Point at, from;
    double glide_from = -9, glide_s = 0.25;
    double phase = 0, wiggle_hz = 3;
  };
  const StoryOptions o_;
  Dice dice_;
  Story story_;
  int columns_ = 4, rows_ = 6;
  double cell_w_ = 0, cell_h_ = 0, side_ = 0, top_ = 0;
  std::vector<Thing> things_;  // all pages; slot counts over pages
  int pages_ = 3;
  double scroll_ = 0, scroll_from_ = 0, scroll_to_ = 0, turn_at_ = -9, next_turn_ = 0;
  std::vector<Stretch> way_;
  int held_ = -1, last_ = -1, contact_ = 0;
  enum class Phase { idle, held, gliding } phase_ = Phase::idle;
  double lift_at_ = 0, change_at_ = 0, held_scale_ = 1.12, shadow_ = 0.4, wiggle_ = 0, next_drop_ = 0,
         hover_since_ = 0;
  double release_at_ = -1, drop_scale_ = 1, label_held_ = 0, over_ = 0;
  Point grip_, drop_from_, lift_from_;
  int hover_slot_ = -1, drops_left_ = 0;
  double banner_at_ = 5, way_end_ = 0;
  std::map<int, Event> last_touch_;
  bool wiggle_all_ = true;
};

void Teller::furnish() {
  const bool cards = o_.style == 1;
  columns_ = cards ? pick_int(dice_, 2, 3) : pick_int(dice_, 4, 5);
  cell_w_ = static_cast<double>(o_.width) / columns_;
  side_ = cell_w_ * pick(dice_, cards ? 0.75 : 0.55, cards ? 0.9 : 0.7);
  cell_h_ = cards ? side_ * 1.35 : cell_w_ * pick(dice_, 1.15, 1.4);
  top_ = o_.height * 0.09;
  rows_ = std::max(2, static_cast<int>(o_.height * 0.85 / cell_h_));
  if (cards) rows_ = std::min(rows_, pick_int(dice_, 3, 6));
  pages_ = cards ? 1 : 3;
  const int per_page = columns_ * rows_, fill = static_cast<int>(per_page * pick(dice_, 0.5, 0.95));
  story_.looks.reserve(per_page * pages_);
  for (int page = 0; page < pages_; ++page)
    for (int i = 0; i < fill; ++i) {
      story_.looks.push_back(random_look(dice_, o_.style));
      if (cards && i) story_.looks.back().aspect = story_.looks.front().aspect;
      if (!cards)
        story_.looks.back().outline = story_.looks.front().outline,
        story_.looks.back().corner = story_.looks.front().corner;
      Thing thing;
      thing.slot = page * per_page + i;
      thing.at = slot(thing.slot);
      thing.phase = pick(dice_, 0, 6.28);
      thing.wiggle_hz = pick(dice_, 2.5, 4.5);
      things_.push_back(thing);
    }
  story_.wallpaper.make(dice_, cards ? pick_int(dice_, 0, 1) : pick_int(dice_, 0, 4), o_.width, o_.height);
  if (cards && pick(dice_, 0, 1) < 0.5) story_.wallpaper.base = pick(dice_, 215, 245);
  held_scale_ = cards ? pick(dice_, 0.95, 1.06) : pick(dice_, 1.0, 1.2);
  shadow_ = pick(dice_, 0.1, 0.5);
  wiggle_ = cards ? 0 : pick(dice_, 0, 1) < 0.6 ? pick(dice_, 0.01, 0.035) : 0;
  label_held_ = pick(dice_, 0, 1) < 0.3 ? 1 : 0;
  story_.cursor_size = o_.width * pick(dice_, 0.05, 0.1);
  drops_left_ = o_.drops;
  banner_at_ = pick(dice_, 3, 8);
}

Point Teller::slot(int index) const {
  const int per_page = columns_ * rows_, page = index / per_page, k = index % per_page;
  return {page * static_cast<double>(o_.width) + (k % columns_ + 0.5) * cell_w_,
          top_ + (k / columns_ + 0.5) * cell_h_};
}

int Teller::nearest_free(Point p) const {
  const int per_page = columns_ * rows_, page = static_cast<int>(std::lround(scroll_to_));
  int best = -1;
  double least = 1e18;
  for (int k = page * per_page; k < (page + 1) * per_page; ++k) {
    bool taken = false;
    for (std::size_t i = 0; i < things_.size(); ++i)
      taken |= static_cast<int>(i) != last_ && things_[i].slot == k;
    const Point s = slot(k);
    const double d = std::hypot(s.x - page * o_.width - p.x, s.y - p.y);
    if (!taken && d < least) least = d, best = k;
  }
  return best;
}

void Teller::plan_way(double start, Point from) {
  way_.clear();
  double t = start + pick(dice_, 0.25, 0.5);
  way_.push_back({start, t, from, from, 0});
  Point at = from;
  const auto go = [&](Point to, double speed, double blend) {
    const double d = std::hypot(to.x - at.x, to.y - at.y), s = std::max(0.05, d / speed);
    way_.push_back({t, t + s, at, to, blend});
    t += s, at = to;
  };
  const double speed = o_.width * pick(dice_, 0.8, 2.2);
  const bool up_down = pick(dice_, 0, 1) < 0.3;
  const double row = pick(dice_, 0.06, 0.12) * o_.height;
  double across = pick(dice_, 0, 1) * (up_down ? o_.width : o_.height);
  const double inset = pick(dice_, 0, 1) < 0.5 ? 0.0 : 0.03;
  bool there = pick(dice_, 0, 1) < 0.5;
  while (t < o_.seconds + 2) {
    const double low = inset * o_.width, high = up_down ? o_.height - low : o_.width - low;
    const Point to = up_down ? Point{across, there ? high : low} : Point{there ? high : low, across};
    go(to, speed * pick(dice_, 0.7, 1.3), pick(dice_, 0.0, 0.3));
    if (pick(dice_, 0, 1) < 0.12) {
      const double rest = pick(dice_, 0.1, 0.8);
      way_.push_back({t, t + rest, at, at, 0});
      t += rest;
    }
    if (pick(dice_, 0, 1) < 0.08)
      go({at.x, std::clamp(at.y + pick(dice_, -0.5, 0.5) * o_.height, 0.0, 1.0 * o_.height)}, o_.height * 5.0,
         0);
    across += row;
    const double most = up_down ? o_.width : o_.height;
    if (across > most) across -= most;
    there = !there;
    if (across < row) go(up_down ? Point{across, at.y} : Point{at.x, across}, speed, 0);
  }
  way_end_ = t;
}

Point Teller::hand(double t) const {
  for (const Stretch& s : way_) {
    if (t > s.to_s) continue;
    const double u = std::clamp((t - s.from_s) / (s.to_s - s.from_s), 0.0, 1.0),
                 v = (1 - s.blend) * smooth(u) + s.blend * u;
    const double shake = o_.width * 0.0006;
    return {s.a.x + (s.b.x - s.a.x) * v + shake * std::sin(19 * t),
            s.a.y + (s.b.y - s.a.y) * v + shake * std::sin(23 * t + 1)};
  }
  return way_.empty() ? Point{} : way_.back().b;
}

void Teller::let_go(double t, bool drop, bool back) {
  Thing& thing = things_[held_];
  story_.events.push_back(
      {drop ? Event::Kind::drop : Event::Kind::release, t, thing.at.x, thing.at.y, contact_});
  const int page = static_cast<int>(std::lround(scroll_to_)), per_page = columns_ * rows_;
  const bool here = thing.slot / per_page == page;
  const int free = nearest_free({thing.at.x, thing.at.y});
  if (!(back && here) && free >= 0) thing.slot = free;
  thing.from = {thing.at.x + page * o_.width, thing.at.y};
  const Point to = slot(thing.slot);
  const double far = std::hypot(to.x - thing.from.x, to.y - thing.from.y) / o_.width;
  thing.glide_from = t;
  thing.glide_s = std::clamp(pick(dice_, 0.2, 0.3) + 0.15 * far, 0.2, 0.45);
  drop_scale_ = held_scale_;
  held_ = -1;
  phase_ = Phase::gliding;
  change_at_ = t + thing.glide_s + pick(dice_, 0.3, 1.1);
}

void Teller::step_held(double t) {
  if (phase_ == Phase::idle && t >= change_at_ && t < o_.seconds - 2 && o_.drag &&
      o_.cursor == Cursor::none) {
    const int page = static_cast<int>(std::lround(scroll_)), per_page = columns_ * rows_;
    if (last_ < 0 || things_[last_].slot / per_page != page || pick(dice_, 0, 1) < 0.15) do
        last_ = pick_int(dice_, 0, static_cast<int>(things_.size()) - 1);
      while (things_[last_].slot / per_page != page);
    held_ = last_;
    ++contact_;
    lift_at_ = t;
    phase_ = Phase::held;
    const Point s = slot(things_[held_].slot);
    plan_way(t, {s.x - page * o_.width, s.y});
    next_drop_ = t + pick(dice_, 1.2, 0.6 * o_.seconds / (o_.drops + 1) + 1.2);
    next_turn_ = t + pick(dice_, 1, 4);
    hover_slot_ = -1;
    release_at_ = -1;
  }
  if (phase_ == Phase::held) {
    things_[held_].at = hand(t);
    const double v = hand_speed(t);
    if (drops_left_ > 0 && t > next_drop_ && v > 0.5 * o_.width && hand_speed(t + 0.06) > 0.5 * o_.width) {
      --drops_left_;
      let_go(t, true, pick(dice_, 0, 1) < 0.4);
    } else if (release_at_ < 0 && t > o_.seconds - 1.6 && v < 0.002 * o_.width) {
      release_at_ = t + pick(dice_, 0.32, 0.5);
      way_ = {{t, t + 9, hand(t), hand(t), 0}};
    } else if (release_at_ > 0 && t > release_at_) {
      let_go(t, false, false);
      change_at_ = 1e9;
    }
  }
  if (phase_ == Phase::gliding && t >= change_at_) phase_ = Phase::idle;
}

// An icon over which another one rests moves to the free slot.
void Teller::aside(double t) {
  if (phase_ != Phase::held) return;
  const int page = static_cast<int>(std::lround(scroll_to_)), per_page = columns_ * rows_;
  const Point p = things_[held_].at;
  const int column = std::clamp(static_cast<int>(p.x / cell_w_), 0, columns_ - 1),
            row = static_cast<int>((p.y - top_) / cell_h_);
  const int over = row >= 0 && row < rows_ ? page * per_page + row * columns_ + column : -1;
  if (over != hover_slot_) hover_slot_ = over, hover_since_ = t;
  if (over < 0 || t - hover_since_ < 0.25 || things_[held_].slot == over ||
      things_[held_].slot / per_page != page)
    return;
  for (Thing& thing : things_)
    if (&thing != &things_[held_] && thing.slot == over && t > thing.glide_from + 0.5) {
      thing.from = slot(over);
      thing.glide_from = t;
      thing.glide_s = 0.3;
      std::swap(thing.slot, things_[held_].slot);
      return;
    }
}

// How often contact of a touch was lost before `t`; now: it is lost.
int Teller::lost(int finger, int grab, double t, double from_s, double length_s, bool& now) const {
  Dice own(o_.seed * 17 + finger * 1009 + grab);
  int before = 0;
  for (int k = 0; k < o_.losses; ++k) {
    const double at = from_s + length_s * (k + pick(own, 0.3, 0.7)) / o_.losses,
                 until = at + pick(own, 0.02, 0.045);
    const auto moves = [&](double s) { return hand_speed(s + finger * 3.7) > 0.5 * o_.width; };
    if (t < at || !moves(at) || !moves(until)) continue;
    ++before, now = t < until;
  }
  return before;
}

void Teller::touches(double t, Moment& moment) {
  // Each finger has a way of its own, shifted in time; it lifts and lands as the story's drops say.
  for (int finger = 0; finger < o_.fingers; ++finger) {
    Dice own(o_.seed * 31 + finger);
    double from = pick(own, 0.4, 1.2);
    for (int grab = 0; grab < o_.drops + 1; ++grab) {
      const double length = (o_.seconds - 1.5) / (o_.drops + 1) * pick(own, 0.6, 0.9), to = from + length;
      const double gap = pick(own, 0.08, 0.6);
      if (t >= from && t < to) {
        const Point p = hand(from + (t - from) + finger * 3.7);
        const double x = std::clamp(p.x + finger * 0.2 * o_.width, 0.0, 1.0 * o_.width),
                     y = std::clamp(o_.height - p.y * (finger ? 1 : -1) - (finger ? 0 : o_.height), 0.0,
                                    1.0 * o_.height);
        bool gone = false;
        const int losses = lost(finger, grab, t, from, length, gone);
        const Held held{1 + finger + 100 * grab + 10 * (losses - gone), x, y, story_.cursor_size,
                        story_.cursor_size};
        if (!gone) {
          moment.touches.push_back({x, y, 1});
          moment.held.push_back(held);
          last_touch_[held.contact] = {Event::Kind::drop, t, x, y, held.contact};
        } else if (const auto last = last_touch_.find(held.contact); last != last_touch_.end()) {
          story_.events.push_back(last->second);
          last_touch_.erase(last);
        }
      }
      from = to + gap;
    }
  }
}

void Teller::frame(double t) {
  if (way_.empty() && o_.cursor != Cursor::none) plan_way(0, {o_.width * 0.3, o_.height * 0.2});
  step_held(t);
  aside(t);
  if (pages_ > 1 && (phase_ == Phase::held || !o_.drag) && t > next_turn_ && release_at_ < 0) {
    scroll_from_ = scroll_to_;
    scroll_to_ = std::clamp(scroll_to_ + (pick(dice_, 0, 1) < 0.5 ? 1 : -1), 0.0, pages_ - 1.0);
    turn_at_ = t;
    next_turn_ = t + pick(dice_, 2, 5);
  }
  scroll_ = scroll_from_ +
            (scroll_to_ - scroll_from_) * (1 - std::pow(1 - std::clamp((t - turn_at_) / 0.4, 0.0, 1.0), 3));
  Moment moment;
  moment.t_s = t;
  moment.scroll = scroll_;
  moment.clock_s = t;
  const double b = t - banner_at_;
  moment.banner = b > 0 && b < 2.6 ? std::min(smooth(b / 0.3), smooth((2.6 - b) / 0.3)) : 0;
  moment.banner_above = static_cast<int>(o_.seed % 2);
  const auto placed = [&](std::size_t i) {
    Thing& thing = things_[i];
    Placed p;
    p.look = &story_.looks[i];
    p.side = side_;
    const bool held = static_cast<int>(i) == held_;
    if (!held) {
      const double u = std::clamp((t - thing.glide_from) / thing.glide_s, 0.0, 1.0),
                   v = 1 - std::pow(1 - u, 3);
      const Point to = slot(thing.slot);
      thing.at =
          u >= 1 ? to
                 : Point{thing.from.x + (to.x - thing.from.x) * v, thing.from.y + (to.y - thing.from.y) * v};
      p.x = thing.at.x - scroll_ * o_.width, p.y = thing.at.y;
      p.turn = wiggle_ * std::sin(6.283 * thing.wiggle_hz * t + thing.phase);
      if (static_cast<int>(i) == last_ && phase_ == Phase::gliding) {
        p.scale = 1 + (drop_scale_ - 1) * (1 - v);
        p.shadow = shadow_ * (1 - v);
        p.label_opacity = std::max(label_held_, v);
      }
    } else {
      const double up = smooth((t - lift_at_) / 0.18);
      p.x = thing.at.x, p.y = thing.at.y;
      p.scale = 1 + (held_scale_ - 1) * up;
      p.shadow = shadow_ * up;
      p.label_opacity = std::max(label_held_, 1 - up);
      moment.held.push_back({contact_, p.x, p.y, p.side * p.scale, p.side * p.scale * p.look->aspect});
    }
    return p;
  };
  for (std::size_t i = 0; i < things_.size(); ++i)
    if (static_cast<int>(i) != held_ && !(static_cast<int>(i) == last_ && phase_ == Phase::gliding)) {
      const Placed p = placed(i);
      if (p.x > -o_.width * 0.3 && p.x < o_.width * 1.3) moment.icons.push_back(p);
    }
  if (held_ >= 0)
    moment.icons.push_back(placed(held_));
  else if (last_ >= 0 && phase_ == Phase::gliding)
    moment.icons.push_back(placed(last_));
  if (o_.cursor != Cursor::none && o_.drag) touches(t, moment);
  story_.moments.push_back(std::move(moment));
}

Story Teller::tell() {
  story_.options = o_;
  furnish();
  change_at_ = pick(dice_, 0.4, 1.0);
  double t = 0;
  while (t < o_.seconds) {
    frame(t);
    t += 1 / o_.rate_hz;
  }
  if (held_ >= 0)
    story_.events.push_back({Event::Kind::end, t, things_[held_].at.x, things_[held_].at.y, contact_});
  return std::move(story_);
}

}  // namespace

Story tell_story(const StoryOptions& options) {
  Story story = Teller(options).tell();
  return story;
}

void render(const Story& story, const Moment& moment, Canvas& canvas) {
  const StoryOptions& o = story.options;
  canvas.width = o.width, canvas.height = o.height;
  canvas.luma.resize(static_cast<std::size_t>(o.width) * o.height);
  story.wallpaper.draw(canvas, moment.scroll * o.width * 0.25);
  const double ink = story.wallpaper.base > 128 ? 20 : 240;
  draw_clock(canvas, moment.clock_s, ink);
  for (int page = 0; page < 3 && o.style == 0; ++page)
    draw_bar(canvas, o.width * (0.44 + 0.05 * page), o.height * 0.95, o.width * 0.02, o.width * 0.02,
             o.width * 0.01, ink, 0.4 + 0.6 * std::max(0.0, 1 - std::abs(moment.scroll - page)));
  const auto banner = [&] {
    if (moment.banner <= 0) return;
    const double h = o.height * 0.085, y = -h + (h + o.height * 0.02) * moment.banner;
    draw_bar(canvas, o.width * 0.03, y, o.width * 0.94, h, o.width * 0.04, story.banner_luma, 1);
    draw_bar(canvas, o.width * 0.07, y + h * 0.25, h * 0.5, h * 0.5, h * 0.12, 120, 1);
    draw_bar(canvas, o.width * 0.22, y + h * 0.3, o.width * 0.4, h * 0.12, 0, 60, 1);
    draw_bar(canvas, o.width * 0.22, y + h * 0.6, o.width * 0.55, h * 0.1, 0, 110, 1);
  };
  for (std::size_t i = 0; i < moment.icons.size(); ++i) {
    if (i + 1 == moment.icons.size() && !moment.banner_above) banner();
    draw(canvas, moment.icons[i]);
  }
  if (moment.banner_above || moment.icons.empty()) banner();
  for (const Moment::Touch& touch : moment.touches)
    draw_cursor(canvas, o.cursor, touch.x, touch.y, story.cursor_size, touch.opacity);
}

}  // namespace paneproof::clips
