// The sensing part of a mutual-capacitance panel: Tx and Rx lines cross in nodes; a finger takes
// charge from the nodes under its footprint. One scan gives one signal a node, 1 for a nominal finger
// on the middle of a node.
//
// Pitch: 4 to 6 mm (a controller maker's sensor design guide: minimum 4, about 5 ideal for an 8 mm
// contact, so that two lines overlap). Contact: 7 to 10 mm (hardware design page of an operating
// system's vendor: mean 9.4 x 8.8 mm). The footprint is a Gaussian as wide as the contact's own
// spread and the fringing field together, collected over each node's square.
#pragma once

#include <cstdint>
#include <vector>

#include "capture/rehearse/finger.hpp"

namespace paneproof {

// Evenly spaced lines; node (i, j) lies at (x_of(i), y_of(j)).
struct NodeGrid {
  int columns = 0, rows = 0;
  double width_mm = 0, height_mm = 0;
  double pitch_x = 0, pitch_y = 0;  // mm between lines
  double inset_x = 0, inset_y = 0;  // mm from the border to the first line
  bool rx_are_columns = true;       // which lines receive
  double x_of(int i) const { return inset_x + i * pitch_x; }
  double y_of(int j) const { return inset_y + j * pitch_y; }
  std::size_t index(int i, int j) const { return static_cast<std::size_t>(j) * columns + i; }
  std::size_t size() const { return static_cast<std::size_t>(columns) * rows; }
};

// pitch_mm: wished; the nearest that divides the panel is taken. inset: share of the pitch between
// border and first line, 0.25 to 0.5.
NodeGrid make_grid(double width_mm, double height_mm, double pitch_mm, double inset, bool rx_are_columns);

// What lies on the glass.
enum class Touching : std::uint8_t { finger, ghost, water, palm };

struct Footprint {
  Vec at;
  double spread_x = 2.4, spread_y = 2.4;  // mm, standard deviation of the footprint
  double strength = 1;
  Touching what = Touching::finger;
};

// Spread of the footprint of a contact this wide: a disc's own (a quarter of its diameter) and
// 1.1 mm of fringing field (our choice), added in squares.
double spread_of_contact(double contact_mm);

// Response of a line `distance_mm` away from the middle of a footprint, 1 at distance 0.
double line_response(double distance_mm, double pitch_mm, double spread_mm);

struct NodeFrame {
  explicit NodeFrame(const NodeGrid& grid)
      : finger(grid.size()), signal(grid.size()), source(grid.size()), near(grid.size()) {}
  std::vector<double> finger;        // by fingers alone, on a sound panel without noise
  std::vector<double> signal;        // what the controller reads
  std::vector<std::uint8_t> source;  // Touching that gives most of the signal
  std::vector<std::uint8_t> near;    // 1: within reach of something, noise was added
};

// Sums the footprints into the frame (finger and signal alike), before faults and noise.
void collect(NodeFrame& frame, const NodeGrid& grid, const std::vector<Footprint>& footprints);

// The highest node that one footprint alone gives on a sound panel.
double sound_peak(const NodeGrid& grid, const Footprint& footprint);

}  // namespace paneproof
