#include "analyzer/measure/report_field.hpp"

#include <cmath>

#include "analyzer/measure/distance_map.hpp"
#include "analyzer/measure/length.hpp"
#include "capture/model/large_pages.hpp"

namespace paneproof {
namespace {
constexpr double nowhere_mm = 1e9;

// Of a position that is a whole number of micrometres already, but for the rounding of its double.
std::int32_t micrometres(double mm) { return static_cast<std::int32_t>(mm * 1e3 + (mm < 0 ? -0.5 : 0.5)); }
}  // namespace

ReportField::ReportField(const Trace& trace, const Raster& raster, const std::vector<std::uint8_t>& counts)
    : raster_(raster), start_(raster.size() + 1, 0), near_mm_(raster.size(), nowhere_mm) {
  std::vector<std::uint32_t> pixels;
  reserve_on_large_pages(pixels, trace.reports.size());
  pixels.resize(trace.reports.size());
  const auto outside = static_cast<std::uint32_t>(raster_.size());
  for (std::size_t i = 0; i < pixels.size(); ++i) {
    const Report& report = trace.reports[i];
    const int column = raster_.at(report.x), row = raster_.at(report.y);
    const bool kept = raster_.holds(column, row) && counts[report.contact];
    pixels[i] = kept ? static_cast<std::uint32_t>(raster_.index(column, row)) : outside;
    if (kept) ++start_[pixels[i] + 1];
  }
  for (std::size_t i = 1; i < start_.size(); ++i) start_[i] += start_[i - 1];
  reserve_on_large_pages(spots_, start_.back());
  spots_.resize(start_.back());
  std::vector<std::uint32_t> fill(start_.begin(), start_.end() - 1);
  for (std::size_t i = 0; i < pixels.size(); ++i) {
    if (pixels[i] == outside) continue;
    const Report& report = trace.reports[i];
    spots_[fill[pixels[i]]++] = {micrometres(report.x), micrometres(report.y), static_cast<std::uint32_t>(i)};
  }
  if (empty()) return;
  std::vector<std::uint8_t> taken(raster_.size());
  for (std::size_t i = 0; i < taken.size(); ++i) taken[i] = start_[i + 1] != start_[i];
  near_mm_ = distance_map(taken, raster_.stride(), raster_.height());
  for (float& distance : near_mm_) distance *= static_cast<float>(raster_.pixel_mm);
}

double ReportField::nearest_mm(double x_mm, double y_mm) const {
  if (empty()) return nowhere_mm;
  const int column = std::clamp(raster_.at(x_mm), -raster_.margin, raster_.columns + raster_.margin - 1);
  const int row = std::clamp(raster_.at(y_mm), -raster_.margin, raster_.rows + raster_.margin - 1);
  const double slack = 1.5 * raster_.pixel_mm;
  const double centre_off = length(x_mm - raster_.centre_mm(column), y_mm - raster_.centre_mm(row));
  const double reach = near_mm_[raster_.index(column, row)] + slack + centre_off;
  // The nearest report lies in a ring about the query: only its pixels are looked at.
  const double hollow = std::max(0.0, near_mm_[raster_.index(column, row)] - slack - centre_off);
  double best = nowhere_mm;
  const int top = std::max(raster_.at(y_mm - reach), -raster_.margin);
  const int bottom = std::min(raster_.at(y_mm + reach), raster_.rows + raster_.margin - 1);
  const auto scan = [&](int r, double from_mm, double to_mm) {
    const int left = std::max(raster_.at(from_mm), -raster_.margin);
    const int right = std::min(raster_.at(to_mm), raster_.columns + raster_.margin - 1);
    if (left > right) return;
    const std::uint32_t end = start_[raster_.index(right, r) + 1];
    for (std::uint32_t i = start_[raster_.index(left, r)]; i < end; ++i) {
      const double dx = spots_[i].x_mm() - x_mm, dy = spots_[i].y_mm() - y_mm;
      best = std::min(best, dx * dx + dy * dy);
    }
  };
  for (int r = top; r <= bottom; ++r) {
    const double furthest_y =
        std::max(std::abs(r * raster_.pixel_mm - y_mm), std::abs((r + 1) * raster_.pixel_mm - y_mm));
    const double inner = hollow > furthest_y ? std::sqrt(hollow * hollow - furthest_y * furthest_y) : 0.0;
    if (inner > 2 * raster_.pixel_mm) {
      scan(r, x_mm - reach, x_mm - inner + raster_.pixel_mm);
      scan(r, x_mm + inner - raster_.pixel_mm, x_mm + reach);
    } else {
      scan(r, x_mm - reach, x_mm + reach);
    }
  }
  return std::sqrt(best);
}

bool ReportField::any_within(double x_mm, double y_mm, double radius_mm) const {
  const int column = raster_.at(x_mm), row = raster_.at(y_mm);
  if (raster_.holds(column, row)) {
    const double near = near_mm_[raster_.index(column, row)];
    const double slack = 1.5 * raster_.pixel_mm;
    if (near + slack <= radius_mm) return true;
    if (near - slack > radius_mm) return false;
  }
  return some_within(x_mm, y_mm, radius_mm, [](std::uint32_t) { return true; });
}

}  // namespace paneproof
