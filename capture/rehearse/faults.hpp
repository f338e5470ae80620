// What can be wrong with a panel, as it acts on its nodes: lines and areas that read nothing, edges
// that read little, a connector that lets everything go, noise from the supply, touches nobody made,
// positions reported askew.
#pragma once

#include <string>
#include <vector>

#include "capture/rehearse/digitizer.hpp"

namespace paneproof {

enum class FaultKind {
  dead_line,     // one to three neighbouring lines read nothing
  partial_line,  // the same, from a crack on to one end
  dead_area,     // a disc of nodes reads nothing
  weak_line,     // a line that works now and then
  edge_band,     // nodes within a depth of one side read little
  bursts,        // the connector lets go: all nodes read nothing for a moment
  supply_noise,  // a charger's noise on the receiving lines under a finger
  ghosts,        // touches that nobody made
  offset,        // positions shifted
  stretch,       // positions stretched about the middle
};
inline constexpr int fault_kinds = 10;
inline constexpr const char* fault_names[] = {"dead_line", "partial_line", "dead_area",    "weak_line",
                                              "edge_band", "bursts",       "supply_noise", "ghosts",
                                              "offset",    "stretch"};

struct FaultSpec {
  FaultKind kind = FaultKind::dead_line;
  bool along_x = true;     // lines: true for a row (runs along x)
  int lines = 1;           // dead_line, partial_line: neighbouring lines, 1 to 3
  double place = 0.5;      // lines: where across the panel, 0 to 1
  double crack = 0.5;      // partial_line: dead from here to the far end (0..1); negative: to the near end
  Vec centre;              // dead_area: mm
  double size_mm = 10;     // dead_area: diameter; edge_band: depth; offset: length of the shift
  int side = 0;            // edge_band: 0 left, 1 right, 2 top, 3 bottom
  double strength = 0;     // gain that is left (lines, area, band: 0 to 0.2); supply_noise: root mean
                           // square of the noise (1 = a finger); stretch: factor less 1
  double per_minute = 10;  // bursts, ghosts, weak_line: how often
  double lasting_s = 0.1;  // bursts, ghosts, weak_line: mean duration
  double turn = 0;         // offset: direction of the shift, radians
};

// A fault of a kind with every value drawn: the place is inside the panel.
FaultSpec random_fault(FaultKind kind, double width_mm, double height_mm, Random& random);

// Where a panel was made dead.
struct DeadPlace {
  FaultKind kind = FaultKind::dead_line;
  bool along_x = true;
  double x_mm = 0, y_mm = 0, width_mm = 0, height_mm = 0;  // box of the nodes' squares
  bool always = true;                                      // false: now and then
  bool disc = false;                                       // the disc in the box, not all of it
};

class Faults {
 public:
  Faults(std::vector<FaultSpec> specs, const NodeGrid& grid, double duration_s, Random random);

  // Moves to the time of a scan (never back) and acts on the frame's signals.
  void act(NodeFrame& frame, double t_s);
  // Only what is always so: gains of dead and weak places.
  void act_always(NodeFrame& frame) const;
  // Touches of nobody at this time.
  void add_ghosts(std::vector<Footprint>& footprints, double t_s) const;
  // The position that a controller with this fault tells.
  Vec tell(Vec at) const;
  // Name of the fault that takes signal from node (i, j) now; -1 for none.
  int cause_at(int i, int j) const;
  const std::vector<DeadPlace>& places() const { return places_; }
  const std::vector<FaultSpec>& specs() const { return specs_; }

 private:
  struct Episode {
    double from_s = 0, to_s = 0;
    Vec at;
    double strength = 0;
  };
  // Nodes under one fault, with the gain that it leaves.
  struct Patch {
    int fault = 0;
    std::vector<std::uint32_t> nodes;
    std::vector<float> gains;
    bool now = true;  // acts at the present time
  };
  void add_lines(int fault);
  void add_area(int fault);
  void add_band(int fault);
  void add_episodes(int fault, double duration_s);
  void add_noise(NodeFrame& frame, const FaultSpec& spec, double t_s);

  std::vector<FaultSpec> specs_;
  const NodeGrid& grid_;
  Random random_;
  std::vector<Patch> patches_;
  std::vector<std::vector<Episode>> episodes_;  // one list a fault
  std::vector<DeadPlace> places_;
  int burst_ = -1;  // the fault whose burst is on
};

}  // namespace paneproof
