#include "analyzer/report/panel_picture.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/report/cells.hpp"
#include "analyzer/report/colours.hpp"
#include "analyzer/report/fault_marks.hpp"
#include "analyzer/report/legend.hpp"
#include "analyzer/report/ruler.hpp"
#include "analyzer/report/svg.hpp"
#include "analyzer/report/trace_path.hpp"
#include "analyzer/report/wording.hpp"

namespace paneproof {
namespace {

// For numbers of four digits: left of the ruler, and at the right end of the upper one.
constexpr double number_room = 12, half_number = 15;
constexpr double below = 4;  // the glass, for its outline

// A phone's screen is some 350 CSS px wide less margins: drawn a little narrower, letters grow a little.
// A tablet's page is some 530 px wide.
constexpr double pocket_width = 320, tablet_width = 480, tablet_mm = 100;
constexpr double pocket_tallest = 620, pocket_scale = 14, pocket_gap = 24;

}  // namespace

void draw_panel(Sketch& sketch, const CheckResult& result, const PanelScale& scale) {
  const Findings& findings = result.findings;
  const double width_mm = findings.panel_width_mm, height_mm = findings.panel_height_mm;
  draw_cells(sketch, findings.grid, width_mm, height_mm, scale);
  draw_mask(sketch, result.trace.panel, width_mm, height_mm, scale);
  draw_path(sketch, result.trace, std::max(findings.fingertip_mm, 0.0), scale);
  draw_outline(sketch, width_mm, height_mm, result.trace.panel.corner_radius_mm, scale);
  draw_rulers(sketch, width_mm, height_mm, scale);
  draw_fault_marks(sketch, findings, scale);
}

Picture panel_picture(const CheckResult& result, double width, double height, double largest_scale) {
  const Findings& findings = result.findings;
  Picture picture;
  Sketch sketch(picture);
  PanelScale scale;
  scale.left = ruler_room + number_room;
  scale.top = ruler_room + up_marker_room;
  scale.units_per_mm = std::min({(width - scale.left - half_number) / findings.panel_width_mm,
                                 (height - scale.top - below) / findings.panel_height_mm, largest_scale});
  draw_panel(sketch, result, scale);
  picture.width = scale.x(findings.panel_width_mm) + half_number;
  picture.height = scale.y(findings.panel_height_mm) + below;
  return picture;
}

Picture pocket_picture(const CheckResult& result) {
  const bool tablet = std::min(result.findings.panel_width_mm, result.findings.panel_height_mm) > tablet_mm;
  const double width = tablet ? tablet_width : pocket_width;
  Picture picture = panel_picture(result, width, pocket_tallest, pocket_scale);
  const Legend legend(result, Legend::Beside::map_alone, 1, width - 8, 0);
  const double top = picture.height + pocket_gap;
  Sketch sketch(picture);
  legend.draw(sketch, {4, top});
  picture.width = width;
  picture.height = std::ceil(top + legend.height());
  picture.title = "Map of the panel, " + panel_size(result.findings);
  return picture;
}

std::string pocket_svg(const CheckResult& result) { return paint_svg(pocket_picture(result)); }

}  // namespace paneproof
