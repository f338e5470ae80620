#include "capture/rehearse/digitizer.hpp"

#include <algorithm>
#include <array>

namespace paneproof {
namespace {

// The normal distribution's integral from 0, by Simpson's rule, tabled once: |x| < 6, step 1/64.
struct NormalTable {
  std::array<double, 386> value{};
  NormalTable() {
    const auto density = [](double x) { return 0.39894228040143268 * portable::exp(-0.5 * x * x); };
    for (int k = 1; k < 386; ++k) {
      const double a = (k - 1) / 64.0, b = k / 64.0;
      value[k] = value[k - 1] + (density(a) + 4 * density((a + b) / 2) + density(b)) / 384;
    }
  }
  double from_zero(double x) const {
    const double size = std::min(x < 0 ? -x : x, 5.99) * 64;
    const int k = static_cast<int>(size);
    const double area = value[k] + (size - k) * (value[k + 1] - value[k]);
    return x < 0 ? -area : area;
  }
};

double collected(double distance, double pitch, double spread) {
  static const NormalTable table;
  return table.from_zero((distance + pitch / 2) / spread) - table.from_zero((distance - pitch / 2) / spread);
}

constexpr int most_lines = 64;

// Responses of the lines near a footprint along one axis: fills out[first..last].
struct Span {
  int first = 0, last = -1;
  std::array<double, most_lines> response;
};

void respond(Span& span, double at, double inset, double pitch, int count, double spread) {
  const double reach = pitch / 2 + 3.2 * spread;
  span.first = std::max(0, static_cast<int>(std::floor((at - reach - inset) / pitch)) + 1);
  span.last = std::min(
      {count - 1, static_cast<int>(std::floor((at + reach - inset) / pitch)), span.first + most_lines - 1});
  const double full = collected(0, pitch, spread);
  for (int i = span.first; i <= span.last; ++i)
    span.response[i - span.first] = collected(inset + i * pitch - at, pitch, spread) / full;
}

double axis_peak(double at, double inset, double pitch, int count, double spread) {
  const int nearest = std::clamp(static_cast<int>(std::floor((at - inset) / pitch + 0.5)), 0, count - 1);
  return line_response(inset + nearest * pitch - at, pitch, spread);
}

}  // namespace

NodeGrid make_grid(double width, double height, double pitch, double inset, bool rx_are_columns) {
  NodeGrid grid;
  grid.width_mm = width;
  grid.height_mm = height;
  grid.rx_are_columns = rx_are_columns;
  const auto divide = [&](double size, int& count, double& step, double& edge) {
    count = std::max(3, static_cast<int>((size / pitch) - 2 * inset + 1.5));
    step = size / (count - 1 + 2 * inset);
    edge = inset * step;
  };
  divide(width, grid.columns, grid.pitch_x, grid.inset_x);
  divide(height, grid.rows, grid.pitch_y, grid.inset_y);
  return grid;
}

double spread_of_contact(double contact_mm) { return std::sqrt(contact_mm * contact_mm / 16 + 1.1 * 1.1); }

double line_response(double distance, double pitch, double spread) {
  return collected(distance, pitch, spread) / collected(0, pitch, spread);
}

void collect(NodeFrame& frame, const NodeGrid& grid, const std::vector<Footprint>& footprints) {
  std::fill(frame.finger.begin(), frame.finger.end(), 0.0);
  std::fill(frame.signal.begin(), frame.signal.end(), 0.0);
  std::fill(frame.source.begin(), frame.source.end(), std::uint8_t{0});
  std::fill(frame.near.begin(), frame.near.end(), std::uint8_t{0});
  Span across, down;
  for (const Footprint& print : footprints) {
    respond(across, print.at.x, grid.inset_x, grid.pitch_x, grid.columns, print.spread_x);
    respond(down, print.at.y, grid.inset_y, grid.pitch_y, grid.rows, print.spread_y);
    for (int j = down.first; j <= down.last; ++j)
      for (int i = across.first; i <= across.last; ++i) {
        const std::size_t at = grid.index(i, j);
        const double add = print.strength * across.response[i - across.first] * down.response[j - down.first];
        if (add > frame.signal[at]) frame.source[at] = static_cast<std::uint8_t>(print.what);
        frame.signal[at] += add;
        if (print.what == Touching::finger) frame.finger[at] += add;
        frame.near[at] = 1;
      }
  }
}

double sound_peak(const NodeGrid& grid, const Footprint& print) {
  return print.strength * axis_peak(print.at.x, grid.inset_x, grid.pitch_x, grid.columns, print.spread_x) *
         axis_peak(print.at.y, grid.inset_y, grid.pitch_y, grid.rows, print.spread_y);
}

}  // namespace paneproof
