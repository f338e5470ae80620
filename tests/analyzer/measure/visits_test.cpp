#include "analyzer/measure/visits.hpp"

#include <catch2/catch.hpp>

#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

std::vector<Visit> visits_of(const SweepMaker& maker, Side side) {
  const Trace trace = maker.trace();
  return visits_to(trace, std::vector<std::uint8_t>(trace.contacts.size(), 1), side);
}

std::vector<Visit> at_depths(const std::vector<double>& depths) {
  std::vector<Visit> visits;
  for (const double depth : depths) visits.push_back({Visit::Kind::ended, {depth, 0}, depth, 0, true});
  return visits;
}

}  // namespace

TEST_CASE("a contact that comes nearer and turns away makes one visit, at its nearest") {
  const auto visits =
      visits_of(SweepMaker(68, 142).stroke({{50, 20}, {7, 20}, {7, 24}, {50, 24}}), Side::left);
  REQUIRE(visits.size() == 1);
  CHECK(visits[0].kind == Visit::Kind::turned);
  CHECK(visits[0].depth_mm == Approx(7).margin(0.9));
}

TEST_CASE("a contact that ends in motion, or begins so, is told as that") {
  const auto visits =
      visits_of(SweepMaker(68, 142).stroke({{50, 20}, {7, 20}}).stroke({{9, 30}, {50, 30}}), Side::left);
  REQUIRE(visits.size() == 2);
  CHECK(visits[0].kind == Visit::Kind::ended);
  CHECK(visits[1].kind == Visit::Kind::began);
  CHECK(visits[0].in_motion);
  CHECK(visits[1].in_motion);
}

TEST_CASE("a run along a side is no visit to it") {
  CHECK(visits_of(SweepMaker(68, 142).stroke({{5, 10}, {6, 70}, {5, 130}}), Side::left).empty());
}

TEST_CASE("each way there and back is a visit, going away is none") {
  const auto visits =
      visits_of(SweepMaker(68, 142).stroke({{60, 10}, {5, 12}, {60, 14}, {8, 16}, {60, 18}}), Side::left);
  REQUIRE(visits.size() == 2);
  CHECK(visits[0].depth_mm < visits[1].depth_mm);
}

TEST_CASE("visits that all end at one depth are beyond chance, scattered ones are not") {
  const std::vector<Visit> alike = at_depths({8, 8.1, 8.1, 8.2, 8.3, 8.3, 8.4, 8.5, 8.6, 8.7, 8.8, 8.9});
  const std::vector<Visit> scattered =
      at_depths({8, 8.4, 8.7, 9, 9.3, 9.7, 10, 10.4, 10.8, 11.1, 11.5, 11.9});
  CHECK(log_alike(alike, {0, 12}) < -10);
  CHECK(log_alike(scattered, {0, 4}) > -1.5);
  CHECK(log_alike(alike, {0, 3}) == 0);  // three are not enough
}

}  // namespace paneproof
