#include "capture/log/csv.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

#include "tests/capture/log/read_text.hpp"

using namespace paneproof;
using namespace paneproof::testing;

namespace {

Reading read(const std::string& text) { return read_text(csv_format(), text); }
std::string refused(const std::string& text) { return refusal(csv_format(), text); }

}  // namespace

TEST_CASE("columns come in any order, with other columns among them") {
  const auto got = read("y,note,t_s,x,contact\n5,hello,0.5,4,7\n6,,0.510,4.25,7\n").recording;
  REQUIRE(got.reports.size() == 2);
  CHECK(got.reports[1].t_us == 510000);
  CHECK(got.reports[1].x == 4.25);
  CHECK(got.reports[1].y == 6);
  CHECK_FALSE(got.axes.in_mm);
  CHECK_FALSE(got.axes.x.has_value());
}

TEST_CASE("comma, semicolon and tab separate alike, with either line end") {
  const std::string text = "t_s,contact,x_mm,y_mm\n0.0,1,2.5,3\n0.1,1,2.6,3\n";
  const auto comma = read(text).recording;
  for (const char separator : {';', '\t'}) {
    std::string other = text;
    std::replace(other.begin(), other.end(), ',', separator);
    for (std::size_t at = 0; (at = other.find('\n', at)) != std::string::npos; at += 2)
      other.insert(at, "\r");
    const auto got = read(other).recording;
    REQUIRE(got.reports.size() == 2);
    CHECK(got.reports[1].x == comma.reports[1].x);
    CHECK(got.axes.in_mm);
  }
}

TEST_CASE("without a phase a number that is silent for more than a quarter second has lifted") {
  const auto got = read("t_s,contact,x,y\n0,1,1,1\n0.25,1,2,1\n0.500001,1,3,1\n").recording;
  REQUIRE(got.contacts.size() == 2);
  CHECK(got.contacts[0].count == 2);
  CHECK(got.contacts[0].ending == Ending::lifted);
  CHECK(got.contacts[1].ending == Ending::open);
}

TEST_CASE("without a phase a number that fell silent before the log's end has lifted") {
  const auto got = read("t_s,contact,x,y\n0,1,1,1\n0.3,2,2,1\n0.31,2,3,1\n").recording;
  REQUIRE(got.contacts.size() == 2);
  CHECK(got.contacts[0].ending == Ending::lifted);
  CHECK(got.contacts[1].ending == Ending::open);
}

TEST_CASE("with a phase silence lifts nothing and the phase ends the contact") {
  const auto got = read(
                       "t_s,contact,x,y,phase\n0,1,1,1,down\n2,1,2,1,move\n2,1,2,1,up\n3,1,5,5,down\n3.1,1,6,"
                       "5,\n3.2,1,0,0,cancel\n"
                       "4,1,1,1,down\n")
                       .recording;
  REQUIRE(got.contacts.size() == 3);
  CHECK(got.contacts[0].count == 2);
  CHECK(got.contacts[0].ending == Ending::lifted);
  CHECK(got.contacts[1].count == 2);  // a cancel has no place of its own
  CHECK(got.contacts[1].ending == Ending::cancelled);
  CHECK(got.contacts[2].ending == Ending::open);
}

TEST_CASE("interleaved contacts stand apart, in order of landing") {
  const auto got =
      read("t_s,contact,x,y,phase\n0.5,9,1,1,down\n0.6,9,2,1,up\n0.1,4,7,7,down\n0.55,4,8,7,up\n").recording;
  REQUIRE(got.contacts.size() == 2);
  CHECK(got.reports[0].x == 7);
  CHECK(got.reports[0].contact == 0);
  CHECK(got.reports[2].x == 1);
  CHECK(got.contacts[1].first == 2);
}

TEST_CASE("a clock that steps back is a hole that breaks what was down") {
  const auto got =
      read("t_s,contact,x,y,phase\n5,1,1,1,down\n5.1,1,2,1,move\n0.2,1,3,1,move\n0.3,1,4,1,up\n");
  REQUIRE(got.recording.contacts.size() == 2);
  CHECK(got.recording.contacts[0].ending == Ending::broken);
  REQUIRE(got.recording.holes.size() == 1);
  CHECK(got.recording.holes[0].kind == Hole::Kind::clock_stepped_back);
  CHECK(got.recording.reports[3].t_us == 5200000);  // goes on from the latest time
  CHECK(got.notes.has("clock_stepped_back"));
}

TEST_CASE("an absolute clock is counted from its first row and another is kept") {
  CHECK(read("t_s,contact,x,y\n1758000000.25,1,1,1\n1758000000.26,1,2,1\n").recording.reports[1].t_us ==
        10000);
  CHECK(read("t_s,contact,x,y\n12.25,1,1,1\n12.26,1,2,1\n").recording.reports[1].t_us == 12260000);
}

TEST_CASE("a log without times is refused with what to record") {
  CHECK(csv_format().recognises("contact,x,y\n1,2,3\n"));
  CHECK(holds(refused("contact,x,y\n1,2,3\n"), "t_s in seconds"));
}

TEST_CASE("bad CSV input gives one clear line with its place") {
  const std::string head = "t_s,contact,x_mm,y_mm\n";
  CHECK(holds(refused(head + "0,1,2,3\n0.1,1,abc,3\n"),
              "line 3, column 7: expected a number at ^ in: 0.1,1,^abc,3"));
  CHECK(holds(refused(head + "0,1.5,2,3\n"), "line 2, column 3: expected a contact number"));
  CHECK(holds(refused(head + "-0.1,1,2,3\n"), "a time from 0"));
  CHECK(holds(refused(head + "nan,1,2,3\n"), "a time in seconds"));
  CHECK(holds(refused(head + "0,1,inf,3\n"), "a number"));
  CHECK(holds(refused(head + "1e300,1,2,3\n"), "a time from 0"));
  CHECK(holds(refused(head + "0,1,1e99,3\n"), "a position up to 1e9"));
  CHECK(holds(refused(head + "0,99999999999999999999,1,3\n"), "a contact number"));
  CHECK(holds(refused(head + "0,1,2\n"), "4 cells, not 3"));
  CHECK(holds(refused("t_s,contact,x,y,phase\n0,1,2,3,hover\n"), "down, move, up or cancel"));
  CHECK(holds(refused("t_s,t_s,contact,x,y\n0,0,1,2,3\n"), "one column t_s"));
  CHECK(holds(refused("t_s;contact;x;y\n0;1;2,5;3\n"), "decimal point"));
  CHECK(holds(refused(head), "no touch"));
}

TEST_CASE("a CSV log cut at any byte counts its whole lines") {
  const std::string text =
      "t_s,contact,x_mm,y_mm,phase\n0.000000,1,1.000,2.000,down\n0.008000,1,11.125,2.000,move\n"
      "0.016000,1,12.250,2.000,move\n0.016000,1,12.250,2.000,up\n";
  CHECK(cut_that_breaks(csv_format(), text, [](const std::string& beginning) {
          const auto lines = std::count(beginning.begin(), beginning.end(), '\n');
          return static_cast<std::size_t>(std::clamp<long>(lines - 1, 0, 3));
        }) == -1);
  CHECK(read(text.substr(0, 80)).notes.has("cut_at_end"));
  CHECK_FALSE(read(text).notes.has("cut_at_end"));
}

TEST_CASE("thousands of contact numbers that are never used again are no crowd") {
  std::string text = "t_s,contact,x,y\n";
  for (int i = 0; i < 20000; ++i) text += std::to_string(i) + "," + std::to_string(i) + ",1,1\n";
  CHECK(read(text).recording.contacts.size() == 20000);
}
