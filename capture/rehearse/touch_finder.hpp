// From node signals to touches: peaks over a threshold, neighbours merged, a centroid (or parabola)
// about each peak, the cyclic error taken out by the maker's table, the border handled.
#pragma once

#include <vector>

#include "capture/rehearse/digitizer.hpp"
#include "capture/rehearse/personality.hpp"

namespace paneproof {

struct Peak {
  int column = 0, row = 0;
  Vec at;             // mm
  double height = 0;  // of its highest node
  bool cut = false;   // beyond the border cut of a firmware that drops such touches
};

class TouchFinder {
 public:
  TouchFinder(const NodeGrid& grid, const Personality& personality);
  // All touches higher than `lowest`, highest first.
  std::vector<Peak> find(const NodeFrame& frame, double lowest) const;
  // Nodes over the threshold for staying: a palm has many.
  int loaded_nodes(const NodeFrame& frame) const;

 private:
  // What the bare centroid says along one axis for a nominal finger, tabled over its true place.
  struct Table {
    double first = 0, step = 0.1;  // mm: true place of entry 0, distance of entries
    std::vector<double> raw;
    double size = 0, pitch = 0;
    double corrected = 1;  // share of the error inside the panel that is taken out
    double place(double raw_mm) const;
  };
  Table make_table(double size, double pitch, double inset, int count) const;
  double raw_axis(const double* sums, int middle, int count, double inset, double pitch) const;
  double correct(const Table& table, double raw) const;
  Vec locate(const NodeFrame& frame, int column, int row) const;

  const NodeGrid& grid_;
  const Personality& personality_;
  Table x_, y_;
};

}  // namespace paneproof
