#include "analyzer/measure/report_field.hpp"

#include <cmath>
#include <opencv2/imgproc.hpp>

#include "analyzer/measure/length.hpp"

namespace paneproof {
namespace {
constexpr double nowhere_mm = 1e9;
}

ReportField::ReportField(const Trace& trace, const Raster& raster, const std::vector<std::uint8_t>& counts)
    : raster_(raster), start_(raster.size() + 1, 0), near_mm_(raster.size(), nowhere_mm) {
  const auto pixel_of = [&](const Report& report) -> std::size_t {
    const int column = raster_.at(report.x), row = raster_.at(report.y);
    return raster_.holds(column, row) && counts[report.contact] ? raster_.index(column, row) : raster_.size();
  };
  std::size_t kept = 0;
  for (const Report& report : trace.reports)
    if (const std::size_t pixel = pixel_of(report); pixel < raster_.size()) ++start_[pixel + 1], ++kept;
  for (std::size_t i = 1; i < start_.size(); ++i) start_[i] += start_[i - 1];
  spots_.resize(kept);
  std::vector<std::uint32_t> fill(start_.begin(), start_.end() - 1);
  for (std::size_t i = 0; i < trace.reports.size(); ++i) {
    const Report& report = trace.reports[i];
    const std::size_t pixel = pixel_of(report);
    if (pixel < raster_.size())
      spots_[fill[pixel]++] = {static_cast<std::int32_t>(std::lround(report.x * 1e3)),
                               static_cast<std::int32_t>(std::lround(report.y * 1e3)), static_cast<std::uint32_t>(i)};
  }
  if (kept == 0) return;
  cv::Mat free(raster_.height(), raster_.stride(), CV_8U);
  for (std::size_t i = 0; i < raster_.size(); ++i) free.data[i] = start_[i + 1] == start_[i];
  cv::Mat distance(raster_.height(), raster_.stride(), CV_32F, near_mm_.data());
  cv::distanceTransform(free, distance, cv::DIST_L2, cv::DIST_MASK_PRECISE, CV_32F);
  distance *= raster_.pixel_mm;
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
    const double furthest_y = std::max(std::abs(r * raster_.pixel_mm - y_mm),
                                       std::abs((r + 1) * raster_.pixel_mm - y_mm));
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
