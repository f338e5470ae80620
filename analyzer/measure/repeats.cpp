#include "analyzer/measure/repeats.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "analyzer/measure/chance.hpp"
#include "analyzer/measure/made_by.hpp"
#include "analyzer/measure/segment.hpp"

namespace paneproof {
namespace {

using Counts = std::array<int, makers>;  // by MadeBy
// How many a sound sweep is granted before the data speak (common practice, no source; re-grips and stalls are
// common).
constexpr std::array<double, makers> granted = {0.3, 0.7, 2.0, 2.0};
// Silences need not fall evenly: rows are fastest in mid-panel, where a stall of the host is longest.
constexpr std::array<double, makers> uneven = {1.5, 1.5, 1.5, 2.5};
constexpr double largest_place = 0.5;  // of the panel: what is spread further is no place
constexpr double passage_apart_s = 0.2;
constexpr std::size_t enough_reports = 512;  // a place with so many was reported many times over
constexpr double reported_mm = 2.0;  // a report this near the middle of a gap: that passage was reported

std::size_t maker(const Silence& s) { return static_cast<std::size_t>(made_by(s)); }

// The part of a gap that was surely passed over: a fifth off each end.
Segment core(const Silence& s) {
  const auto part = [&](double share) {
    return Point{s.from.x_mm + share * (s.to.x_mm - s.from.x_mm),
                 s.from.y_mm + share * (s.to.y_mm - s.from.y_mm)};
  };
  return {part(0.2), part(0.8)};
}

class Scan {
 public:
  Scan(const Trace& trace, const std::vector<Silence>& all, const ReportField& field, double d)
      : trace_(trace),
        all_(all),
        field_(field),
        d_(d),
        out_(all.size()),
        neighbours_(all.size()),
        looked_from_(all.size(), all.size()) {
    for (const Silence& s : all) ++total_[maker(s)], mean_gap_mm_ += s.gap_mm;
    if (!all.empty()) mean_gap_mm_ /= static_cast<double>(all.size());
    for (double& g : granted_) g *= static_cast<double>(std::max<std::size_t>(1, trace.sweeps.size()));
    bucket();
  }

  std::vector<Repeat> run() {
    for (std::size_t i = 0; i < all_.size(); ++i) place(i);
    groups();
    line(Repeat::Over::column);
    line(Repeat::Over::row);
    for (std::size_t i = 0; i < all_.size(); ++i)
      if (!out_[i].fault) out_[i].cleared = passed_again(i);
    return std::move(out_);
  }

 private:
  // Silences by 8 mm square of their way, so that neighbours are found without looking at all pairs.
  void bucket() {
    columns_ = std::max(1, static_cast<int>(trace_.panel.width_mm / 8) + 1);
    rows_ = std::max(1, static_cast<int>(trace_.panel.height_mm / 8) + 1);
    squares_.resize(static_cast<std::size_t>(columns_) * rows_);
    for (std::size_t i = 0; i < all_.size(); ++i)
      each_square(all_[i], 0, [&](std::vector<std::uint32_t>& square) {
        if (square.empty() || square.back() != i) square.push_back(static_cast<std::uint32_t>(i));
      });
  }

  template <class Visit>
  void each_square(const Silence& s, int around, Visit visit) {
    const int steps = std::max(1, static_cast<int>(s.gap_mm / 4));
    int seen = -1;
    for (int k = 0; k <= steps; ++k) {
      const double share = static_cast<double>(k) / steps;
      const int column = static_cast<int>(
          std::clamp((s.from.x_mm + share * (s.to.x_mm - s.from.x_mm)) / 8, 0.0, columns_ - 1.0));
      const int row = static_cast<int>(
          std::clamp((s.from.y_mm + share * (s.to.y_mm - s.from.y_mm)) / 8, 0.0, rows_ - 1.0));
      if (row * columns_ + column == seen) continue;
      seen = row * columns_ + column;
      for (int r = std::max(0, row - around); r <= std::min(rows_ - 1, row + around); ++r)
        for (int c = std::max(0, column - around); c <= std::min(columns_ - 1, column + around); ++c)
          visit(squares_[static_cast<std::size_t>(r) * columns_ + c]);
    }
  }

  bool same_passage(const Silence& s, const Silence& t) const {
    return s.sweep == t.sweep && std::abs(s.t_s - t.t_s) < passage_apart_s + std::max(s.gap_s, t.gap_s);
  }

  // Do two gaps lie over one place? Neighbouring rows count: they lie within a fingertip of each other.
  bool over_one_place(const Silence& s, const Silence& t) const {
    const Segment a = core(s), b = core(t);
    if (boxes_apart(a, b, d_)) return false;
    const double ux = (s.to.x_mm - s.from.x_mm) / s.gap_mm, uy = (s.to.y_mm - s.from.y_mm) / s.gap_mm;
    const double vx = (t.to.x_mm - t.from.x_mm) / t.gap_mm, vy = (t.to.y_mm - t.from.y_mm) / t.gap_mm;
    const double apart2 = squared_distance(a, b);
    if (std::abs(ux * vx + uy * vy) < 0.7) return apart2 < d_ * d_ / 16;
    if (apart2 > d_ * d_) return false;
    const auto along = [&](Point p) { return p.x_mm * ux + p.y_mm * uy; };
    const double low = std::max(std::min(along(a.a), along(a.b)), std::min(along(b.a), along(b.b)));
    const double high = std::min(std::max(along(a.a), along(a.b)), std::max(along(b.a), along(b.b)));
    return high - low >= 0.3 * 0.6 * std::min(s.gap_mm, t.gap_mm);
  }

  // Chance of these many silences of each maker where the rest of the sweep makes us expect `share` of them.
  double log_chance(const Counts& here, double share) const {
    return log_chance(here, here, share);
  }

  // `about`: all silences here, `here` those that count.
  double log_chance(const Counts& here, const Counts& about,
                    double share) const {
    double log_p = 0;
    for (std::size_t c = 0; c < makers; ++c)
      log_p += log_poisson_tail(here[c], uneven[c] * share * (total_[c] - about[c] + granted_[c]));
    return log_p;
  }

  // Silences over the same place as silence i, without itself.
  std::vector<std::uint32_t> neighbours(std::size_t i) {
    std::vector<std::uint32_t> near;
    each_square(all_[i], 1, [&](std::vector<std::uint32_t>& square) {
      for (const std::uint32_t j : square) {
        if (j == i || looked_from_[j] == i) continue;
        looked_from_[j] = i;
        if (!same_passage(all_[i], all_[j]) && over_one_place(all_[i], all_[j])) near.push_back(j);
      }
    });
    return near;
  }

  void place(std::size_t i) {
    const Silence& s = all_[i];
    neighbours_[i] = neighbours(i);
    Counts here{};
    ++here[maker(s)];
    for (const std::uint32_t j : neighbours_[i]) ++here[maker(all_[j])];
    Repeat& repeat = out_[i];
    const int reported = passages_reported(s);
    repeat.lost = 1 + static_cast<int>(neighbours_[i].size());
    repeat.passages = repeat.lost + reported;
    if (repeat.lost < 2) return;
    const double share = std::min(1.0, (s.gap_mm + mean_gap_mm_) * 2 * d_ / area());
    const double places = std::max<double>(1 / share, static_cast<double>(all_.size()));
    repeat.log_chance = std::min(0.0, log_chance(here, share) + std::log(places) + reported * std::log(2.0));
    std::vector<std::uint32_t> group = neighbours_[i];
    group.push_back(static_cast<std::uint32_t>(i));
    repeat.fault = repeat.log_chance <= std::log(error_rate_of_sweep) && !hand_made(all_, group);
  }

  // Silences that hang together, each over one place with the next: a place wider than one gap.
  void groups() {
    std::vector<std::uint8_t> seen(all_.size(), 0);
    for (std::size_t i = 0; i < all_.size(); ++i) {
      if (seen[i]) continue;
      std::vector<std::uint32_t> group{static_cast<std::uint32_t>(i)};
      seen[i] = 1;
      for (std::size_t k = 0; k < group.size(); ++k)
        for (const std::uint32_t j : neighbours_[group[k]])
          if (!seen[j]) seen[j] = 1, group.push_back(j);
      if (group.size() > 2) judge_group(group);
    }
  }

  void judge_group(const std::vector<std::uint32_t>& group) {
    double left = 1e9, right = -1e9, top = 1e9, bottom = -1e9;
    Counts here{};
    int reported = 0;
    for (const std::uint32_t i : group) {
      const Silence& s = all_[i];
      ++here[maker(s)];
      reported += out_[i].passages - out_[i].lost;
      left = std::min({left, s.from.x_mm, s.to.x_mm}), right = std::max({right, s.from.x_mm, s.to.x_mm});
      top = std::min({top, s.from.y_mm, s.to.y_mm}), bottom = std::max({bottom, s.from.y_mm, s.to.y_mm});
    }
    const double share = (right - left + d_) * (bottom - top + d_) / area();
    if (share > largest_place) return;
    // Passages reported over one gap are counted again over the next: per gap, not in all.
    const double each = static_cast<double>(reported) / static_cast<double>(group.size());
    const double log_p =
        std::min(0.0, log_chance(here, share) + std::log(std::max(1 / share, 4.0)) + each * std::log(2.0));
    if (log_p > std::log(error_rate_of_sweep) || hand_made(all_, group)) return;
    for (const std::uint32_t i : group) {
      Repeat& repeat = out_[i];
      if (repeat.fault && repeat.log_chance <= log_p) continue;
      repeat.fault = true;
      repeat.log_chance = log_p;
    }
  }

  double area() const { return trace_.panel.width_mm * trace_.panel.height_mm; }

  // Passages that were reported over the middle of a gap.
  int passages_reported(const Silence& s) const {
    const Segment c = core(s);
    std::vector<std::uint32_t> reports;
    const int steps = std::max(1, static_cast<int>(0.6 * s.gap_mm));
    for (int k = 0; k <= steps; ++k) {
      const double share = static_cast<double>(k) / steps;
      field_.some_within(c.a.x_mm + share * (c.b.x_mm - c.a.x_mm), c.a.y_mm + share * (c.b.y_mm - c.a.y_mm),
                         std::min(reported_mm, 0.25 * s.gap_mm), [&](std::uint32_t r) {
                           reports.push_back(r);
                           return reports.size() >= enough_reports;
                         });
      if (reports.size() >= enough_reports) break;
    }
    std::sort(reports.begin(), reports.end());
    int passages = 0;
    const Report* previous = nullptr;
    for (const std::uint32_t r : reports) {
      const Report& report = trace_.reports[r];
      const double t_s = static_cast<double>(report.t_us) * 1e-6;
      if (trace_.contacts[report.contact].sweep == s.sweep && t_s > s.t_s - passage_apart_s &&
          t_s < s.t_s + s.gap_s + passage_apart_s)
        continue;
      if (!previous || previous->contact != report.contact || report.t_us - previous->t_us > 200'000)
        ++passages;
      previous = &report;
    }
    return passages;
  }

  // Were the places along the gap reported by other passages right over it?
  bool passed_again(std::size_t i) const {
    const Silence& s = all_[i];
    const int steps = std::max(2, static_cast<int>(s.gap_mm));
    int covered = 0, asked = 0;
    for (int k = 1; k < steps; ++k, ++asked) {
      const double share = static_cast<double>(k) / steps;
      covered += field_.some_within(
          s.from.x_mm + share * (s.to.x_mm - s.from.x_mm), s.from.y_mm + share * (s.to.y_mm - s.from.y_mm),
          0.375 * d_, [&](std::uint32_t r) {
            const Report& report = trace_.reports[r];
            const double t_s = static_cast<double>(report.t_us) * 1e-6;
            return trace_.contacts[report.contact].sweep != s.sweep || t_s < s.t_s - passage_apart_s ||
                   t_s > s.t_s + s.gap_s + passage_apart_s;
          });
    }
    return covered >= 0.8 * asked;
  }

  // Silences that cross one column (or row) at many places along it.
  void line(Repeat::Over over) {
    const bool column = over == Repeat::Over::column;
    const double extent = column ? trace_.panel.width_mm : trace_.panel.height_mm;
    const int bins = static_cast<int>(std::ceil(extent));
    std::vector<std::vector<std::uint32_t>> crossing(bins);
    double mean_span = 0, spans = 0;
    for (std::size_t i = 0; i < all_.size(); ++i) {
      const Segment c = core(all_[i]);
      const double p = column ? c.a.x_mm : c.a.y_mm, q = column ? c.b.x_mm : c.b.y_mm;
      const double other = column ? c.b.y_mm - c.a.y_mm : c.b.x_mm - c.a.x_mm;
      if (std::abs(q - p) < 0.7 * std::abs(other)) continue;
      mean_span += std::abs(q - p), ++spans;
      const int low = std::clamp(static_cast<int>(std::min(p, q)), 0, bins - 1);
      const int high = std::clamp(static_cast<int>(std::max(p, q)), 0, bins - 1);
      for (int b = low; b <= high; ++b) crossing[b].push_back(static_cast<std::uint32_t>(i));
    }
    if (spans == 0) return;
    const double share = std::min(1.0, mean_span / spans / extent);
    const std::vector<int> reported = reported_crossings(column, bins);
    for (int b = 0; b < bins; ++b) {
      Counts here{}, about{};
      int lost = 0;
      // Two fingers that go together, or a leap and its way back, are one event.
      const Silence* counted = nullptr;
      for (const std::uint32_t i : crossing[b]) {
        ++about[maker(all_[i])];
        if (counted && same_passage(*counted, all_[i])) continue;
        counted = &all_[i];
        ++here[maker(all_[i])], ++lost;
      }
      if (lost < 3) continue;
      const double log_p = std::min(0.0, log_chance(here, about, share) + std::log(1 / share));
      if (log_p > std::log(error_rate_of_sweep) || hand_made(all_, crossing[b]) || aimed(all_, crossing[b], column))
        continue;
      for (const std::uint32_t i : crossing[b]) {
        Repeat& repeat = out_[i];
        if (repeat.fault && repeat.log_chance <= log_p) continue;
        repeat = {true, false, lost, lost + reported[b], log_p, over};
      }
    }
  }

  // How often each 1 mm column (or row) was crossed with reports on both sides at the usual pace.
  std::vector<int> reported_crossings(bool column, int bins) const {
    std::vector<int> count(bins + 1, 0);
    for (const Contact& contact : trace_.contacts)
      for (std::uint32_t i = contact.first + 1; i < contact.first + contact.count; ++i) {
        const Report &a = trace_.reports[i - 1], &b = trace_.reports[i];
        const double p = column ? a.x : a.y, q = column ? b.x : b.y;
        if (std::abs(q - p) > 4.0) continue;
        for (int k = std::max(0, static_cast<int>(std::ceil(std::min(p, q))));
             k <= bins && k < std::max(p, q); ++k)
          ++count[k];
      }
    return count;
  }

  const Trace& trace_;
  const std::vector<Silence>& all_;
  const ReportField& field_;
  double d_;
  std::vector<Repeat> out_;
  std::vector<std::vector<std::uint32_t>> neighbours_;
  std::vector<std::size_t> looked_from_;  // by silence: whose neighbours were last looked for
  Counts total_{};
  std::array<double, makers> granted_ = granted;
  double mean_gap_mm_ = 0;
  int columns_ = 0, rows_ = 0;
  std::vector<std::vector<std::uint32_t>> squares_;
};

}  // namespace

std::vector<Repeat> repeats(const Trace& trace, const std::vector<Silence>& silences,
                            const ReportField& field, double fingertip_mm) {
  return Scan(trace, silences, field, fingertip_mm).run();
}

}  // namespace paneproof
