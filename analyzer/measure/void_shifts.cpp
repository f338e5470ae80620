#include "analyzer/measure/void_shifts.hpp"

#include <optional>

#include "analyzer/measure/bends.hpp"

namespace paneproof {
namespace {

std::vector<Point> middles(const Raster& raster, const Regions& regions, std::size_t count) {
  std::vector<Point> middle(count);
  std::vector<double> pixels(count, 0);
  for (int row = 0; row < raster.rows; ++row)
    for (int column = 0; column < raster.columns; ++column)
      if (const std::int32_t label = regions.labels[raster.index(column, row)]) {
        middle[label].x_mm += raster.centre_mm(column), middle[label].y_mm += raster.centre_mm(row);
        ++pixels[label];
      }
  for (std::size_t k = 1; k < count; ++k)
    if (pixels[k] > 0) middle[k].x_mm /= pixels[k], middle[k].y_mm /= pixels[k];
  return middle;
}

bool approached(const Void& v) { return v.crossings > 0 || v.arrivals.size() >= 2; }

}  // namespace

void measure_shifts(const Trace& trace, const std::vector<std::uint8_t>& counts, const Raster& raster,
                    const std::vector<std::int32_t>& beside, const Regions& regions,
                    std::vector<Void>& found) {
  const std::vector<Point> middle = middles(raster, regions, found.size());
  const auto label_at = [&](std::uint32_t report) {
    const Report& r = trace.reports[report];
    const int column = raster.at(r.x), row = raster.at(r.y);
    return raster.holds(column, row) ? beside[raster.index(column, row)] : 0;
  };
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    if (!counts[c]) continue;
    const std::uint32_t first = trace.contacts[c].first, end = first + trace.contacts[c].count;
    for (std::uint32_t i = first, j = first; i < end; i = j) {
      const std::int32_t label = label_at(i);
      for (j = i + 1; j < end && label_at(j) == label;) ++j;
      if (label == 0 || !approached(found[label])) continue;
      std::optional<double> shift = bend_mm(trace, c, i, j - 1, middle[label]);
      if (!shift && (i == first) != (j == end)) shift = veer_mm(trace, c, i, j - 1, middle[label]);
      if (shift) found[label].shifts_mm.push_back(*shift);
    }
  }
}

}  // namespace paneproof
