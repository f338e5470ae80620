// Semantics: W3C "Ink Markup Language (InkML)", Recommendation 20 September 2011; the clause that a test
// rests on is named beside it. Clauses 3.1.3 and 3.1.7 were read in a text that quotes them; the forms of
// values (3.2.1), timeOffset, continuation and trace types are from memory of that document.
#include "capture/log/inkml.hpp"

#include <catch2/catch.hpp>

#include "tests/capture/log/read_text.hpp"
#include "tests/support/crumbs.hpp"

using namespace paneproof;
using namespace paneproof::testing;

namespace {

Reading read(const std::string& text) { return read_text(inkml_format(), text); }
std::string refused(const std::string& text) { return refusal(inkml_format(), text); }

const std::string kTime = "<channel name=\"T\" type=\"decimal\" units=\"ms\" respectTo=\"#ts1\"/>";
const std::string kPlain = "<channel name=\"X\"/><channel name=\"Y\"/>" + kTime;

std::string ink(const std::string& channels, const std::string& traces) {
  return "<?xml version=\"1.0\"?>\n<ink xmlns=\"http://www.w3.org/2003/InkML\">\n<traceFormat>" + channels +
         "</traceFormat>\n" + traces + "\n</ink>\n";
}

}  // namespace

// 3.2.1: commas part points, blanks part values; the shape of the public sample files.
TEST_CASE("points are parted by commas and values by blanks") {
  const auto got = read(ink(kPlain, "<trace>10.0 20.0 0.0,30.0 40.0 12.0</trace>")).recording;
  REQUIRE(got.reports.size() == 2);
  CHECK(got.reports[1].x == 30);
  CHECK(got.reports[1].y == 40);
  CHECK(got.reports[1].t_us == 12000);
  CHECK(got.contacts[0].ending == Ending::lifted);
}

// 3.1.1: values stand in the order of the channels.
TEST_CASE("channels come in any order among others") {
  const auto got =
      read(ink("<channel name=\"F\"/>" + kTime +
                   "<channel name=\"Y\"/><channel name=\"B1\" type=\"boolean\"/>"
                   "<channel name=\"X\"/><intermittentChannels><channel name=\"OA\"/></intermittentChannels>",
               "<trace>0.5 4 20 F 10, 0.5 8 21 T 11 90</trace>"))
          .recording;
  REQUIRE(got.reports.size() == 2);
  CHECK(got.reports[1].x == 11);
  CHECK(got.reports[1].y == 21);
  CHECK(got.reports[1].t_us == 8000);
}

// 3.2.1: no blank is needed before a minus or a prefix; `!` is explicit, `*` repeats the last value.
TEST_CASE("explicit and repeated values are read") {
  const auto got = read(ink(kPlain, "<trace>!10!20!1,-11 -21 2,*-22 3</trace>")).recording;
  REQUIRE(got.reports.size() == 3);
  CHECK(got.reports[2].x == -11);
  CHECK(got.reports[2].y == -22);
}

TEST_CASE("differences and unknown values are refused with their place") {
  CHECK(holds(refused(ink(kPlain, "<trace>1 2 3,'1'2'3</trace>")),
              "trace 1, point 2: expected explicit values on X"));
  CHECK(holds(refused(ink(kPlain, "<trace>1 2 3,\"1\"2\"3</trace>")), "not differences"));
  CHECK(holds(refused(ink(kPlain, "<trace>1 ? 3</trace>")), "a known value on Y"));
  CHECK(holds(refused(ink(kPlain, "<trace>1 2</trace>")), "3 values, one a channel"));
  CHECK(holds(refused(ink(kPlain, "<trace>1 2 3 4</trace>")), "3 values, one a channel"));
}

// 3.1.7: "if no units are specified, no assumption can be made about the units of the time channel data".
TEST_CASE("a log without a usable time channel is refused with what to record") {
  CHECK(holds(refused(ink("<channel name=\"X\"/><channel name=\"Y\"/>", "<trace>1 2,3 4</trace>")),
              "time channel T"));
  CHECK(holds(refused("<ink><trace>1 2,3 4</trace></ink>"), "time channel T"));
  CHECK(holds(
      refused(ink("<channel name=\"X\"/><channel name=\"Y\"/><channel name=\"T\"/>", "<trace>1 2 3</trace>")),
      "units ms or s"));
  CHECK(read(ink("<channel name=\"X\"/><channel name=\"Y\"/><channel name=\"T\" units=\"s\"/>",
                 "<trace>1 2 3.5</trace>"))
            .recording.reports[0]
            .t_us == 3500000);
}

// 3.1.7: without respectTo "the time channel values are relative to the beginning timestamps of the
// individual traces in which they appear".
TEST_CASE("times that start anew with every trace need the traces' own starts") {
  const std::string channels = "<channel name=\"X\"/><channel name=\"Y\"/><channel name=\"T\" units=\"ms\"/>";
  CHECK(holds(refused(ink(channels, "<trace>1 2 0,2 2 8</trace><trace>1 5 0,2 5 8</trace>")),
              "times are related"));
  const auto offset = read(ink(channels,
                               "<trace timeOffset=\"100\">1 2 0,2 2 8</trace>"
                               "<trace timeOffset=\"250\">1 5 0,2 5 8</trace>"))
                          .recording;
  CHECK(offset.reports[3].t_us == 258000);
  const auto running = read(ink(channels, "<trace>1 2 0,2 2 8</trace><trace>1 5 100,2 5 108</trace>"));
  CHECK(running.recording.reports[3].t_us == 108000);
  CHECK(running.notes.has("clock_assumed"));
  CHECK(holds(refused(ink(channels, "<trace>1 2 50,2 2 58</trace><trace>1 5 0,2 5 8</trace>")),
              "one after another"));
}

// 3.1.3: X increases to the right and Y downward for +ve orientation.
TEST_CASE("an axis of the other orientation is turned over") {
  const auto got =
      read(ink("<channel name=\"X\"/><channel name=\"Y\" min=\"0\" max=\"100\" orientation=\"-ve\"/>" + kTime,
               "<trace>1 90 0</trace>"))
          .recording;
  CHECK(got.reports[0].y == 10);
  CHECK(holds(refused(ink("<channel name=\"X\"/><channel name=\"Y\" orientation=\"-ve\"/>" + kTime,
                          "<trace>1 90 0</trace>")),
              "min and max"));
}

TEST_CASE("range and units of the channels become axes") {
  const auto ranged =
      read(ink("<channel name=\"X\" min=\"0\" max=\"6.8\" units=\"cm\"/>"
               "<channel name=\"Y\" min=\"0\" max=\"14.2\" units=\"cm\"/>" +
                   kTime,
               "<trace>1 2 0</trace>"));
  REQUIRE(ranged.recording.axes.x.has_value());
  CHECK(ranged.recording.axes.x->max == 6.8);
  CHECK(ranged.recording.axes.x->units_per_mm == Approx(0.1));
  CHECK(ranged.recording.axes.square_units);
  const auto bare = read(ink("<channel name=\"X\" units=\"cm\"/><channel name=\"Y\" units=\"mm\"/>" + kTime,
                             "<trace>1 2 0</trace>"));
  CHECK(bare.recording.axes.in_mm);
  CHECK(bare.recording.reports[0].x == 10);
  CHECK(bare.recording.reports[0].y == 2);
}

TEST_CASE("each trace picks its format by its context") {
  const auto got = read("<ink><definitions><traceFormat xml:id=\"a\">" + kPlain +
                        "</traceFormat><context xml:id=\"c\" traceFormatRef=\"#a\"/>"
                        "<inkSource xml:id=\"s\"><traceFormat>" +
                        kTime +
                        "<channel name=\"Y\"/><channel name=\"X\"/></traceFormat></inkSource>"
                        "<context xml:id=\"d\" inkSourceRef=\"#s\"/></definitions>"
                        "<trace contextRef=\"#c\">1 2 3</trace><traceGroup contextRef=\"#d\"><trace>13 12 "
                        "11</trace></traceGroup></ink>")
                       .recording;
  REQUIRE(got.reports.size() == 2);
  CHECK(got.reports[0].x == 1);
  CHECK(got.reports[1].x == 11);
  CHECK(got.reports[1].t_us == 13000);
}

TEST_CASE("a pen in the air proves nothing and a trace that goes on is one contact") {
  const auto got = read(ink(kPlain,
                            "<trace type=\"penUp\">9 9 0</trace>"
                            "<trace xml:id=\"t1\" continuation=\"begin\">1 2 3</trace>"
                            "<trace continuation=\"end\" priorRef=\"#t1\">2 2 4</trace>"))
                       .recording;
  REQUIRE(got.contacts.size() == 1);
  CHECK(got.contacts[0].count == 2);
  const auto tip =
      read(ink(kPlain + "<channel name=\"S\" type=\"boolean\"/>", "<trace>1 1 0 T,2 1 1 F,3 1 2 T</trace>"))
          .recording;
  CHECK(tip.contacts.size() == 2);
}

TEST_CASE("entities cannot grow") {
  CHECK(holds(refused("<!DOCTYPE ink [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;\">]>" +
                      ink(kPlain, "<trace>1 2 3</trace>").substr(21)),
              "no declarations in the DOCTYPE"));
}

TEST_CASE("bad InkML input gives one clear line with its place") {
  CHECK(holds(refused(ink(kPlain, "<trace>1 2 nan</trace>")), "line 4, column"));
  CHECK(holds(refused(ink(kPlain, "<trace>1e99 2 3</trace>")), "up to 1e9"));
  CHECK(holds(refused(ink(kPlain, "<trace>1 2 -3</trace>")), "a time T from 0"));
  CHECK(holds(refused(ink(kPlain, "<trace>1 2 1e300</trace>")), "a time T from 0"));
  CHECK(holds(refused(ink(kPlain + "<channel name=\"X\"/>", "<trace>1 2 3 4</trace>")), "one channel X"));
  CHECK(holds(refused(ink(kPlain, "<trace>1 2 3</trace></oops>")), "well-formed XML"));
  CHECK(holds(refused(ink(kPlain, "")), "no touch"));
  std::string deep = "<ink>";
  for (int i = 0; i < 100; ++i) deep += "<a>";
  CHECK(holds(refused(deep), "64 deep"));
  CHECK(holds(refused("<ink a=\"" + std::string(4 << 20, 'x') + "\">"), "at most 2 MiB"));
  CHECK(holds(refused(ink(kPlain, "<trace>" + std::string(10000, '1') + "</trace>")), "parted by commas"));
}

// expat keeps an unfinished tag and may look at it again only at the end, so what is wrong there was once
// taken for a cut when the file came in small blocks (from a pipe, say).
TEST_CASE("a damaged last tag is refused wherever blocks end") {
  const std::string text = ink(kPlain, "<trace>1 2 3</trace><trace timeOffset=\"4, 5 6 7</trace>");
  for (const std::size_t size : {1u, 3u, 9u}) {
    INFO("blocks of " << size);
    Crumbs crumbs(memory_source("log", text), size);
    Notes notes;
    CHECK_THROWS_AS(inkml_format().read(crumbs, ReadOptions{}, notes), InputError);
  }
}

TEST_CASE("an InkML log cut at any byte counts its whole points") {
  const std::string text = ink(kPlain, "<trace>11 12 0,21 22 8,31 32 16</trace>\n<trace>41 42 50</trace>");
  CHECK(cut_that_breaks(inkml_format(), text, [&](const std::string& beginning) {
          // A point is whole at the comma after it or at its trace's end tag.
          std::size_t whole = 0;
          for (const char* mark : {"12 0,", "22 8,", "32 16</trace>", "42 50</trace>"})
            whole += beginning.find(mark) != std::string::npos;
          return whole;
        }) == -1);
  const auto cut = read(text.substr(0, text.find("31 32")));
  CHECK(cut.notes.has("cut_at_end"));
  CHECK(cut.recording.contacts[0].ending == Ending::open);
}
