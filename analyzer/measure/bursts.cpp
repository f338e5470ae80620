#include "analyzer/measure/bursts.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <optional>
#include <set>
#include <utility>

#include "analyzer/measure/chance.hpp"
#include "analyzer/measure/company.hpp"
#include "analyzer/measure/contact_spans.hpp"
#include "analyzer/measure/pace.hpp"
#include "analyzer/measure/side.hpp"

namespace paneproof {
namespace {

// What hands do by themselves, a sweep and a second of contact; measured (bursts.hpp).
struct Granted {
  double least, per_s;
};
constexpr Granted on_pace_granted{1, 2.0 / 60}, brief_granted{1.5, 4.0 / 60}, direct_granted{1, 1.0 / 60};
constexpr double of_elsewhere = 0.25;
constexpr int hardly_repeated = 2;  // among many losses two fall together by chance
constexpr double burst_chance = 0.001, doubt_chance = 0.02;
constexpr double longest_burst_s = 0.4;
constexpr double on_pace_mm = 2.5, on_pace_share = 0.12;

constexpr double longest_absence_s = 0.45, longest_turned_s = 0.3, inside_mm = 2.0;
constexpr double brief_s = 0.2, well_inside_mm = 5.0, no_hand_s = 0.07;
constexpr int no_hand_weight = 3;
constexpr double moving_mm_s = 12.0;
constexpr double least_share = 0.5, most_share = 1.15, most_beyond_mm = 2.0;
constexpr double regrip_s = 0.17, direct_least = 0.7, direct_most = 1.1, direct_least_mm = 3.0;
constexpr double left_out_mm = 6.0;
constexpr double place_mm = 6.0, of_one_place = 0.125, line_chance = 0.0001;
constexpr std::size_t fewest_along = 5;
constexpr double together_s = 0.1;

bool on_pace(const Silence& s) {
  return std::abs(s.excess_mm) <= on_pace_mm + on_pace_share * std::abs(s.gap_mm - s.excess_mm);
}

double log_chance(int count, const Granted& granted, double sweeps, double touched_s, double besides = 0) {
  return log_poisson_tail(count, std::max(granted.least * sweeps, granted.per_s * touched_s) + besides);
}

class AbsenceFinder {
 public:
  AbsenceFinder(const Trace& trace, const std::vector<double>& usual_s,
                const std::vector<std::uint8_t>& counts)
      : trace_(trace), usual_s_(usual_s), counts_(counts), company_(trace, counts), spans_(trace) {}

  Absences all() const {
    Absences found;
    for (std::uint32_t c = 0; c < trace_.contacts.size(); ++c) after(c, found);
    return found;
  }

 private:
  void after(std::uint32_t c, Absences& found) const {
    const Contact& contact = trace_.contacts[c];
    if (!fit(c) || contact.ending != Ending::lifted) return;
    const Report& end = spans_.last(c);
    const auto pace = pace_before(trace_, contact.first + contact.count - 1);
    if (!goes_on_inside(end, pace, 1) || company_.another_stays(c) || company_.crowded(c)) return;
    std::optional<Silence> first_elsewhere;
    for (std::uint32_t next = c + 1; next < trace_.contacts.size(); ++next) {
      if (trace_.contacts[next].sweep != contact.sweep ||
          spans_.start_s(next) - spans_.end_s(c) >= longest_absence_s)
        break;
      if (spans_.first(next).t_us <= end.t_us || !fit(next)) continue;
      const auto absence = between(c, next, pace);
      if (absence && as_far_as_its_pace(*absence)) {
        found.on_pace.push_back(*absence);
        return;
      }
      if (!first_elsewhere) first_elsewhere = absence;
    }
    if (first_elsewhere) found.elsewhere.push_back(*first_elsewhere);
  }

  std::optional<Silence> between(std::uint32_t c, std::uint32_t next,
                                 const std::optional<Pace>& before) const {
    const auto after = pace_after(trace_, trace_.contacts[next].first);
    if ((!before && !after) || !goes_on_inside(spans_.first(next), after, -1)) return std::nullopt;
    Silence s =
        silence_between(trace_, usual_s_, Silence::Kind::loss,
                        trace_.contacts[c].first + trace_.contacts[c].count - 1, trace_.contacts[next].first);
    s.speed_mm_s = pace_between_mm_s(before, after);
    s.excess_mm = s.gap_mm - s.speed_mm_s * s.gap_s;
    return s;
  }

  static bool as_far_as_its_pace(const Silence& s) {
    const double way_mm = s.speed_mm_s * s.gap_s;
    return s.gap_mm >= least_share * way_mm && s.gap_mm <= most_share * way_mm + most_beyond_mm;
  }

  // A finger, and one that stayed.
  bool fit(std::uint32_t c) const {
    return counts_[c] && (spans_.lasts_s(c) >= flicker_s || spans_.extent_mm(c) >= flicker_mm);
  }

  // way: 1 where the finger goes on from the report, -1 where it came to it.
  bool goes_on_inside(const Report& at, const std::optional<Pace>& pace, int way) const {
    if (depth_from_nearest(trace_.panel, at.x, at.y) < inside_mm) return false;
    return !pace ||
           (pace->speed_mm_s >= moving_mm_s &&
            !leaves_glass(trace_.panel, at.x, at.y, way * pace->direction_x, way * pace->direction_y));
  }

  const Trace& trace_;
  const std::vector<double>& usual_s_;
  const std::vector<std::uint8_t>& counts_;
  const Company company_;
  const ContactSpans spans_;
};

Point middle(const Silence& s) { return {(s.from.x_mm + s.to.x_mm) / 2, (s.from.y_mm + s.to.y_mm) / 2}; }

// A hand that leaves a place out hops over it: no report lies there.
bool left_out(const Silence& s, const ReportField& field) {
  const Raster& raster = field.raster();
  const Point at = middle(s);
  const int column = raster.at(at.x_mm), row = raster.at(at.y_mm);
  return raster.holds(column, row) && field.near_mm()[raster.index(column, row)] > left_out_mm;
}

// Which lines of places, three wide, hold more of the losses than chance puts there: a hand that leaves a
// strip out hops over it row after row. By line, how many losses and how many reports it holds; losses come
// where fingers are.
std::vector<std::uint8_t> crowded(const std::vector<int>& losses, const std::vector<int>& reports) {
  const auto three = [](const std::vector<int>& in, std::size_t line) {
    return (line > 0 ? in[line - 1] : 0) + in[line] + (line + 1 < in.size() ? in[line + 1] : 0);
  };
  const int all = std::accumulate(losses.begin(), losses.end(), 0);
  const double all_reports = std::max(1, std::accumulate(reports.begin(), reports.end(), 0));
  std::vector<std::uint8_t> crowded(losses.size(), 0);
  for (std::size_t line = 0; line < losses.size(); ++line) {
    const double share = std::max(1, three(reports, line)) / all_reports;
    crowded[line] = losses[line] > 0 && share < 1 &&
                    log_binomial_tail(three(losses, line), all, share) < std::log(line_chance);
  }
  return crowded;
}

// Those that do not come again along one column or row of places.
std::vector<Silence> off_lines(const std::vector<Silence>& losses, const Trace& trace) {
  if (losses.size() < fewest_along) return losses;
  const auto lines = [](double extent_mm) { return static_cast<std::size_t>(extent_mm / place_mm) + 1; };
  const auto line = [](double mm, const std::vector<int>& in) {
    return static_cast<std::size_t>(std::clamp(mm / place_mm, 0.0, static_cast<double>(in.size() - 1)));
  };
  std::vector<int> lost_columns(lines(trace.panel.width_mm)), lost_rows(lines(trace.panel.height_mm));
  std::vector<int> columns(lost_columns.size()), rows(lost_rows.size());
  for (const Report& r : trace.reports) ++columns[line(r.x, columns)], ++rows[line(r.y, rows)];
  for (const Silence& s : losses)
    ++lost_columns[line(middle(s).x_mm, columns)], ++lost_rows[line(middle(s).y_mm, rows)];
  const auto bad_columns = crowded(lost_columns, columns), bad_rows = crowded(lost_rows, rows);
  std::vector<Silence> kept;
  for (const Silence& s : losses)
    if (!bad_columns[line(middle(s).x_mm, columns)] && !bad_rows[line(middle(s).y_mm, rows)])
      kept.push_back(s);
  return kept;
}

// Those that do not come again at one place, three squares wide.
std::vector<Silence> scattered(const std::vector<Silence>& absences) {
  using Square = std::pair<int, int>;
  const auto square = [](const Silence& s) {
    const Point at = middle(s);
    return Square{static_cast<int>(std::floor(at.x_mm / place_mm)),
                  static_cast<int>(std::floor(at.y_mm / place_mm))};
  };
  std::map<Square, int> in;
  for (const Silence& s : absences) ++in[square(s)];
  const int most = hardly_repeated + static_cast<int>(of_one_place * static_cast<double>(absences.size()));
  std::vector<Silence> kept;
  for (const Silence& s : absences) {
    const auto [column, row] = square(s);
    int near = 0;
    for (int dx = -1; dx <= 1; ++dx)
      for (int dy = -1; dy <= 1; ++dy)
        if (const auto it = in.find({column + dx, row + dy}); it != in.end()) near += it->second;
    if (near <= most) kept.push_back(s);
  }
  return kept;
}

// Fingers that are lost together are one event: a hand lifts them together.
std::vector<Silence> events(std::vector<Silence> losses) {
  std::stable_sort(losses.begin(), losses.end(), [](const Silence& a, const Silence& b) {
    return a.sweep != b.sweep ? a.sweep < b.sweep : a.t_s < b.t_s;
  });
  const auto together = [](const Silence& a, const Silence& b) {
    return a.sweep == b.sweep && b.t_s - a.t_s < together_s;
  };
  losses.erase(std::unique(losses.begin(), losses.end(), together), losses.end());
  return losses;
}

bool well_inside(const Silence& s, const Panel& panel) {
  return std::min(depth_from_nearest(panel, s.from.x_mm, s.from.y_mm),
                  depth_from_nearest(panel, s.to.x_mm, s.to.y_mm)) >= well_inside_mm;
}

// As far off as the pace says, in a straight line or nearly so.
bool direct(const Silence& s) {
  const double way_mm = s.speed_mm_s * s.gap_s;
  return s.gap_mm >= direct_least_mm && s.gap_mm > direct_least * way_mm && s.gap_mm < direct_most * way_mm;
}

}  // namespace

Absences absences(const Trace& trace, const std::vector<double>& usual_s,
                  const std::vector<std::uint8_t>& counts) {
  return AbsenceFinder(trace, usual_s, counts).all();
}

Bursts bursts(const Trace& trace, const std::vector<Silence>& silences, const std::vector<Repeat>& repeats,
              const Absences& absences, const ReportField& field,
              const std::function<bool(double, double)>& faulty) {
  const auto of_a_place = [&](const Silence& s) {
    const Point at = middle(s);
    return left_out(s, field) || faulty(at.x_mm, at.y_mm);
  };
  const double sweeps = static_cast<double>(trace.sweeps.size()), touched_s = contact_s(trace);
  Bursts told{std::vector<std::uint8_t>(silences.size(), 0), {}, 0, false};
  std::map<std::uint32_t, std::size_t> silence_after;  // by the report before it
  std::vector<Silence> on_the_pace;
  for (std::size_t i = 0; i < silences.size(); ++i) {
    const Silence& s = silences[i];
    silence_after.emplace(s.before, i);
    if (s.kind != Silence::Kind::loss || repeats[i].fault) continue;
    const bool quick = s.gap_s < longest_burst_s;
    told.of[i] = on_pace(s) || (quick && !s.mistimed);
    if (on_pace(s) && quick && repeats[i].lost <= hardly_repeated && !of_a_place(s)) on_the_pace.push_back(s);
  }
  std::vector<Silence> brief, straight;
  int elsewhere = 0;
  for (const Silence& s : absences.elsewhere) elsewhere += well_inside(s, trace.panel) && !of_a_place(s);
  for (const Silence& s : absences.on_pace) {
    const auto known = silence_after.find(s.before);
    if (of_a_place(s) || (known != silence_after.end() && repeats[known->second].fault)) continue;
    if (well_inside(s, trace.panel)) {
      if (s.gap_s < brief_s) brief.push_back(s);
      if (!direct(s))
        ++elsewhere;
      else if (s.gap_s >= regrip_s)
        straight.push_back(s);
    }
    if (known != silence_after.end())
      told.of[known->second] = 1;
    else if (s.gap_s < longest_turned_s || direct(s))
      told.others.push_back(s);
  }
  brief = scattered(off_lines(brief, trace)), straight = scattered(off_lines(straight, trace));
  const int on = static_cast<int>(events(off_lines(on_the_pace, trace)).size());
  int weight = 0, short_ones = 0;
  for (const Silence& s : events(brief)) weight += s.gap_s < no_hand_s ? no_hand_weight : 1, ++short_ones;
  const int direct_ones = static_cast<int>(events(straight).size());
  const double log_p = log_chance(on, on_pace_granted, sweeps, touched_s) +
                       log_chance(weight, brief_granted, sweeps, touched_s) +
                       log_chance(direct_ones, direct_granted, sweeps, touched_s, of_elsewhere * elsewhere);
  told.doubtful = log_p <= std::log(doubt_chance);
  if (log_p <= std::log(burst_chance)) {
    told.lost = std::max({on, short_ones, direct_ones});
    return told;
  }
  std::fill(told.of.begin(), told.of.end(), std::uint8_t{0});
  std::set<std::uint32_t> counted;  // by the report before
  for (const auto* losses : {&brief, &straight})
    for (const Silence& s : *losses) counted.insert(s.before);
  std::erase_if(told.others,
                [&](const Silence& s) { return !told.doubtful || counted.count(s.before) == 0; });
  return told;
}

}  // namespace paneproof
