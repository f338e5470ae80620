#include "analyzer/report/json.hpp"

#include <catch2/catch.hpp>
#include <limits>
#include <nlohmann/json.hpp>

#include "tests/analyzer/report/example_result.hpp"

using namespace paneproof;
using Json = nlohmann::json;

namespace {

Json parsed(const example::Parts& parts) { return Json::parse(json_text(parts.result())); }

}  // namespace

TEST_CASE("the grid's cells are rows of state words, top row first") {
  example::Parts parts = example::good_panel(20, 10);
  parts.findings.grid.cells[1] = CellState::silent;
  parts.findings.grid.cells[4] = CellState::unswept;
  parts.findings.grid.cells[7] = CellState::intermittent;
  const Json expected = {{"proven", "silent", "proven", "proven"},
                         {"unswept", "proven", "proven", "intermittent"}};
  CHECK(parsed(parts)["grid"]["cells"] == expected);
}

TEST_CASE("numbers have the decimals that the schema names") {
  example::Parts parts = example::good_panel(68, 142);
  parts.findings.dropouts.push_back(
      {0, 1.23456789, 0.0583337, 12.34567, 1.0 / 3, 2, {0, 0}, 1, 1, 1, false, 0.123456});
  parts.findings.rate.rate_hz = 119.8765;
  const Json json = parsed(parts);
  const Json& dropout = json["dropouts"][0];
  CHECK(dropout["t_s"].dump() == "1.234568");
  CHECK(dropout["gap_s"].dump() == "0.058334");
  CHECK(dropout["x_mm"].dump() == "12.346");
  CHECK(dropout["y_mm"].dump() == "0.333");
  CHECK(dropout["confidence"].dump() == "0.1235");
  CHECK(json["report_rate_hz"].dump() == "119.9");
}

TEST_CASE("a negative zero is written as zero") {
  example::Parts parts = example::good_panel(68, 142);
  parts.findings.ghosts.push_back({0, -0.0, -0.0000001, 0});
  CHECK(json_text(parts.result()).find("-0") == std::string::npos);
}

TEST_CASE("a number that is not finite is null, and the text stays JSON") {
  example::Parts parts = example::good_panel(68, 142);
  parts.findings.jitter.rms_mm = std::numeric_limits<double>::quiet_NaN();
  parts.findings.jitter.p95_mm = std::numeric_limits<double>::infinity();
  const Json json = parsed(parts);
  CHECK(json["jitter"]["rms_mm"].is_null());
  CHECK(json["jitter"]["p95_mm"].is_null());
}

TEST_CASE("a device name that is not UTF-8 does not break the JSON") {
  example::Parts parts = example::good_panel(68, 142);
  parts.trace.sweeps[0].device = "touch\xff\xfe panel\xc3";
  CHECK(parsed(parts)["source"]["device"] == "touch\uFFFD\uFFFD panel\uFFFD");
}

TEST_CASE("several sweeps are all named, the first as the source") {
  example::Parts parts = example::good_panel(68, 142);
  parts.trace.sweeps.push_back({"second.csv", "csv", "", "", 10, 1000, false});
  const Json json = parsed(parts);
  CHECK(json["source"]["file"] == "handheld-17.log");
  REQUIRE(json["sources"].size() == 2);
  CHECK(json["sources"][1]["format"] == "csv");
}

TEST_CASE("the same result gives the same JSON") {
  const example::Parts parts = example::faulty_panel(247, 173), again = example::faulty_panel(247, 173);
  CHECK(json_text(parts.result()) == json_text(again.result()));
}
