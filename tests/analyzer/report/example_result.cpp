#include "tests/analyzer/report/example_result.hpp"

#include <algorithm>
#include <cmath>

namespace paneproof::example {
namespace {

Grid grid_of(double width_mm, double height_mm, double cell_mm) {
  Grid grid;
  grid.cell_mm = cell_mm;
  grid.columns = static_cast<int>(std::ceil(width_mm / cell_mm - 1e-9));
  grid.rows = static_cast<int>(std::ceil(height_mm / cell_mm - 1e-9));
  const std::size_t count = static_cast<std::size_t>(grid.columns) * grid.rows;
  grid.cells.assign(count, CellState::proven);
  grid.masked.assign(count, 0);
  return grid;
}

void set(Grid& grid, double x_mm, double y_mm, double width_mm, double height_mm, CellState state) {
  for (int row = 0; row < grid.rows; ++row)
    for (int column = 0; column < grid.columns; ++column) {
      const double x = (column + 0.5) * grid.cell_mm, y = (row + 0.5) * grid.cell_mm;
      if (x > x_mm && x < x_mm + width_mm && y > y_mm && y < y_mm + height_mm)
        grid.cells[static_cast<std::size_t>(row) * grid.columns + column] = state;
    }
}

// Rows 5 mm apart, there and back, lifted at each end, with a little wave as a hand makes.
void sweep_rows(Trace& trace, double first_y_mm, double last_y_mm) {
  std::int64_t t_us = 0;
  bool back = false;
  for (double y = first_y_mm; y < last_y_mm; y += 5, back = !back) {
    Contact contact;
    contact.first = static_cast<std::uint32_t>(trace.reports.size());
    contact.ending = Ending::lifted;
    const double width = trace.panel.width_mm;
    for (double along = 1.5; along < width - 1.5; along += 1.1, t_us += 8333) {
      const double x = back ? width - along : along;
      const double wave = 0.6 * std::sin(x / 9.0 + y);
      trace.reports.push_back({t_us, x, std::clamp(y + wave, 0.0, trace.panel.height_mm),
                               static_cast<std::uint32_t>(trace.contacts.size()), 0});
    }
    contact.count = static_cast<std::uint32_t>(trace.reports.size()) - contact.first;
    if (contact.count > 0) trace.contacts.push_back(contact);
    t_us += 150000;
  }
}

std::string random_text(std::mt19937_64& random) {
  std::string text;
  for (auto count = random() % 40; count > 0; --count) text += static_cast<char>(random() % 256);
  return text;
}

}  // namespace

CheckResult Parts::result() const {
  return {findings,
          verdict,
          trace,
          notes,
          {{"fingertip_mm", "mm", 8.0}, {"cell_mm", "mm", 5.0}},
          {Condition::charging},
          false,
          "0.0.0"};
}

Parts good_panel(double width_mm, double height_mm) {
  Parts parts;
  Findings& f = parts.findings;
  f.panel_width_mm = parts.trace.panel.width_mm = width_mm;
  f.panel_height_mm = parts.trace.panel.height_mm = height_mm;
  parts.trace.panel.size_origin = "--panel";
  f.fingertip_mm = 8;
  f.grid = grid_of(width_mm, height_mm, 5);
  f.coverage.proven = 1;
  f.coverage.judged_mm2 = width_mm * height_mm;
  f.coverage.largest_untested = {width_mm / 2, height_mm / 2, 5.37};
  f.jitter = {0.062, 0.131, 0.021, 0.28, 3120};
  f.rate = {119.8, 0.008333, 0.008101, 0.008609, 3100, 0.0004, false};
  f.edges = {1.5, 1.5, 2.5, 2.1};
  f.quality = {38.2, 0.91, 131.4, 214.0, 479.2, {}};
  f.most_contacts = 1;
  sweep_rows(parts.trace, 2.5, height_mm);
  f.contacts = static_cast<int>(parts.trace.contacts.size());
  f.reports = static_cast<std::int64_t>(parts.trace.reports.size());
  parts.trace.sweeps.push_back(
      {"handheld-17.log", "getevent", "bench_touch", std::string(64, 'a'), 14821, 38200000, false});
  parts.verdict.outcome = Outcome::pass;
  parts.verdict.reasons = {
      {"swept_and_proven",
       "Every place on the judged area reported a finger, and no circle wider than a fingertip is untested.",
       Outcome::pass}};
  parts.verdict.not_tested = {"absolute position", "force", "the display"};
  parts.verdict.customer =
      "The touch panel was swept with a finger over its whole surface and answered everywhere.";
  return parts;
}

Parts faulty_panel(double width_mm, double height_mm) {
  Parts parts = good_panel(width_mm, height_mm);
  Findings& f = parts.findings;
  const double w = width_mm, h = height_mm;
  Panel& panel = parts.trace.panel;
  panel.rim_mm = f.rim_mm = 1.2;
  panel.corner_radius_mm = 5;
  panel.mask.push_back({MaskShape::Kind::rectangle, w * 0.35, 0, w * 0.3, h * 0.035, "notch"});
  panel.mask.push_back({MaskShape::Kind::circle, w * 0.12, h * 0.06, 5, 5, "camera"});
  f.coverage.masked_mm2 = 412.5;
  const double column = std::floor(w * 0.55 / 5) * 5, row = std::floor(h * 0.4 / 5) * 5;
  set(f.grid, column, 0, 5, h, CellState::silent);
  set(f.grid, w * 0.08, row, w * 0.25, 10, CellState::intermittent);
  set(f.grid, w * 0.65, h * 0.7, w * 0.35, h * 0.3, CellState::unswept);
  f.grid.masked[static_cast<std::size_t>(w * 0.5 / 5)] = 1;
  f.coverage.proven = 0.8412;
  f.coverage.silent = 0.0731;
  f.coverage.intermittent = 0.0214;
  f.coverage.unswept = 0.0643;
  f.coverage.largest_untested = {w * 0.83, h * 0.85, std::min(w, h) * 0.28};
  f.dead_zones.push_back({ZoneKind::line, Along::column, column + 0.4, 0, 4.2, h, 5, 5, false, false, 0.98});
  f.dead_zones.push_back(
      {ZoneKind::area, Along::none, w * 0.08, row, w * 0.25, 9.1, 2, 5, true, false, 0.87});
  f.dead_zones.push_back(
      {ZoneKind::edge_band, Along::row, w * 0.05, h - 4.6, w * 0.4, 4.6, 0, 0, false, true, 0.6});
  for (int i = 0; i < 5; ++i) {
    const double y = h * (0.15 + 0.11 * i);
    f.dropouts.push_back({0, 3.0 + i, 0.0583, column - 1.0, y, 7.1, {column + 6, y}, 6, 5, 5, false, 0.95});
  }
  f.doubts.push_back({0, 9.1, 0.21, {w * 0.2, h * 0.6}, {w * 0.36, h * 0.6}, "regrip_or_loss"});
  f.ghosts.push_back({0, 12.4, w * 0.25, h * 0.8});
  f.ghosts.push_back({0, 14.4, w * 0.85, h * 0.2});
  f.jumps.push_back({0, 15.0, {w * 0.75, h * 0.3}, {w * 0.9, h * 0.38}});
  f.quality.left.push_back({{w * 0.7, h * 0.78}, {w * 0.98, h * 0.78}});
  f.quality.left.push_back({{w * 0.98, h * 0.94}, {w * 0.7, h * 0.94}});
  parts.trace.reports.clear();
  parts.trace.contacts.clear();
  sweep_rows(parts.trace, 2.5, h * 0.7);
  parts.verdict.outcome = Outcome::fail;
  parts.verdict.reasons = {
      {"dead_zone", "A column of the panel 4.2 mm wide lost the finger on 5 of 5 passages.", Outcome::fail},
      {"dropouts", "5 dropouts repeat at the same places.", Outcome::fail},
      {"untested_area", "An area is not swept yet, the largest untested circle is wider than a fingertip.",
       Outcome::resweep}};
  parts.verdict.next_steps = {
      "Reseat the digitizer connector and sweep again.",
      "If the column stays silent, inspect the flex for a crease at the frame's edge.", "Replace the panel."};
  parts.verdict.cautions = {
      "Disconnect the battery before the connector is opened; never pry near a lithium cell."};
  parts.verdict.customer = "The touch panel does not answer in a strip 4 mm wide and has to be repaired.";
  parts.notes = {{"axes_beside_log", "The axes come from the file beside the log.", 1},
                 {"cut_at_end", "The log breaks off in its last line.", 3}};
  return parts;
}

Parts random_panel(std::mt19937_64& random) {
  const auto within = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const double w = within(5, 900), h = within(5, 900);
  Parts parts = random() % 2 ? good_panel(w, h) : faulty_panel(w, h);
  Findings& f = parts.findings;
  f.grid = grid_of(w, h, within(1.5, 12));
  for (CellState& state : f.grid.cells) state = static_cast<CellState>(random() % 4);
  for (std::uint8_t& masked : f.grid.masked) masked = random() % 8 == 0;
  for (auto count = random() % 60; count > 0; --count) {
    const Point a{within(0, w), within(0, h)}, b{within(0, w), within(0, h)};
    f.dropouts.push_back({0, within(0, 60), within(0, 2), a.x_mm, a.y_mm, 3, b, 4, 1, 2, true, 0.5});
    f.doubts.push_back({0, within(0, 60), within(0, 2), a, b, "regrip_or_loss"});
    f.ghosts.push_back({0, within(0, 60), b.x_mm, b.y_mm});
    f.jumps.push_back({0, within(0, 60), a, b});
    f.dead_zones.push_back({static_cast<ZoneKind>(random() % 5), static_cast<Along>(random() % 3), a.x_mm,
                            a.y_mm, within(0, w - a.x_mm), within(0, h - a.y_mm), 1, 2, random() % 2 == 0,
                            random() % 2 == 0, 0.5});
  }
  f.coverage.largest_untested = {within(0, w), within(0, h), within(0, 2 * std::max(w, h))};
  if (random() % 2) f.jitter.resting_rms_mm.reset();
  parts.trace.sweeps[0].device = random_text(random);
  parts.trace.sweeps[0].file = random_text(random);
  parts.verdict.customer = random_text(random);
  parts.notes.push_back({"note", random_text(random), 2});
  return parts;
}

}  // namespace paneproof::example
