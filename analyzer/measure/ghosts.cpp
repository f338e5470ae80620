#include "analyzer/measure/ghosts.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "analyzer/measure/brief_touches.hpp"
#include "analyzer/measure/length.hpp"
#include "analyzer/measure/pace.hpp"
#include "analyzer/measure/side.hpp"

namespace paneproof {
namespace {

constexpr double kin_s = 0.3, kin_mm = 12.0;
constexpr double resting_s = 1.0, resting_share = 0.6;  // a finger held still that comes and goes
constexpr double far_mm = 20.0, fastest_hand_mm_s = 1000.0;
constexpr double line_mm = 3.0, off_mm = 12.0;
constexpr double again_mm = 4.0, beside_mm = 8.0;
constexpr double palm_s = 0.02, late_palm_s = 0.18, moving_mm_s = 20.0, border_mm = 3.0;
constexpr int enough_told = 2;
constexpr int ghosts_a_palm = 3;
constexpr double lingering_s = 1.5;
constexpr int enough_for_flood = 20;
constexpr double brief_beside_s = 0.15, flash_s = 0.05, stays_s = 0.3;

double apart_mm(const Report& a, const Report& b) { return length(b.x - a.x, b.y - a.y); }

double seconds(std::int64_t from_us, std::int64_t to_us) {
  return std::max(1e-6, static_cast<double>(to_us - from_us) * 1e-6);
}

struct Spell {
  double from_s = 0, to_s = 0, covered_s = 0;
  double left = 0, right = 0, top = 0, bottom = 0;
  bool of_stroke = false;
  bool moves_on() const { return std::max(right - left, bottom - top) > spell_mm; }
  bool rests() const { return to_s - from_s > resting_s && covered_s > resting_share * (to_s - from_s); }
};

class Sorter {
 public:
  Sorter(const Trace& trace, const ContactSpans& spans, Tool counted) : trace_(trace), spans_(spans) {
    const std::size_t n = trace.contacts.size();
    is_.assign(n, Touch::finger), asked_.assign(n, 0);
    for (std::uint32_t c = 0; c < n; ++c)
      asked_[c] = trace.contacts[c].tool == counted && trace.contacts[c].ending == Ending::lifted;
    BriefTouches touches = brief_touches(trace, spans);
    brief_ = std::move(touches.brief), stroke_ = std::move(touches.stroke);
    spell_of_ = each_alone(n);
  }

  std::vector<Touch> sorted() {
    join_spells();
    for (std::uint32_t c = 0; c < is_.size(); ++c)
      if (asked_[c] && inside(c) && alone(c) && (far(c) || hasty(c))) tell(c);
    for (std::uint32_t c = 0; c < is_.size(); ++c)
      if (asked_[c] && is_[c] == Touch::finger && inside(c) && on_line(c)) is_[c] = Touch::ghost;
    if (spells_told(Touch::ghost) >= enough_told)
      for (std::uint32_t c = 0; c < is_.size(); ++c)
        if (asked_[c] && is_[c] == Touch::finger &&
            (lingers(c) || (apart(c) && (inside(c) || far(c) || hasty(c)))))
          tell(c);
    if (spells_told(Touch::ghost) >= ghosts_a_palm * spells_told(Touch::palm))
      std::replace(is_.begin(), is_.end(), Touch::palm, Touch::ghost);
    if (std::count(is_.begin(), is_.end(), Touch::ghost) >= enough_for_flood)
      for (std::uint32_t c = 0; c < is_.size(); ++c)
        if (asked_[c] && is_[c] == Touch::finger && in_flood(c)) is_[c] = Touch::ghost;
    gather_spots();
    for (std::uint32_t c = 0; c < is_.size(); ++c)
      if (asked_[c] && brief_[c] && is_[c] == Touch::finger && again(c)) is_[c] = Touch::ghost;
    return std::move(is_);
  }

 private:
  // A stroke that is down while c is: how far off; one that ends before or begins after: where it does.
  double stroke_apart_mm(std::uint32_t stroke, std::uint32_t c) const {
    if (spans_.overlap(stroke, c)) return apart_mm(spans_.at(stroke, spans_.first(c).t_us), spans_.first(c));
    return spans_.start_s(stroke) > spans_.end_s(c) ? apart_mm(spans_.first(stroke), spans_.last(c))
                                                    : apart_mm(spans_.last(stroke), spans_.first(c));
  }

  bool near_in_time(std::uint32_t other, std::uint32_t c) const {
    return spans_.start_s(other) <= spans_.end_s(c) + kin_s &&
           spans_.end_s(other) >= spans_.start_s(c) - kin_s;
  }

  bool of_stroke(std::uint32_t c, double within_mm) const {
    bool found = false;
    spans_.each_near(c, [&](std::uint32_t other) {
      if (stroke_[other] && near_in_time(other, c) && stroke_apart_mm(other, c) < within_mm) found = true;
    });
    return found;
  }

  std::uint32_t root(std::uint32_t c) { return paneproof::root(spell_of_, c); }

  void join_spells() {
    for (std::uint32_t c = 0; c < is_.size(); ++c) {
      if (!brief_[c]) continue;
      spans_.each_near(c, [&](std::uint32_t other) {
        if (other < c && brief_[other] && near_in_time(other, c) && !spans_.overlap(other, c) &&
            apart_mm(spans_.last(other), spans_.first(c)) < kin_mm)
          spell_of_[root(c)] = root(other);
      });
    }
    for (std::uint32_t c = 0; c < is_.size(); ++c) {
      if (!brief_[c]) continue;
      const Report& r = spans_.first(c);
      const auto [it, fresh] = spells_.try_emplace(
          root(c), Spell{spans_.start_s(c), spans_.end_s(c), 0, r.x, r.x, r.y, r.y, false});
      Spell& s = it->second;
      s.to_s = std::max(s.to_s, spans_.end_s(c)), s.covered_s += spans_.lasts_s(c);
      s.left = std::min(s.left, r.x), s.right = std::max(s.right, r.x);
      s.top = std::min(s.top, r.y), s.bottom = std::max(s.bottom, r.y);
      s.of_stroke |= of_stroke(c, kin_mm);
    }
  }

  // A brief touch whose spell keeps to its place.
  bool stays(std::uint32_t c) {
    if (!brief_[c]) return false;
    const Spell& s = spells_[root(c)];
    return !s.moves_on() && !s.rests();
  }

  // And is no piece of a stroke; or, by itself, at least away from the strokes.
  bool alone(std::uint32_t c) { return stays(c) && !spells_[root(c)].of_stroke; }
  bool apart(std::uint32_t c) { return stays(c) && !of_stroke(c, beside_mm); }

  // A finger that runs beside the glass grazes its border.
  bool inside(std::uint32_t c) const { return off_border_mm(spans_.first(c)) > border_mm; }

  double off_border_mm(const Report& r) const { return depth_from_nearest(trace_.panel, r.x, r.y); }

  bool far(std::uint32_t c) const {
    bool found = false;
    spans_.each_near(c, [&](std::uint32_t other) {
      if (stroke_[other] && spans_.overlap(other, c) && stroke_apart_mm(other, c) > far_mm) found = true;
    });
    return found;
  }

  // Keeps still, too long to be brief, while a finger sweeps elsewhere.
  bool lingers(std::uint32_t c) const {
    return stroke_[c] && spans_.lasts_s(c) <= lingering_s && keeps_still(spans_, c) && far(c) &&
           !of_stroke(c, kin_mm);
  }

  // Comes and goes while a finger that stays is down elsewhere.
  bool beside_finger(std::uint32_t c) const {
    if (spans_.lasts_s(c) > brief_beside_s) return false;
    bool elsewhere = false, near = false;
    spans_.each_near(c, [&](std::uint32_t other) {
      if (!stroke_[other] || spans_.lasts_s(other) < stays_s || !spans_.overlap(other, c)) return;
      (stroke_apart_mm(other, c) > off_mm ? elsewhere : near) = true;
    });
    return elsewhere && !near;
  }

  // Where noise makes touches by the dozen.
  bool in_flood(std::uint32_t c) const {
    const bool flash = spans_.lasts_s(c) <= flash_s;
    if (beside_finger(c)) return flash || inside(c);
    return flash && inside(c) && !of_stroke(c, beside_mm);
  }

  // From the stroke before and to the stroke after: too fast for a hand on both ways, or on one that is long.
  bool hasty(std::uint32_t c) const {
    struct Way {
      bool fast = false, fast_and_far = false;
    } before, after;
    bool after_seen = false;
    spans_.each_near(c, [&](std::uint32_t other) {
      if (!stroke_[other] || spans_.overlap(other, c)) return;
      const bool earlier = spans_.end_s(other) < spans_.start_s(c);
      if (!earlier && std::exchange(after_seen, true)) return;
      const double way_mm = stroke_apart_mm(other, c);
      const double took_s = earlier ? seconds(spans_.last(other).t_us, spans_.first(c).t_us)
                                    : seconds(spans_.last(c).t_us, spans_.first(other).t_us);
      const bool fast = way_mm > fastest_hand_mm_s * took_s;
      (earlier ? before : after) = {fast, fast && way_mm > far_mm};
    });
    return (before.fast && after.fast) || before.fast_and_far || after.fast_and_far;
  }

  // Pieces of a second finger's stroke: from the one before and to the next of its spell at a sweep's pace.
  bool goes_on(std::uint32_t c) {
    if (!brief_[c] || !spells_[root(c)].moves_on()) return false;
    bool pieces = false, darts = false;
    spans_.each_near(c, [&](std::uint32_t other) {
      if (!brief_[other] || root(other) != root(c)) return;
      const bool before = other < c;
      const Report &a = before ? spans_.last(other) : spans_.last(c),
                   &b = before ? spans_.first(c) : spans_.first(other);
      (b.t_us > a.t_us && apart_mm(a, b) <= dart_mm_s * seconds(a.t_us, b.t_us) ? pieces : darts) = true;
    });
    return pieces && !darts;
  }

  bool on_line(std::uint32_t c) {
    if (goes_on(c)) return false;
    if (stroke_[c] || spans_.lasts_s(c) > flicker_s || of_stroke(c, off_mm)) return false;
    bool found = false;
    spans_.each_near(c, [&](std::uint32_t other) {
      if (found || !stroke_[other] || !spans_.overlap(other, c)) return;
      bool column = true, row = true;
      for (std::uint32_t i = 0; i < trace_.contacts[c].count && (column || row); ++i) {
        const Report& r = trace_.reports[trace_.contacts[c].first + i];
        const Report& finger = spans_.at(other, r.t_us);
        column &= std::abs(r.x - finger.x) < line_mm && std::abs(r.y - finger.y) > off_mm;
        row &= std::abs(r.y - finger.y) < line_mm && std::abs(r.x - finger.x) > off_mm;
      }
      found = column || row;
    });
    return found;
  }

  // Taken away in mid-stroke, inside the glass.
  bool cut_short(std::uint32_t stroke) const {
    const Report& r = spans_.last(stroke);
    if (off_border_mm(r) <= off_mm / 2) return false;
    const auto pace = pace_before(trace_, trace_.contacts[stroke].first + trace_.contacts[stroke].count - 1);
    return pace && pace->speed_mm_s > moving_mm_s;
  }

  // A palm is seen for a moment, then all that is down goes: with it, or a little later in full motion.
  bool palm(std::uint32_t c) const {
    bool all_gone = false, still_down = false;
    spans_.each_near(c, [&](std::uint32_t other) {
      if (!stroke_[other] || !spans_.overlap(other, c)) return;
      const double later_s = spans_.end_s(other) - spans_.end_s(c);
      const bool gone =
          std::abs(later_s) <= palm_s || (later_s > 0 && later_s <= late_palm_s && cut_short(other));
      (gone ? all_gone : still_down) = true;
    });
    return all_gone && !still_down;
  }

  // Spells of which a touch was told to be this.
  int spells_told(Touch this_one) {
    std::vector<std::uint32_t> told;
    for (std::uint32_t c = 0; c < is_.size(); ++c)
      if (is_[c] == this_one) told.push_back(root(c));
    std::sort(told.begin(), told.end());
    return static_cast<int>(std::unique(told.begin(), told.end()) - told.begin());
  }

  void tell(std::uint32_t c) { is_[c] = palm(c) ? Touch::palm : Touch::ghost; }

  // Spots: up to four ghosts of different spells for each square of again_mm.
  using Square = std::pair<int, int>;
  Square square(const Report& r) const {
    return {static_cast<int>(std::floor(r.x / again_mm)), static_cast<int>(std::floor(r.y / again_mm))};
  }

  void gather_spots() {
    for (std::uint32_t c = 0; c < is_.size(); ++c) {
      if (is_[c] != Touch::ghost || !brief_[c]) continue;
      auto& there = spots_[square(spans_.first(c))];
      const bool known =
          std::any_of(there.begin(), there.end(), [&](std::uint32_t o) { return root(o) == root(c); });
      if (there.size() < 4 && !known) there.push_back(c);
    }
  }

  bool again(std::uint32_t c) {
    const Report& r = spans_.first(c);
    const Square at = square(r);
    int told = 0;
    for (int dx = -1; dx <= 1; ++dx)
      for (int dy = -1; dy <= 1; ++dy) {
        const auto found = spots_.find({at.first + dx, at.second + dy});
        if (found == spots_.end()) continue;
        for (const std::uint32_t ghost : found->second)
          told += root(ghost) != root(c) && apart_mm(spans_.first(ghost), r) <= again_mm;
      }
    return told >= enough_told && !of_stroke(c, beside_mm);
  }

  const Trace& trace_;
  const ContactSpans& spans_;
  std::vector<Touch> is_;
  std::vector<std::uint8_t> brief_, stroke_, asked_;
  std::vector<std::uint32_t> spell_of_;
  std::map<std::uint32_t, Spell> spells_;
  std::map<Square, std::vector<std::uint32_t>> spots_;
};

}  // namespace

std::vector<Touch> told_apart(const Trace& trace, const ContactSpans& spans, Tool counted) {
  return Sorter(trace, spans, counted).sorted();
}

}  // namespace paneproof
