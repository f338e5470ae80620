#include "analyzer/ledger/stages_picture.hpp"

#include <catch2/catch.hpp>
#include <cstring>

#include "analyzer/report/lettering.hpp"

using namespace paneproof;

namespace {

StageResult stage(const char* name, double width_mm, double height_mm) {
  StageResult made;
  made.stage = name, made.verdict = "resweep", made.stated_time = "2026-11-28T10:53:47+00:00";
  Findings& f = made.answer.findings;
  f.panel_width_mm = width_mm, f.panel_height_mm = height_mm, f.fingertip_mm = 8;
  Grid& grid = f.grid;
  grid.cell_mm = 5, grid.columns = static_cast<int>(width_mm / 5),
  grid.rows = static_cast<int>(height_mm / 5);
  grid.cells.assign(static_cast<std::size_t>(grid.columns * grid.rows), CellState::proven);
  made.answer.trace.panel.width_mm = width_mm, made.answer.trace.panel.height_mm = height_mm;
  made.answer.trace.sweeps.emplace_back();
  return made;
}

// The right end of every word, and the lowest.
void check_all_on_page(const Picture& picture) {
  for (const Shape& shape : picture.shapes) {
    const auto* text = std::get_if<Lettering>(&shape.form);
    if (!text || text->anchor != Anchor::start) continue;
    INFO(text->characters);
    CHECK(text->x + lettering_width(text->characters, text->size, text->bold) <= picture.width);
    CHECK(text->y <= picture.height);
  }
}

}  // namespace

TEST_CASE("no word of a job's picture is cut off, however few its stages and long its name") {
  for (const auto& [width_mm, height_mm] : {std::pair{68.0, 142.0}, {40.0, 300.0}, {320.0, 200.0}})
    for (std::size_t count : {1u, 2u, 3u, 6u}) {
      INFO(count << " stages of " << width_mm << " x " << height_mm);
      const std::vector<StageResult> stages(count, stage("closed", width_mm, height_mm));
      check_all_on_page(stages_picture(stages, "WO-7"));
      check_all_on_page(stages_picture(stages, std::string(64, 'W')));
    }
}

TEST_CASE("a job of one stage keeps no room for differences") {
  const Picture one = stages_picture({stage("closed", 68, 142)}, "WO-7");
  double lowest = 0;
  for (const Shape& shape : one.shapes)
    if (std::strcmp(shape.role, "panel-outline") == 0) {
      const auto& box = std::get<Rectangle>(shape.form);
      lowest = box.y + box.height;
    }
  CHECK(lowest > 0);
  CHECK(one.height - lowest < 120);
}
