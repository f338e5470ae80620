#include "analyzer/measure/repeats.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "analyzer/measure/chance.hpp"
#include "analyzer/measure/contact_spans.hpp"
#include "analyzer/measure/made_by.hpp"
#include "analyzer/measure/near_silences.hpp"
#include "analyzer/measure/passages.hpp"

namespace paneproof {
namespace {

using Counts = std::array<int, makers>;  // by MadeBy
// How many a sound sweep is granted before the data speak (common practice, no source; re-grips and stalls
// are common).
constexpr std::array<double, makers> granted = {0.3, 0.7, 2.0, 2.0};
constexpr double usual_sweep_s = 120;  // longer ones are granted more
// Silences need not fall evenly: rows are fastest in mid-panel, where a stall of the host is longest.
constexpr std::array<double, makers> uneven = {1.5, 1.5, 1.5, 2.5};
constexpr double largest_place = 0.5;    // of the panel: what is spread further is no place
constexpr double places_apart_mm = 4.0;  // along a line
constexpr int fewest_places = 3;

std::size_t maker(const Silence& s) { return static_cast<std::size_t>(made_by(s)); }

class Scan {
 public:
  Scan(const Trace& trace, const std::vector<Silence>& all, const ReportField& field, double d)
      : trace_(trace),
        all_(all),
        field_(field),
        d_(d),
        near_(trace.panel, all, d),
        out_(all.size()),
        neighbours_(all.size()) {
    for (const Silence& s : all) ++total_[maker(s)], mean_gap_mm_ += s.gap_mm;
    if (!all.empty()) mean_gap_mm_ /= static_cast<double>(all.size());
    const double usual_sweeps = contact_s(trace) / usual_sweep_s;
    for (double& g : granted_)
      g *= std::max(usual_sweeps, static_cast<double>(std::max<std::size_t>(1, trace.sweeps.size())));
  }

  std::vector<Repeat> run() {
    for (std::size_t i = 0; i < all_.size(); ++i) place(i);
    groups();
    line(Repeat::Over::column);
    line(Repeat::Over::row);
    for (std::size_t i = 0; i < all_.size(); ++i)
      if (out_[i].log_chance > std::log(error_rate_of_sweep))
        out_[i].cleared = passed_again(trace_, field_, all_[i], d_);
    return std::move(out_);
  }

 private:
  // Chance of these many silences of each maker where the rest of the sweep makes us expect `share` of them.
  double log_chance(const Counts& here, double share) const { return log_chance(here, here, share); }

  // `about`: all silences here, `here` those that count.
  double log_chance(const Counts& here, const Counts& about, double share) const {
    double log_p = 0;
    for (std::size_t c = 0; c < makers; ++c)
      log_p += log_poisson_tail(here[c], uneven[c] * share * (total_[c] - about[c] + granted_[c]));
    return log_p;
  }

  void place(std::size_t i) {
    const Silence& s = all_[i];
    neighbours_[i] = near_.of(i);
    Counts here{};
    ++here[maker(s)];
    for (const std::uint32_t j : neighbours_[i]) ++here[maker(all_[j])];
    Repeat& repeat = out_[i];
    const int reported = passages_reported(trace_, field_, s);
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

  // How many of these silences lie apart along a column (or row); those of one place are no line's.
  int places_along(const std::vector<std::uint32_t>& crossing, bool column) const {
    std::vector<double> along;
    for (const std::uint32_t i : crossing) {
      const Silence& s = all_[i];
      along.push_back(column ? (s.from.y_mm + s.to.y_mm) / 2 : (s.from.x_mm + s.to.x_mm) / 2);
    }
    std::sort(along.begin(), along.end());
    int places = 0;
    double last_mm = -places_apart_mm;
    for (const double mm : along)
      if (places == 0 || mm - last_mm >= places_apart_mm) ++places, last_mm = mm;
    return places;
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
    const std::vector<int> reported = reported_crossings(trace_, column, bins);
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
      if (lost < 3 || places_along(crossing[b], column) < fewest_places) continue;
      const double log_p = std::min(0.0, log_chance(here, about, share) + std::log(1 / share));
      if (log_p > std::log(error_rate_of_sweep) || hand_made(all_, crossing[b]) ||
          aimed(all_, crossing[b], column))
        continue;
      for (const std::uint32_t i : crossing[b]) {
        Repeat& repeat = out_[i];
        if (repeat.fault && repeat.log_chance <= log_p) continue;
        repeat = {true, false, lost, lost + reported[b], log_p, over};
      }
    }
  }

  const Trace& trace_;
  const std::vector<Silence>& all_;
  const ReportField& field_;
  double d_;
  NearSilences near_;
  std::vector<Repeat> out_;
  std::vector<std::vector<std::uint32_t>> neighbours_;
  Counts total_{};
  std::array<double, makers> granted_ = granted;
  double mean_gap_mm_ = 0;
};

}  // namespace

std::vector<Repeat> repeats(const Trace& trace, const std::vector<Silence>& silences,
                            const ReportField& field, double fingertip_mm) {
  return Scan(trace, silences, field, fingertip_mm).run();
}

}  // namespace paneproof
