#include "capture/rehearse/touch_finder.hpp"

#include <algorithm>

namespace paneproof {
namespace {

constexpr double nominal_contact_mm = 8.5;
constexpr double least_slope = 0.4;

}  // namespace

TouchFinder::TouchFinder(const NodeGrid& grid, const Personality& personality)
    : grid_(grid), personality_(personality) {
  x_ = make_table(grid.width_mm, grid.pitch_x, grid.inset_x, grid.columns);
  y_ = make_table(grid.height_mm, grid.pitch_y, grid.inset_y, grid.rows);
}

// sums: signal of the lines middle - window .. middle + window (0 outside the panel).
double TouchFinder::raw_axis(const double* sums, int middle, int count, double inset, double pitch) const {
  const int w = personality_.window;
  const double here = inset + middle * pitch;
  if (personality_.parabola && middle > 0 && middle + 1 < count) {
    const double l = sums[w - 1], c = sums[w], r = sums[w + 1], bend = 2 * c - l - r;
    return bend > 1e-9 ? here + pitch * std::clamp(0.5 * (r - l) / bend, -0.6, 0.6) : here;
  }
  double total = 0, moment = 0;
  for (int k = -w; k <= w; ++k) {
    total += sums[k + w];
    moment += k * sums[k + w];
  }
  return total > 0 ? here + pitch * moment / total : here;
}

TouchFinder::Table TouchFinder::make_table(double size, double pitch, double inset, int count) const {
  Table table;
  table.size = size;
  table.pitch = pitch;
  table.first = 0;
  const double spread = spread_of_contact(nominal_contact_mm);
  const int w = personality_.window;
  for (int n = 0; n * table.step <= size + 1e-9; ++n) {
    const double at = n * table.step;
    const int middle = std::clamp(static_cast<int>(std::floor((at - inset) / pitch + 0.5)), 0, count - 1);
    double sums[5] = {};
    for (int k = -w; k <= w; ++k)
      if (middle + k >= 0 && middle + k < count)
        sums[k + w] = std::max(
            0.0, line_response(inset + (middle + k) * pitch - at, pitch, spread) - personality_.floor);
    table.raw.push_back(raw_axis(sums, middle, count, inset, pitch));
  }
  // The maker corrects as much as leaves the error that he puts up with.
  double largest = 0;
  for (std::size_t n = 0; n < table.raw.size(); ++n) {
    const double at = static_cast<double>(n) * table.step;
    if (std::min(at, size - at) > 2 * pitch) largest = std::max(largest, std::abs(table.raw[n] - at));
  }
  if (largest > 0) table.corrected = std::clamp(1 - personality_.cyclic_mm / largest, 0.0, 1.0);
  // Rising, and nowhere so flat that turning it round would blow up the noise: at the border the
  // centroid hardly moves, so makers give up the last millimetre there instead.
  const double least = least_slope * table.step;
  const std::size_t half = table.raw.size() / 2;
  for (std::size_t n = half; n-- > 0;) table.raw[n] = std::min(table.raw[n], table.raw[n + 1] - least);
  for (std::size_t n = half + 1; n < table.raw.size(); ++n)
    table.raw[n] = std::max(table.raw[n], table.raw[n - 1] + least);
  return table;
}

double TouchFinder::Table::place(double raw_mm) const {
  const auto above = std::upper_bound(raw.begin(), raw.end(), raw_mm);
  if (above == raw.begin()) return 0;
  if (above == raw.end()) return size;
  const auto n = static_cast<std::size_t>(above - raw.begin());
  const double rise = raw[n] - raw[n - 1];
  return std::min(size, step * (static_cast<double>(n - 1) + (rise > 0 ? (raw_mm - raw[n - 1]) / rise : 0)));
}

// Wholly at the border, where the centroid is far off; by the maker's share inside.
double TouchFinder::correct(const Table& table, double raw) const {
  const double place = table.place(raw), depth = std::min(place, table.size - place);
  const double inside = std::clamp(depth / table.pitch - 0.8, 0.0, 1.0);
  const double share = 1 - inside * (1 - table.corrected);
  return raw + share * (place - raw);
}

Vec TouchFinder::locate(const NodeFrame& frame, int column, int row) const {
  const int w = personality_.window;
  double across[5] = {}, down[5] = {};
  for (int j = -w; j <= w; ++j)
    for (int i = -w; i <= w; ++i) {
      const int c = column + i, r = row + j;
      if (c < 0 || r < 0 || c >= grid_.columns || r >= grid_.rows) continue;
      const double signal = frame.signal[grid_.index(c, r)];
      // Where the signal rises again outwards, another finger's begins.
      const auto inwards = [](int k) { return k == 2 ? 1 : k == -2 ? -1 : k; };
      if (signal > frame.signal[grid_.index(column + inwards(i), row + inwards(j))]) continue;
      const double value = std::max(0.0, signal - personality_.floor);
      if (!personality_.parabola || j == 0) across[i + w] += value;
      if (!personality_.parabola || i == 0) down[j + w] += value;
    }
  return {correct(x_, raw_axis(across, column, grid_.columns, grid_.inset_x, grid_.pitch_x)),
          correct(y_, raw_axis(down, row, grid_.rows, grid_.inset_y, grid_.pitch_y))};
}

std::vector<Peak> TouchFinder::find(const NodeFrame& frame, double lowest) const {
  std::vector<Peak> out;
  const int columns = grid_.columns, rows = grid_.rows;
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < columns; ++i) {
      const double value = frame.signal[grid_.index(i, j)];
      if (value <= lowest) continue;
      bool highest = true;
      for (int b = std::max(0, j - 1); b <= std::min(rows - 1, j + 1) && highest; ++b)
        for (int a = std::max(0, i - 1); a <= std::min(columns - 1, i + 1); ++a) {
          const double other = frame.signal[grid_.index(a, b)];
          const bool earlier = b < j || (b == j && a < i);
          if (other > value || (earlier && other == value)) highest = false;
        }
      if (highest) out.push_back({i, j, locate(frame, i, j), value, false});
    }
  std::stable_sort(out.begin(), out.end(), [](const Peak& a, const Peak& b) { return a.height > b.height; });
  for (std::size_t k = 0; k < out.size(); ++k)
    out.erase(std::remove_if(out.begin() + static_cast<std::ptrdiff_t>(k) + 1, out.end(),
                             [&](const Peak& p) {
                               return portable::length(p.at.x - out[k].at.x, p.at.y - out[k].at.y) <
                                      personality_.merge_mm;
                             }),
              out.end());
  const double cut = personality_.border_cut_mm;
  for (Peak& p : out)
    p.cut = personality_.cut_drops &&
            (p.at.x < cut || p.at.y < cut || p.at.x > grid_.width_mm - cut || p.at.y > grid_.height_mm - cut);
  return out;
}

int TouchFinder::loaded_nodes(const NodeFrame& frame) const {
  return static_cast<int>(std::count_if(frame.signal.begin(), frame.signal.end(),
                                        [&](double v) { return v > personality_.off; }));
}

}  // namespace paneproof
