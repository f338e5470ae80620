#include "capture/watch/media.hpp"

#include <catch2/catch.hpp>

#include "capture/watch/path_csv.hpp"

using namespace paneproof;
using namespace std::string_view_literals;

TEST_CASE("recordings are known by their first bytes and logs are not") {
  CHECK(
      is_media("\0\0\0\x20"
               "ftypisom"sv));
  CHECK(is_media("\x1A\x45\xDF\xA3\x01"sv));
  CHECK(is_media("GIF89a..."sv));
  CHECK(is_media("\x89PNG\r\n\x1a\n"sv));
  CHECK(is_media("RIFF....WAVEfmt "sv));
  CHECK_FALSE(is_media("# EVEMU 1.2\n"sv));
  CHECK_FALSE(is_media("t_s,contact,x,y\n"sv));
  CHECK_FALSE(is_media("<ink xmlns="sv));
  CHECK_FALSE(is_media("[   123.456] 0003 0039 00000001"sv));
  CHECK_FALSE(is_media("\x1f\x8b\x08"sv));
  CHECK_FALSE(is_media(""sv));
}

TEST_CASE("a path is written a row a frame, contacts from 1") {
  Trace trace;
  trace.reports = {{0, 1.5, 2, 0, 0.02F}, {16667, 1.5, 2, 0, 0.02F}, {900000, 3.25, 4, 1, 0.1F}};
  trace.contacts = {{0, 2, 0, Ending::lifted, Tool::finger}, {2, 1, 0, Ending::open, Tool::finger}};
  std::string text;
  write_path_csv(trace, [&](std::string_view piece) { text += piece; });
  CHECK(text ==
        "t_s,contact,x_mm,y_mm,sd_mm\n0.000000,1,1.500,2.000,0.0200\n0.016667,1,1.500,2.000,0.0200\n0.900000,"
        "2,3.250,4.000,0.1000\n");
}
