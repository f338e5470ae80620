#include "analyzer/report/trace_path.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "analyzer/report/colours.hpp"

namespace paneproof {
namespace {

constexpr double nearest = 1.0;   // page units between spots that are drawn
constexpr double straight = 0.3;  // page units that a left-out spot may lie off the line drawn
constexpr double patch = 4.0;     // page units: side of the patches whose spots are counted
constexpr int enough = 12;        // spots in a patch (some three lines across it) after which it is full
constexpr std::size_t large_trace = 200000;  // reports, from which on one line through a patch is enough
constexpr int enough_of_large = 4;

// Leaves out spots along straight stretches: from each kept spot, the directions that pass every later
// spot within `straight` narrow step by step; when none is left, or the way turns back, the spot before is
// kept. One pass (sleeve fitting: Zhao and Saalfeld, 1997; from memory).
std::vector<Spot> straightened(const std::vector<Spot>& spots) {
  std::vector<Spot> kept = {spots.front()};
  double farthest = 0;
  double middle = 0, low = 0, high = 0;  // directions allowed, relative to the first one
  bool open = false;
  for (std::size_t i = 1; i < spots.size(); ++i) {
    const Spot from = kept.back();
    const double dx = spots[i].x - from.x, dy = spots[i].y - from.y, distance = std::hypot(dx, dy);
    const double slack = distance > straight ? std::asin(straight / distance) : 3.2;
    double turn = std::atan2(dy, dx) - middle;
    turn -= 2 * std::numbers::pi * std::round(turn / (2 * std::numbers::pi));
    const bool turns_back = distance + straight < farthest;
    if (open && (turn < low || turn > high || turns_back)) {
      kept.push_back(spots[--i]);  // this spot is looked at again from the new one
      open = false;
    } else if (!open) {
      middle += turn;
      farthest = distance;
      low = -slack;
      high = slack;
      open = true;
    } else {
      low = std::max(low, turn - slack);
      high = std::min(high, turn + slack);
      farthest = std::max(farthest, distance);
    }
  }
  kept.push_back(spots.back());
  return kept;
}

class PathDrawing {
 public:
  PathDrawing(Sketch& sketch, const Trace& trace, double widest_step_mm, const PanelScale& scale)
      : sketch_(sketch),
        scale_(scale),
        widest_(scale.length(widest_step_mm)),
        columns_(patches(scale.length(trace.panel.width_mm))),
        rows_(patches(scale.length(trace.panel.height_mm))),
        enough_(trace.reports.size() > large_trace ? enough_of_large : enough),
        visits_(columns_ * rows_, 0) {}

  void add(const Report* first, const Report* last) {
    line_.clear();
    bool landed = false;
    for (const Report* report = first; report != last; ++report) {
      const Spot spot = scale_.at(report->x, report->y);
      if (landed) {
        const double step = std::hypot(spot.x - last_.x, spot.y - last_.y);
        if (step < nearest) continue;
        if (step > widest_) end_line();
      }
      landed = true;
      last_ = spot;
      if (visit(spot)) {
        line_.push_back(spot);
      } else {
        end_line();
      }
    }
    end_line();
  }

  void finish() { sketch_.lines("path-tap", std::move(taps_), {colours::path, 2.4}); }

 private:
  static std::size_t patches(double length) {
    return static_cast<std::size_t>(std::clamp(length / patch, 0.0, 4000.0)) + 1;
  }
  static std::size_t patch_of(double offset, std::size_t count) {
    return static_cast<std::size_t>(std::clamp(offset / patch, 0.0, static_cast<double>(count - 1)));
  }
  std::uint8_t& visits_of(Spot spot) {
    return visits_[patch_of(spot.y - scale_.top, rows_) * columns_ +
                   patch_of(spot.x - scale_.left, columns_)];
  }
  // Is the spot still worth drawing?
  bool visit(Spot spot) {
    std::uint8_t& count = visits_of(spot);
    if (count >= enough_) return false;
    ++count;
    return true;
  }
  // A dot; it fills its patch.
  void tap(Spot spot) {
    taps_.lines.push_back({spot, spot});
    visits_of(spot) = static_cast<std::uint8_t>(enough_);
  }
  void end_line() {
    if (line_.size() == 1) tap(line_[0]);
    if (line_.size() > 1) sketch_.line("path", straightened(line_), {colours::path, 1.1});
    line_.clear();
  }

  Sketch& sketch_;
  const PanelScale& scale_;
  double widest_;
  std::size_t columns_, rows_;
  int enough_;
  std::vector<std::uint8_t> visits_;
  std::vector<Spot> line_;
  Segments taps_;
  Spot last_;
};

}  // namespace

void draw_path(Sketch& sketch, const Trace& trace, double widest_step_mm, const PanelScale& scale) {
  PathDrawing drawing(sketch, trace, widest_step_mm, scale);
  for (const Contact& contact : trace.contacts) {
    const Report* first = trace.reports.data() + contact.first;
    drawing.add(first, first + contact.count);
  }
  drawing.finish();
}

}  // namespace paneproof
