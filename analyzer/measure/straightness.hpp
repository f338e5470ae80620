// Straightness: jitter of a moving and of a resting finger, and linearity.
//
// Jitter, moving: the distance, across the path, between a report and a quadratic fitted to the reports
// about it (a window of about 0.065 s, 5 to 15 reports, the report itself included), divided by
// sqrt(1 - leverage) so that it is unbiased for the fit's degrees of freedom when errors are
// independent. The window is shorter than a period of tremor (8 to 12 Hz: Lakie 2015, Sutton & Sykes
// 1967), which the fit therefore follows. The weights are those of Savitzky and Golay (1964), made by
// least squares, not copied from a table. RMS and 95th percentile, one axis, mm. Only where the finger
// goes straight on at an even pace: over 0.12 s about the report the first and the last third of the way
// differ by no more than a quarter of their length and four times the noise. In bends the fit falls short and
// firmware that smooths cuts corners, which comes again in every such bend and is no jitter. With fewer than
// 50 reports on straight ways all moving ones count.
// What the fit follows is not seen: of errors that smoothing firmware stretches over several reports, the
// slow part (docs/accuracy.md tells how much).
// Jitter, resting: deviation of a resting finger's reports from their mean, one axis.
// Linearity: over 30 mm stretches that are near straight, the largest distance from the line that fits
// best across it (orthogonal least squares, Pearson 1901); the median of these.
#pragma once

#include <vector>

#include "analyzer/measure/findings.hpp"
#include "analyzer/measure/silence.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

// Weights w with sum(w_k y_k) the value at the middle of the quadratic fitted to `window` (odd, >= 5)
// equally spaced values.
std::vector<double> quadratic_weights(int window);

struct LineFit {
  double rms_mm = 0, largest_mm = 0;  // distances across the fitted line
  double angle_rad = 0;               // of the line
};
// Orthogonal least squares through two or more points.
LineFit fit_line(const Point* points, std::size_t count);

Jitter straightness(const Trace& trace, const std::vector<std::uint8_t>& counts,
                    const std::vector<double>& usual_s, const std::vector<Silence>& silences);

}  // namespace paneproof
