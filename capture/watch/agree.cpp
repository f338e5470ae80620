#include "capture/watch/agree.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>
#include <vector>

namespace paneproof {
namespace {

constexpr std::size_t most_places = 300, least_places = 30;
constexpr std::int64_t longest_hold_us = 150'000;  // between two reports of one contact, when it moved
constexpr double apart_mm = 2.5, least_shared = 0.5;

struct Place {
  std::int64_t t_us;
  double x, y;
  std::uint32_t contact;
};

double median(std::vector<double>& v) {
  const auto middle = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2);
  std::nth_element(v.begin(), middle, v.end());
  return *middle;
}

std::vector<Place> in_time(const Trace& trace) {
  std::vector<Place> places;
  for (const Report& r : trace.reports) places.push_back({r.t_us, r.x, r.y, r.contact});
  std::stable_sort(places.begin(), places.end(),
                   [](const Place& a, const Place& b) { return a.t_us < b.t_us; });
  return places;
}

// The log's touch at a time, between two reports of one contact.
bool touch_at(const std::vector<Place>& log, std::int64_t t_us, double& x, double& y) {
  const auto after = std::lower_bound(log.begin(), log.end(), t_us,
                                      [](const Place& p, std::int64_t t) { return p.t_us < t; });
  if (after == log.begin() || after == log.end()) return false;
  const Place &a = *(after - 1), &b = *after;
  if (a.contact != b.contact || (b.t_us - a.t_us > longest_hold_us && std::hypot(b.x - a.x, b.y - a.y) > 2))
    return false;
  const double f =
      b.t_us > a.t_us ? static_cast<double>(t_us - a.t_us) / static_cast<double>(b.t_us - a.t_us) : 0;
  x = a.x + f * (b.x - a.x), y = a.y + f * (b.y - a.y);
  return true;
}

struct Tried {
  double apart = std::numeric_limits<double>::infinity();
  std::size_t compared = 0;
};

// Median distance of these places from the log's, `later_us` later, each grab's own constant taken out.
Tried tried(const std::vector<Place>& places, const std::vector<Place>& log, std::int64_t later_us) {
  struct Off {
    std::uint32_t contact;
    double x, y;
  };
  std::vector<Off> offs;
  for (const Place& p : places) {
    double x = 0, y = 0;
    if (touch_at(log, p.t_us + later_us, x, y)) offs.push_back({p.contact, x - p.x, y - p.y});
  }
  Tried result;
  result.compared = offs.size();
  if (offs.size() < least_places) return result;
  std::vector<double> left;
  for (std::size_t from = 0; from < offs.size();) {
    std::size_t to = from;
    std::vector<double> xs, ys;
    for (; to < offs.size() && offs[to].contact == offs[from].contact; ++to)
      xs.push_back(offs[to].x), ys.push_back(offs[to].y);
    const double mx = median(xs), my = median(ys);
    for (; from < to; ++from) left.push_back(std::hypot(offs[from].x - mx, offs[from].y - my));
  }
  result.apart = median(left);
  return result;
}

// The best time about `about`, in steps down to 1 ms.
std::int64_t nearest(const std::vector<Place>& places, const std::vector<Place>& log, std::int64_t about) {
  std::int64_t best = about;
  double least = std::numeric_limits<double>::infinity();
  for (const std::int64_t step : {8'000, 2'000, 500}) {
    const std::int64_t middle = best;
    for (std::int64_t k = -5; k <= 5; ++k)
      if (const Tried t = tried(places, log, middle + k * step); t.apart < least)
        least = t.apart, best = middle + k * step;
  }
  return best;
}

}  // namespace

Agreement agreement_of(const Trace& recording, const Trace& log_trace) {
  Agreement result;
  const std::vector<Place> all = in_time(recording), log = in_time(log_trace);
  if (all.empty() || log.empty()) return result;
  std::vector<Place> places;
  const std::size_t every = std::max<std::size_t>(1, all.size() / most_places);
  for (std::size_t k = 0; k < all.size(); k += every) places.push_back(all[k]);
  const std::int64_t from = log.front().t_us - all.back().t_us, to = log.back().t_us - all.front().t_us,
                     step = std::max<std::int64_t>(20'000, (to - from) / 4000);
  std::int64_t best = from;
  double least = std::numeric_limits<double>::infinity();
  for (std::int64_t later = from; later <= to; later += step) {
    const Tried t = tried(places, log, later);
    // Of two times at which it fits alike, the one at which more of it does.
    const double cost = (t.apart + 0.05) /
                        std::max(0.01, static_cast<double>(t.compared) / static_cast<double>(places.size()));
    if (cost < least) least = cost, best = later;
  }
  best = nearest(places, log, best);
  const Tried found = tried(places, log, best);
  result.compared = found.compared;
  if (found.compared < least_places) return result;
  result.later_s = static_cast<double>(best) * 1e-6;
  result.apart_mm = found.apart;
  result.shared = static_cast<double>(found.compared) / static_cast<double>(places.size());
  const auto half = places.begin() + static_cast<std::ptrdiff_t>(places.size() / 2);
  const std::int64_t a = nearest({places.begin(), half}, log, best),
                     b = nearest({half, places.end()}, log, best);
  result.drift_ms = static_cast<double>(std::abs(b - a)) * 1e-3;
  result.agrees = result.apart_mm < apart_mm && result.shared >= least_shared;
  return result;
}

std::string told(const Agreement& a) {
  char text[240];
  if (a.agrees)
    std::snprintf(
        text, sizeof text,
        "The log tells the same sweep as the recording: to %.2f mm and %.1f ms in the middle of %zu places, "
        "its clock %.3f s %s.",
        a.apart_mm, a.drift_ms, a.compared, std::abs(a.later_s), a.later_s < 0 ? "behind" : "ahead");
  else if (a.compared < least_places)
    std::snprintf(text, sizeof text,
                  "The log and the recording have too few places in common to be compared.");
  else
    std::snprintf(text, sizeof text,
                  "The log does not tell the sweep of the recording: at best they are %.1f mm apart, with a "
                  "touch in the "
                  "log for %.0f %% of the recording.",
                  a.apart_mm, 100 * a.shared);
  return text;
}

}  // namespace paneproof
