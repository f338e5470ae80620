#include "analyzer/measure/silence.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "analyzer/measure/company.hpp"
#include "analyzer/measure/contact_spans.hpp"
#include "analyzer/measure/course.hpp"
#include "analyzer/measure/length.hpp"
#include "analyzer/measure/pace.hpp"
#include "analyzer/measure/side.hpp"

namespace paneproof {
namespace {

constexpr double longest_break_s = 0.7, same_place_mm = 2.5;
constexpr int fewest_flickers = 20;  // of 33
constexpr double page_side_mm = 6.0, quickest_turn_s = 0.25;
constexpr double shortest_gap_mm = 3.0;  // less cannot hide half a fingertip
constexpr double landing_s = 0.16;       // firmware holds a landing for up to 0.13 s, then leaps
constexpr double hole_intervals = 2.2;   // from here on an interval is no scatter (7 % at most) any more
constexpr double moving_mm_s = 12.0;     // slower, a finger turns or is about to lift
constexpr double leap_factor = 1.5, leap_slack_mm = 2.5;
constexpr std::uint32_t most_strays = 4;
constexpr double stray_factor = 1.5;
// Over a narrower gap a fingertip is seen from one side or the other all the way, however long it seems to
// rest.
constexpr double held_mm = 0.5, wide_gap_mm = 12.0;
constexpr double quick_hand_s = 0.1;    // few hands lift and land faster
constexpr double longest_loss_s = 0.6;  // hands lift for 0.08 to 0.6 s; beyond it nothing tells them apart
constexpr double same_course = 0.7;     // cosine: within 45 degrees
// What is reported of a loss may be longer than the finger's way by two electrode pitches and more, as
// reports keep to the living side, or shorter, as a landing is held.
constexpr double least_way = 0.35, most_way = 1.8, short_slack_mm = 5.0, long_slack_mm = 14.0;
constexpr double no_hand_s = 0.045, longest_slack_mm = 28.0;  // no hand lifts and lands faster
// A finger on the glass keeps its pace; what is reported of a gap is hardly shorter than its way.
constexpr double early_mm = 3.0, early_share = 0.12;
constexpr double rest_s = 0.25;
constexpr double unsettled_s = 0.2, unsettled_intervals = 1.8;

Point at(const Report& report) { return {report.x, report.y}; }
double distance(Point a, Point b) { return length(b.x_mm - a.x_mm, b.y_mm - a.y_mm); }
double seconds(std::int64_t us) { return static_cast<double>(us) * 1e-6; }

class Finder {
 public:
  Finder(const Trace& trace, const std::vector<double>& usual_s, const std::vector<std::uint8_t>& counts)
      : trace_(trace), usual_s_(usual_s), counts_(counts), company_(trace, counts) {
    std::vector<double> sorted = usual_s;
    if (sorted.empty()) return;
    const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
    std::nth_element(sorted.begin(), middle, sorted.end());
    common_s_ = *middle;
  }

  std::vector<Silence> breaks(const std::vector<Silence>& known,
                              const std::function<bool(double, double)>& faulty) {
    std::vector<std::uint8_t> told(trace_.contacts.size(), 0);
    for (const Silence& s : known)
      if (s.kind == Silence::Kind::loss) told[trace_.reports[s.before].contact] = 1;
    for (std::uint32_t c = 0; c + 1 < trace_.contacts.size(); ++c) {
      if (!counts_[c] || told[c] || trace_.contacts[c].ending != Ending::lifted ||
          !faulty(last(c).x, last(c).y))
        continue;
      std::uint32_t next = c + 1;
      while (next < trace_.contacts.size() && (!counts_[next] || first(next).t_us <= last(c).t_us)) ++next;
      if (next == trace_.contacts.size() || trace_.contacts[next].sweep != trace_.contacts[c].sweep) continue;
      if (seconds(first(next).t_us - last(c).t_us) > longest_break_s || !faulty(first(next).x, first(next).y))
        continue;
      Silence silence = between(Silence::Kind::loss, trace_.contacts[c].first + trace_.contacts[c].count - 1,
                                trace_.contacts[next].first);
      if (!faulty_between(silence, faulty)) continue;
      if (silence.gap_s > quickest_turn_s && off_page(last(c), first(next))) continue;
      // Among many touches that come and go, noise makes them, and no finger's way can be told.
      if (flicker(c) && flicker(next)) continue;
      if (flickers_about(c) >= fewest_flickers) continue;
      // Back where it went: a finger that was lifted and set down again.
      if (silence.gap_mm < same_place_mm && silence.gap_s > quick_hand_s) continue;
      found_.push_back(silence);
    }
    return std::move(found_);
  }

  std::vector<Silence> all() {
    for (std::uint32_t c = 0; c < trace_.contacts.size(); ++c) {
      if (!counts_[c]) continue;
      steps_of(c);
      if (trace_.contacts[c].ending == Ending::lifted) loss_after(c);
    }
    std::stable_sort(found_.begin(), found_.end(), [](const Silence& a, const Silence& b) {
      return a.sweep != b.sweep ? a.sweep < b.sweep : a.t_s < b.t_s;
    });
    return std::move(found_);
  }

 private:
  // From one fault to another a hand flies.
  static bool faulty_between(const Silence& s, const std::function<bool(double, double)>& faulty) {
    for (const double share : {0.25, 0.5, 0.75})
      if (!faulty(s.from.x_mm + share * (s.to.x_mm - s.from.x_mm),
                  s.from.y_mm + share * (s.to.y_mm - s.from.y_mm)))
        return false;
    return true;
  }

  const Report& first(std::uint32_t c) const { return trace_.reports[trace_.contacts[c].first]; }
  const Report& last(std::uint32_t c) const {
    return trace_.reports[trace_.contacts[c].first + trace_.contacts[c].count - 1];
  }

  Silence between(Silence::Kind kind, std::uint32_t before, std::uint32_t after) const {
    return silence_between(trace_, usual_s_, kind, before, after);
  }

  void steps_of(std::uint32_t c) {
    const Contact& contact = trace_.contacts[c];
    const std::uint32_t end = contact.first + contact.count;
    const std::int64_t landed_us = trace_.reports[contact.first].t_us;
    bool awake = false;
    for (std::uint32_t i = contact.first + 1; i + 1 < end; ++i) {
      const Report &a = trace_.reports[i], &b = trace_.reports[i + 1];
      awake = awake || seconds(a.t_us - trace_.reports[i - 1].t_us) < hole_intervals * usual_s_[c];
      if (std::abs(b.x - a.x) + std::abs(b.y - a.y) < shortest_gap_mm) continue;
      if (i < contact.first + 2 || seconds(a.t_us - landed_us) < landing_s) continue;
      step(i, awake);
    }
  }

  // awake: the controller has scanned at its usual rate before (it wakes up slowly).
  void step(std::uint32_t i, bool awake) {
    Silence silence = between(Silence::Kind::leap, i, i + 1);
    if (silence.gap_mm < shortest_gap_mm ||
        leaps_to_border(trace_.panel, silence.from.x_mm, silence.from.y_mm, silence.to.x_mm, silence.to.y_mm))
      return;
    const double waited_s = std::max(silence.gap_s, silence.interval_s);
    const double beside_mm_s = std::max(step_speed(i, -1), step_speed(i + 1, 1));
    const bool late = awake && silence.gap_s >= hole_intervals * silence.interval_s;
    // The steps beside it explain most long steps; the stretches around it take longer to measure.
    if (!late && silence.gap_mm <= leap_factor * beside_mm_s * waited_s + leap_slack_mm) return;
    const auto before = pace_before(trace_, i), after = pace_after(trace_, i + 1);
    if (!before || !after) return;
    silence.speed_mm_s = std::max({before->speed_mm_s, after->speed_mm_s, beside_mm_s});
    const double explained_mm = silence.speed_mm_s * waited_s;
    silence.excess_mm = silence.gap_mm - explained_mm;
    if (silence.gap_mm > leap_factor * explained_mm + leap_slack_mm) {
      if (!company_.exchanged(i)) found_.push_back(caught_up(since_held(silence), before->speed_mm_s));
    } else if (late && silence.speed_mm_s >= moving_mm_s && silence.gap_mm >= least_way * explained_mm) {
      silence.kind = Silence::Kind::hole;
      found_.push_back(silence);
    }
  }

  // Firmware that holds a lost contact where it was, and then leaps: contact was lost when it came to a stop.
  Silence since_held(const Silence& leap) const {
    const std::uint32_t first = trace_.contacts[trace_.reports[leap.before].contact].first;
    std::uint32_t from = leap.before;
    while (from > first && distance(at(trace_.reports[from - 1]), leap.from) < held_mm) --from;
    if (from == leap.before || leap.gap_mm < wide_gap_mm) return leap;
    Silence whole = between(Silence::Kind::leap, from, leap.after);
    whole.speed_mm_s = leap.speed_mm_s;
    whole.excess_mm = whole.gap_mm - leap.speed_mm_s * whole.gap_s;
    return whole;
  }

  // Firmware that smooths does not leap at once: it leaves stray reports within the leap.
  Silence caught_up(const Silence& leap, double speed_mm_s) const {
    const Contact& contact = trace_.contacts[trace_.reports[leap.before].contact];
    const std::uint32_t end = std::min(contact.first + contact.count, leap.after + most_strays + 1);
    std::uint32_t to = leap.after;
    for (; to + 1 < end; ++to) {
      const Report &a = trace_.reports[to], &b = trace_.reports[to + 1];
      const double way_mm = distance(at(a), at(b)), took_s = seconds(b.t_us - a.t_us);
      const double along_mm =
          ((b.x - a.x) * (leap.to.x_mm - leap.from.x_mm) + (b.y - a.y) * (leap.to.y_mm - leap.from.y_mm)) /
          leap.gap_mm;
      if (way_mm <= stray_factor * speed_mm_s * took_s || along_mm < same_course * way_mm) break;
    }
    if (to == leap.after) return leap;
    Silence whole = between(Silence::Kind::leap, leap.before, to);
    whole.speed_mm_s = speed_mm_s;
    whole.excess_mm = whole.gap_mm - speed_mm_s * whole.gap_s;
    return whole;
  }

  // Over the three steps before (-1) or after (1) a report: a finger that has just sped up.
  double step_speed(std::uint32_t i, int way) const {
    const Contact& contact = trace_.contacts[trace_.reports[i].contact];
    const std::uint32_t low = contact.first, high = contact.first + contact.count - 1;
    const std::uint32_t other = way < 0 ? std::max(low + 3, i) - 3 : std::min(high, i + 3);
    const double took_s = seconds(std::abs(trace_.reports[i].t_us - trace_.reports[other].t_us));
    return took_s > 0 ? distance(at(trace_.reports[i]), at(trace_.reports[other])) / took_s : 0;
  }

  // The contact that takes up the motion in which `c` ended, if there is one.
  void loss_after(std::uint32_t c) {
    const std::uint32_t end = trace_.contacts[c].first + trace_.contacts[c].count - 1;
    const auto before = pace_before(trace_, end);
    if (unsettled(c) || (before ? before->speed_mm_s < moving_mm_s : rests(c))) return;
    if (before && leaves_glass(trace_.panel, last(c).x, last(c).y, before->direction_x, before->direction_y))
      return;
    if (company_.another_stays(c) || company_.crowded(c)) return;
    for (std::uint32_t next = c + 1; next < trace_.contacts.size(); ++next) {
      if (trace_.contacts[next].sweep != trace_.contacts[c].sweep) break;
      if (seconds(first(next).t_us - last(c).t_us) > longest_loss_s) break;
      if (!counts_[next] || first(next).t_us <= last(c).t_us) continue;
      if (const auto silence = loss(c, next, before)) {
        found_.push_back(*silence);
        return;
      }
    }
  }

  std::optional<Silence> loss(std::uint32_t c, std::uint32_t next, const std::optional<Pace>& before) const {
    const std::uint32_t end = trace_.contacts[c].first + trace_.contacts[c].count - 1;
    const auto after = pace_after(trace_, trace_.contacts[next].first);
    Silence silence = between(Silence::Kind::loss, end, trace_.contacts[next].first);
    if (silence.gap_mm < shortest_gap_mm || (!before && !after)) return std::nullopt;
    if (after ? after->speed_mm_s < moving_mm_s : rests(next)) return std::nullopt;
    // Landing from beyond the border is no return of a finger that stayed on the glass.
    if (after && leaves_glass(trace_.panel, silence.to.x_mm, silence.to.y_mm, -after->direction_x,
                              -after->direction_y))
      return std::nullopt;
    silence.speed_mm_s = pace_between_mm_s(before, after);
    const auto [goes, way_mm] = course(silence, before, after);
    if (goes == Course::Goes::elsewhere) return std::nullopt;
    silence.one_sided = goes == Course::Goes::one_sided || flicker(c) || flicker(next);
    if (silence.gap_mm < least_way * way_mm - short_slack_mm) return std::nullopt;
    const bool no_hand = silence.gap_s - silence.interval_s < no_hand_s;
    if (silence.gap_mm > most_way * way_mm + (no_hand ? longest_slack_mm : long_slack_mm))
      return std::nullopt;
    if (company_.another_was(next)) return std::nullopt;
    silence.excess_mm = silence.gap_mm - way_mm;
    silence.mistimed = silence.excess_mm < -(early_mm + early_share * way_mm);
    return silence;
  }

  // A contact without a pace of its own that stayed as long as a finger at rest does.
  bool rests(std::uint32_t c) const { return seconds(last(c).t_us - first(c).t_us) >= rest_s; }

  // Off the page and back over the same side: a row's turn.
  bool off_page(const Report& end, const Report& start) const {
    for (const Side side : {Side::left, Side::right, Side::top, Side::bottom})
      if (depth_from(side, trace_.panel, end.x, end.y) < page_side_mm &&
          depth_from(side, trace_.panel, start.x, start.y) < page_side_mm)
        return true;
    return false;
  }

  // A controller that wakes up scans slowly at first: a fast finger is far off at the next scan, and a
  // new contact. Such a landing is no loss.
  bool unsettled(std::uint32_t c) const {
    const double lasted_s = seconds(last(c).t_us - first(c).t_us);
    const std::uint32_t count = trace_.contacts[c].count;
    return lasted_s < unsettled_s && (count == 1 || lasted_s > unsettled_intervals * (count - 1) * common_s_);
  }

  // How many of the sixteen contacts before and after `c` hardly were one.
  int flickers_about(std::uint32_t c) const {
    const auto end = std::min<std::size_t>(trace_.contacts.size(), c + 17);
    int count = 0;
    for (std::uint32_t k = c > 16 ? c - 16 : 0; k < end; ++k) count += flicker(k);
    return count;
  }

  // A contact that hardly was one: a finger that lands or lifts may show such a flicker.
  bool flicker(std::uint32_t c) const {
    return seconds(last(c).t_us - first(c).t_us) < flicker_s &&
           distance(at(first(c)), at(last(c))) < flicker_mm;
  }

  const Trace& trace_;
  const std::vector<double>& usual_s_;
  const std::vector<std::uint8_t>& counts_;
  const Company company_;
  double common_s_ = 0;  // usual interval of most contacts
  std::vector<Silence> found_;
};

}  // namespace

Silence silence_between(const Trace& trace, const std::vector<double>& usual_s, Silence::Kind kind,
                        std::uint32_t before, std::uint32_t after) {
  const Report &a = trace.reports[before], &b = trace.reports[after];
  Silence silence;
  silence.kind = kind;
  silence.before = before;
  silence.after = after;
  silence.from = at(a);
  silence.to = at(b);
  silence.t_s = seconds(a.t_us);
  silence.gap_s = seconds(b.t_us - a.t_us);
  silence.gap_mm = distance(silence.from, silence.to);
  silence.interval_s = usual_s[a.contact];
  silence.sweep = trace.contacts[a.contact].sweep;
  return silence;
}

int Silence::missed() const {
  return interval_s > 0 ? std::max(0, static_cast<int>(std::lround(gap_s / interval_s)) - 1) : 0;
}

std::vector<Silence> breaks_at(const Trace& trace, const std::vector<double>& usual_s,
                               const std::vector<std::uint8_t>& counts, const std::vector<Silence>& known,
                               const std::function<bool(double, double)>& faulty) {
  return Finder(trace, usual_s, counts).breaks(known, faulty);
}

std::vector<Silence> silences(const Trace& trace, const std::vector<double>& usual_s,
                              const std::vector<std::uint8_t>& counts) {
  return Finder(trace, usual_s, counts).all();
}

}  // namespace paneproof
