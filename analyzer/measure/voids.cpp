#include "analyzer/measure/voids.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "analyzer/measure/alignment.hpp"
#include "analyzer/measure/barrier_reach.hpp"
#include "analyzer/measure/barriers.hpp"
#include "analyzer/measure/distance_map.hpp"
#include "analyzer/measure/length.hpp"
#include "analyzer/measure/near_silences.hpp"
#include "analyzer/measure/pace.hpp"
#include "analyzer/measure/roundness.hpp"
#include "analyzer/measure/thinned.hpp"
#include "analyzer/measure/void_evidence.hpp"
#include "analyzer/measure/void_parts.hpp"
#include "analyzer/measure/void_shifts.hpp"
#include "analyzer/measure/void_turns.hpp"

namespace paneproof {
namespace {

constexpr double beside_mm = 3.0;  // a report this near the void's border is beside it
constexpr double longest_away_s = 0.7;
constexpr double shortest_mm = 3.0;
constexpr double through = 0.4;   // of a crossing's way holds no report
constexpr double empty_mm = 2.0;  // no report this near
constexpr double strip_longer = 2.0;
// Of what is judged. Where more was left out there was no sweep of the panel: strokes may well end alike
// along so long a border, and small signs add up along it.
constexpr double largest_void = 0.5;
constexpr std::size_t enough_places = 200;  // of arrivals at one side of a void

class Finder {
 public:
  Finder(const Trace& trace, const std::vector<std::uint8_t>& counts, const ReportField& field,
         const std::vector<std::uint8_t>& judged, double d)
      : trace_(trace), counts_(counts), field_(field), raster_(field.raster()), reach_mm_(d / 2 + beside_mm) {
    std::vector<std::uint8_t> core(raster_.size()), covered(raster_.size());
    for (std::size_t i = 0; i < core.size(); ++i) {
      covered[i] = field.near_mm()[i] <= d / 2;
      core[i] = judged[i] && !covered[i];
    }
    judged_pixels_ = static_cast<double>(std::count(judged.begin(), judged.end(), 1));
    out_.regions =
        parts_of(regions_of(core, raster_.stride(), raster_.height(), 0), margins(raster_, covered), raster_);
    out_.found.resize(out_.regions.found.size());
    if (out_.found.size() > 1) spread(core);
  }

  Voids run(const std::vector<Silence>& silences, const std::vector<Repeat>& repeats) {
    if (out_.found.size() <= 1) return std::move(out_);
    for (std::size_t i = 0; i < silences.size(); ++i) {
      const Silence& s = silences[i];
      const std::int32_t label = crossed(out_.empty, raster_, s.from, s.to);
      if (label == 0) continue;
      out_.found[label].faults += repeats[i].fault;
      if (s.kind != Silence::Kind::loss) cross_alive(label, s);
    }
    losses();
    arrivals();
    measure_shifts(trace_, counts_, raster_, beside_, out_.regions, out_.found);
    measure_turns(trace_, counts_, raster_, out_.empty, out_.found);
    for (const Barrier& barrier : barriers(trace_, counts_, field_)) stop_at(barrier);
    const double step = step_mm(silences);
    for (std::size_t k = 1; k < out_.found.size(); ++k) {
      Void& v = out_.found[k];
      v.strip = strip(out_.regions.found[k]);
      const bool place = out_.regions.found[k].pixels <= largest_void * judged_pixels_;
      if (place) v.log_aligned = log_aligned(v.arrivals, trace_.panel, step);
      v.dead = place ? dead(v) : surely_dead(v);
      if (v.dead && place) {  // roundness only speaks against, and takes its time
        v.log_round = log_round(v.arrivals, trace_.panel, step);
        v.dead = dead(v);
      }
      if (v.dead) beyond_arrivals(v);
    }
    return std::move(out_);
  }

  // The void through whose surroundings, empty of reports, a straight way leads; 0 for none.
  static std::int32_t crossed(const std::vector<std::int32_t>& empty, const Raster& raster, Point a,
                              Point b) {
    constexpr int steps = 20;
    std::int32_t label = 0;
    int within = 0;
    for (int k = 1; k < steps; ++k) {
      const double share = static_cast<double>(k) / steps;
      const int column = raster.at(a.x_mm + share * (b.x_mm - a.x_mm));
      const int row = raster.at(a.y_mm + share * (b.y_mm - a.y_mm));
      const std::int32_t here = raster.holds(column, row) ? empty[raster.index(column, row)] : 0;
      if (here == 0) continue;
      if (label == 0) label = here;
      within += here == label;
    }
    return within >= through * steps ? label : 0;
  }

 private:
  static bool strip(const Region& r) {
    const int w = r.right - r.left + 1, h = r.bottom - r.top + 1;
    return std::max(w, h) >= strip_longer * std::min(w, h);
  }

  // Way of the finger between two reports, where silences are.
  static double step_mm(const std::vector<Silence>& silences) {
    std::vector<double> steps;
    for (const Silence& s : silences) steps.push_back(s.speed_mm_s * s.interval_s);
    if (steps.empty()) return 0;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    return *middle;
  }

  // Every pixel within reach of a void takes its label, from neighbour to neighbour outward.
  void spread(const std::vector<std::uint8_t>& core) {
    away_ = distance_map(core, raster_.stride(), raster_.height());
    beside_ = out_.regions.labels;
    const double reach = reach_mm_ / raster_.pixel_mm;
    std::vector<std::size_t> edge;
    for (std::size_t i = 0; i < beside_.size(); ++i)
      if (beside_[i]) edge.push_back(i);
    const std::size_t stride = raster_.stride(), last_row = static_cast<std::size_t>(raster_.height()) - 1;
    for (std::size_t k = 0; k < edge.size(); ++k) {
      const std::size_t at = edge[k], column = at % stride, row = at / stride;
      const auto take = [&](std::size_t next) {
        if (beside_[next] || away_[next] > reach) return;
        beside_[next] = beside_[at];
        edge.push_back(next);
      };
      if (column > 0) take(at - 1);
      if (column + 1 < stride) take(at + 1);
      if (row > 0) take(at - stride);
      if (row < last_row) take(at + stride);
    }
    out_.empty = beside_;
    for (std::size_t i = 0; i < beside_.size(); ++i)
      if (field_.near_mm()[i] <= empty_mm) out_.empty[i] = 0;
  }

  std::int32_t beside(const Report& r) const {
    const int column = raster_.at(r.x), row = raster_.at(r.y);
    return raster_.holds(column, row) ? beside_[raster_.index(column, row)] : 0;
  }

  void cross(std::int32_t label, Point from, Point to) {
    Void& v = out_.found[label];
    ++v.crossings;
    v.ends.push_back(from);
    v.ends.push_back(to);
  }

  void cross_alive(std::int32_t label, const Silence& s) {
    cross(label, s.from, s.to);
    Void& v = out_.found[label];
    const double x = (s.to.x_mm - s.from.x_mm) / s.gap_mm, y = (s.to.y_mm - s.from.y_mm) / s.gap_mm;
    v.arrivals.push_back({s.from, x, y, false});
    v.arrivals.push_back({s.to, -x, -y, true});
    // Two fingers that go together are one event.
    if (v.alive == 0 || s.sweep != v.alive_sweep || s.t_s > v.alive_s + passage_apart_s) ++v.alive;
    v.alive_s = s.t_s + s.gap_s, v.alive_sweep = s.sweep;
  }

  const Report& first(std::uint32_t c) const { return trace_.reports[trace_.contacts[c].first]; }
  const Report& last(std::uint32_t c) const {
    return trace_.reports[trace_.contacts[c].first + trace_.contacts[c].count - 1];
  }

  bool vanishes(std::uint32_t c) const {
    if (!counts_[c] || trace_.contacts[c].ending != Ending::lifted || !beside(last(c))) return false;
    const auto pace = pace_before(trace_, trace_.contacts[c].first + trace_.contacts[c].count - 1);
    return !leaves_glass(trace_.panel, last(c).x, last(c).y, pace ? pace->direction_x : 0,
                         pace ? pace->direction_y : 0);
  }

  bool comes_back(std::uint32_t c) const {
    if (!counts_[c] || !beside(first(c))) return false;
    const auto pace = pace_after(trace_, trace_.contacts[c].first);
    return !leaves_glass(trace_.panel, first(c).x, first(c).y, pace ? -pace->direction_x : 0,
                         pace ? -pace->direction_y : 0);
  }

  // Contacts that end on their way into a void, or begin on their way out of it.
  void arrivals() {
    for (std::uint32_t c = 0; c < trace_.contacts.size(); ++c) {
      if (vanishes(c)) {
        const auto pace = pace_before(trace_, trace_.contacts[c].first + trace_.contacts[c].count - 1);
        if (pace) arrive(last(c), pace->direction_x, pace->direction_y, false);
      }
      if (comes_back(c)) {
        const auto pace = pace_after(trace_, trace_.contacts[c].first);
        if (pace) arrive(first(c), -pace->direction_x, -pace->direction_y, true);
      }
    }
  }

  void arrive(const Report& at, double x, double y, bool began) {
    const std::int32_t label = beside(at);
    for (double mm = beside_mm; mm <= reach_mm_; mm += raster_.pixel_mm) {
      const int column = raster_.at(at.x + mm * x), row = raster_.at(at.y + mm * y);
      if (!raster_.holds(column, row) || out_.empty[raster_.index(column, row)] != label) continue;
      out_.found[label].arrivals.push_back({{at.x, at.y}, x, y, began});
      return;
    }
  }

  // Contacts that ended beside a void and the next that landed beyond it. Which way they went matters not:
  // a finger may turn on a dead place.
  void losses() {
    std::vector<std::uint8_t> taken(trace_.contacts.size(), 0);
    for (std::uint32_t c = 0; c + 1 < trace_.contacts.size(); ++c) {
      if (!vanishes(c)) continue;
      const Report& end = last(c);
      for (std::uint32_t next = c + 1; next < trace_.contacts.size(); ++next) {
        const Report& start = first(next);
        if (trace_.contacts[next].sweep != trace_.contacts[c].sweep) break;
        if (static_cast<double>(start.t_us - end.t_us) * 1e-6 > longest_away_s) break;
        if (taken[next] || start.t_us <= end.t_us || !comes_back(next)) continue;
        if (length(start.x - end.x, start.y - end.y) < shortest_mm) continue;
        const std::int32_t label = crossed(out_.empty, raster_, {end.x, end.y}, {start.x, start.y});
        if (label == 0 || label != beside(end) || label != beside(start)) continue;
        taken[next] = 1;
        cross(label, {end.x, end.y}, {start.x, start.y});
        pace(label, c, next);
        break;
      }
    }
  }

  void pace(std::int32_t label, std::uint32_t c, std::uint32_t next) {
    const auto before = pace_before(trace_, trace_.contacts[c].first + trace_.contacts[c].count - 1);
    const auto after = pace_after(trace_, trace_.contacts[next].first);
    if (!before || !after) return;
    const Report &end = last(c), &start = first(next);
    const double gap_s = static_cast<double>(start.t_us - end.t_us) * 1e-6;
    const Crossing crossing{length(start.x - end.x, start.y - end.y),
                            pace_between_mm_s(before, after) * gap_s, gap_s};
    if (!by_another(crossing)) out_.found[label].paced.push_back(crossing);
  }

  // A barrier belongs to the void that lies beyond most of its places.
  void stop_at(const Barrier& barrier) {
    std::vector<int> votes(out_.found.size(), 0);
    for (const Point place : barrier.places) {
      const Point p = beyond(place, barrier.towards, beside_mm);
      const int column = raster_.at(p.x_mm), row = raster_.at(p.y_mm);
      if (raster_.holds(column, row)) ++votes[beside_[raster_.index(column, row)]];
    }
    const auto most = std::max_element(votes.begin() + 1, votes.end());
    if (2 * *most <= static_cast<int>(barrier.places.size())) return;
    if (!lives_beyond(barrier, field_, trace_.panel, reach_mm_)) return;  // edges.hpp weighs that
    const std::vector<Block> blocks = blocks_beyond(barrier, field_, trace_.panel, reach_mm_);
    Void& v = out_.found[static_cast<std::size_t>(most - votes.begin())];
    v.barriers_log_chance += barrier.log_chance;
    v.beyond.insert(v.beyond.end(), blocks.begin(), blocks.end());
  }

  // What lies ahead of fingers that vanished at a dead void, or behind those that came back there.
  void beyond_arrivals(Void& v) const {
    for (const Side side : {Side::left, Side::right, Side::top, Side::bottom}) {
      Barrier barrier{side, {}, 0};
      for (const Arrival& a : v.arrivals)
        if (headed_for(a) == side) barrier.places.push_back(a.place);
      barrier.places = thinned(std::move(barrier.places), enough_places);
      const std::vector<Block> blocks = blocks_beyond(barrier, field_, trace_.panel, reach_mm_);
      v.beyond.insert(v.beyond.end(), blocks.begin(), blocks.end());
    }
  }

  const Trace& trace_;
  const std::vector<std::uint8_t>& counts_;
  const ReportField& field_;
  const Raster& raster_;
  double reach_mm_;
  double judged_pixels_ = 0;
  Voids out_;
  std::vector<float> away_;           // pixels to the nearest void
  std::vector<std::int32_t> beside_;  // label of the void within reach, 0 for none
};

}  // namespace

Voids voids(const Trace& trace, const std::vector<std::uint8_t>& counts, const std::vector<Silence>& silences,
            const std::vector<Repeat>& repeats, const ReportField& field,
            const std::vector<std::uint8_t>& judged, double fingertip_mm) {
  return Finder(trace, counts, field, judged, fingertip_mm).run(silences, repeats);
}

void claim(const Voids& voids, const ReportField& field, const std::vector<Silence>& silences,
           std::vector<Repeat>& repeats) {
  if (voids.found.size() <= 1) return;
  for (std::size_t i = 0; i < silences.size(); ++i) {
    const std::int32_t label = Finder::crossed(voids.empty, field.raster(), silences[i].from, silences[i].to);
    if (!voids.found[label].dead || repeats[i].fault) continue;
    repeats[i].fault = true;
    repeats[i].cleared = false;
    repeats[i].lost = std::max(repeats[i].lost, voids.found[label].crossings);
    repeats[i].passages = std::max(repeats[i].passages, repeats[i].lost);
    repeats[i].log_chance = std::min(repeats[i].log_chance, std::log(error_rate_of_sweep));
  }
}

}  // namespace paneproof
