// Makes a recording with known truth: make_clip OUT TRUTH [name=value...]. TRUTH is CSV, in px of the frame.
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <string>

#include "tests/clips/camera.hpp"
#include "tests/clips/encode.hpp"
#include "tests/clips/story.hpp"

using namespace paneproof::clips;

int main(int argc, char** argv) {
  if (argc < 3) return std::fprintf(stderr, "usage: make_clip OUT TRUTH [name=value...]\n"), 64;
  std::map<std::string, std::string> given;
  for (int i = 3; i < argc; ++i) {
    const std::string arg = argv[i];
    given[arg.substr(0, arg.find('='))] = arg.substr(arg.find('=') + 1);
  }
  const auto number = [&](const char* name, double otherwise) {
    return given.count(name) ? std::atof(given[name].c_str()) : otherwise;
  };
  StoryOptions o;
  o.seed = static_cast<std::uint64_t>(number("seed", 1));
  o.style = static_cast<int>(number("style", 0));
  o.width = static_cast<int>(number("width", 540));
  o.height = static_cast<int>(number("height", 1200));
  o.rate_hz = number("rate", 60);
  o.seconds = number("seconds", 12);
  o.drops = static_cast<int>(number("drops", 2));
  o.cursor = static_cast<Cursor>(static_cast<int>(number("cursor", 0)));
  o.fingers = static_cast<int>(number("fingers", 1));
  o.losses = static_cast<int>(number("losses", 0));
  o.drag = number("drag", 1) != 0;
  EncodeOptions e;
  if (given.count("codec")) e.codec = given["codec"];
  e.quality = static_cast<int>(number("crf", 23));
  e.full_range = number("full", 0) != 0;
  e.ten_bit = number("ten", 0) != 0;
  e.rotate_deg = static_cast<int>(number("rotate", 0));
  const bool varying = number("vfr", 0) != 0;
  const double start = number("start", 0);
  const bool filmed = number("camera", 0) != 0;
  const Story story = tell_story(o);
  const int wide = filmed ? static_cast<int>(number("film_width", 1080)) : o.width,
            high = filmed ? static_cast<int>(number("film_height", 1440)) : o.height;
  ClipWriter writer(argv[1], wide, high, e);
  Camera camera(o.seed, o.width, o.height, wide, high);
  if (filmed) std::printf("%s\n", camera.corners().c_str());
  FILE* truth = std::fopen(argv[2], "w");
  if (!truth) return 73;
  std::fprintf(truth, "kind,t_s,contact,x,y,side,height\n");
  Dice dice(o.seed + 99);
  Canvas canvas, last;
  double first = -1;
  for (const Moment& moment : story.moments) {
    render(story, moment, canvas);
    if (varying && first >= 0 && (canvas.luma == last.luma || dice() % 20 == 0)) continue;
    last = canvas;
    const double jitter = varying ? pick(dice, -0.2, 0.2) / o.rate_hz : 0;
    const auto t_us = std::llround((start + std::max(0.0, moment.t_s + jitter)) * 1e6);
    if (first < 0) first = t_us * 1e-6;
    if (filmed) {
      Canvas film;
      camera.shoot(canvas, moment, film);
      writer.add(film, t_us);
    } else {
      writer.add(canvas, t_us);
    }
    if (moment.held.empty()) std::fprintf(truth, "none,%.6f,0,0,0,0,0\n", t_us * 1e-6 - first);
    for (const Held& held : moment.held)
      std::fprintf(truth, "held,%.6f,%d,%.3f,%.3f,%.3f,%.3f\n", t_us * 1e-6 - first, held.contact, held.x,
                   held.y, held.side, held.height);
  }
  for (const Event& event : story.events)
    std::fprintf(truth, "%s,%.6f,%d,%.3f,%.3f,0,0\n",
                 event.kind == Event::Kind::drop      ? "drop"
                 : event.kind == Event::Kind::release ? "release"
                                                      : "end",
                 event.t_s, event.contact, event.x, event.y);
  std::fclose(truth);
  writer.finish();
}
