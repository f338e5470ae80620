#include "analyzer/ledger/story.hpp"

#include <catch2/catch.hpp>

using namespace paneproof;

namespace {

StageResult stage(const char* name, double width_mm, double height_mm, bool faulty) {
  StageResult made;
  made.stage = name;
  made.verdict = faulty ? "fail" : "pass";
  Findings& f = made.answer.findings;
  f.panel_width_mm = width_mm, f.panel_height_mm = height_mm;
  f.grid.cell_mm = 5, f.grid.columns = static_cast<int>(width_mm / 5),
  f.grid.rows = static_cast<int>(height_mm / 5);
  if (faulty) {
    DeadZone zone;
    zone.kind = ZoneKind::area;
    zone.x_mm = 20, zone.y_mm = 30, zone.width_mm = 10, zone.height_mm = 10, zone.lost = zone.passages = 3;
    f.dead_zones = {zone};
  }
  return made;
}

bool begins(const std::vector<std::string>& told, const char* words) {
  return told.size() == 1 && told[0].starts_with(words);
}

}  // namespace

TEST_CASE("a fault appears, stays, goes and comes back from stage to stage") {
  const std::vector<StageResult> stages = {stage("intake", 70, 150, true), stage("open", 70, 150, true),
                                           stage("closed", 70, 150, false), stage("return", 70, 150, true)};
  CHECK(begins(changes(stages, 0), "there from the first"));
  CHECK(begins(changes(stages, 1), "still there"));
  CHECK(begins(changes(stages, 2), "no longer found"));
  CHECK(begins(changes(stages, 3), "came back"));
}

TEST_CASE("panels of two sizes under one job are not compared") {
  const std::vector<StageResult> stages = {stage("intake", 70, 150, true), stage("open", 240, 160, true),
                                           stage("closed", 240, 160, true)};
  CHECK(begins(changes(stages, 1),
               "not compared: the panel is 240.0 x 160.0 mm here and 70.0 x 150.0 mm at intake"));
  CHECK(begins(changes(stages, 2), "still there"));
  const std::vector<StageResult> others = {stage("intake", 240, 160, true), stage("open", 70, 150, false),
                                           stage("closed", 70, 150, true)};
  CHECK(begins(changes(others, 2), "new since open"));  // what the other panel showed is none of it
}
