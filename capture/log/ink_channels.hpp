// InkML's trace format: which value of a point is X, Y, T or the tip switch S, in what units, and how
// the values of one point are written (3.1.2 channel, 3.2.1 trace).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "capture/model/trace.hpp"

namespace paneproof {

struct InkChannel {
  std::string name, units;
  std::optional<double> min, max;
  std::optional<double> units_per_mm;  // from a channelProperty "resolution"
  bool turned = false;                 // orientation "-ve"
  std::string respect_to;              // the timestamp that T counts from, "" when not said
};

struct InkFormat {
  std::vector<InkChannel> channels;  // regular ones first, then intermittent
  std::size_t regular = 0;           // how many every point has
  const InkChannel* find(std::string_view name) const;
};

// mm in one unit of length; empty for a unit that is no absolute length (dev, em, px, "").
std::optional<double> mm_per(std::string_view unit);
// us in one unit of time; empty for anything but ms and s.
std::optional<double> us_per(std::string_view unit);

// Axes of X and Y as the format tells. in_mm when both are lengths and one has no range.
Axes ink_axes(const InkFormat& format);

struct InkPoint {
  double x = 0, y = 0, t = 0;  // as written; for `*` the one before
  bool tip = true;             // tip switch, true when there is no S channel
};

// Reads the values of one point. `last` holds the point before in this trace (for `*`) and becomes the
// new one. Gives "" or what is wrong with the point.
std::string read_ink_point(std::string_view text, const InkFormat& format, bool first, InkPoint& last);

}  // namespace paneproof
