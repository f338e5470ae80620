// paneproof-video: follows what is dragged in a recording and prints its path (print.hpp). Started by
// paneproof; a program of its own, with bounds on memory and time, so that what a hostile file does to a
// decoder ends here.
#include <sys/prctl.h>
#include <sys/resource.h>

#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <memory>
#include <new>
#include <optional>
#include <string>

#include "capture/model/input_error.hpp"
#include "capture/video/find_panel.hpp"
#include "capture/video/follow.hpp"
#include "capture/video/print.hpp"
#include "capture/video/read_ahead.hpp"
#include "capture/video/rectify.hpp"
#include "capture/video/show.hpp"

namespace paneproof::video {
namespace {

constexpr rlim_t most_memory = rlim_t{3} << 30, most_cpu_s = 3600;
constexpr int work_width = 240;  // px: enough for a hundredth of a percent of the width, and quick

void bound(int resource, rlim_t most) {
  const rlimit limit{most, most};
  setrlimit(resource, &limit);
}

void bound_resources() {
  prctl(PR_SET_PDEATHSIG, SIGKILL);
#if !defined(__SANITIZE_ADDRESS__)
  bound(RLIMIT_AS, most_memory);
#endif
  bound(RLIMIT_CPU, most_cpu_s);
  bound(RLIMIT_CORE, 0);
}

[[noreturn]] void refuse(const std::string& expected, const std::string& remedy) {
  throw InputError("", "", expected, remedy);
}

// "X,Y@T": px as displayed, and s.
FollowOptions hint(const char* text) {
  FollowOptions options;
  double x = 0, y = 0, t = 0;
  char end = 0;
  if (std::sscanf(text, "%lf,%lf@%lf%c", &x, &y, &t, &end) != 3 || !(x >= 0 && y >= 0 && t >= 0))
    refuse("--follow X,Y@T: px of the picture as displayed, and seconds, such as 270,480@1.5",
           "read them off a player");
  options.hint_x = x, options.hint_y = y, options.hint_t_s = t;
  return options;
}

// Is it a film of a device, and where in it is the panel?
struct Film {
  std::optional<Corners> corners;  // px as displayed
  bool found = false;              // not given, but seen
  std::string told() const {
    std::string text = "a filmed device, its panel seen at --corners ";
    for (const Corner& c : *corners) {
      char pair[40];
      std::snprintf(pair, sizeof pair, "%s%.1f,%.1f", &c == corners->data() ? "" : ",", c.x, c.y);
      text += pair;
    }
    return text + "; give them if they are others";
  }
};

// Not told to be one: by a panel in the first picture, and the grain about it.
Film film_of(const char* path) {
  Film film;
  Frames frames(path, {}, 2 * work_width);
  Frame first, next;
  if (!frames.next(first)) return film;
  const auto panel = find_panel(first.plane);
  bool grain = false;
  for (int k = 0; panel && !grain && k < 25 && frames.next(next); ++k)
    grain = grainy(first.plane, next.plane, *panel);
  if (!grain) return film;
  film.corners = panel, film.found = true;
  for (Corner& c : *film.corners) c.x *= frames.facts().shrink, c.y *= frames.facts().shrink;
  return film;
}

void follow_file(const char* path, FollowOptions options, ShowOptions shown,
                 const std::optional<Corners>& corners) {
  const bool twice = !shown.strips.empty() || !shown.annotate.empty();
  const double part = twice ? 0.6 : 1;
  auto frames = std::make_unique<Frames>(path, Limits{}, corners ? 2 * work_width : work_width);
  Frame frame;
  bool more = frames->next(frame);
  Film film{corners};
  if (!corners && more && find_panel(frame.plane)) film = film_of(path);
  if (film.found) {
    frames = std::make_unique<Frames>(path, Limits{}, 2 * work_width);
    more = frames->next(frame);
  }
  StreamFacts facts = frames->facts();
  std::optional<Rectify> upright;
  if (film.corners) {
    for (const Corner& c : *film.corners)
      if (corners && (c.x < 0 || c.y < 0 || c.x > facts.width || c.y > facts.height))
        refuse("--corners: places within the picture of " + std::to_string(facts.width) + " x " +
                   std::to_string(facts.height),
               "read them off the first picture");
    upright.emplace(*film.corners, facts.shrink);
    options.filmed = true;
    facts.width = upright->width(), facts.height = upright->height(), facts.shrink = 1;
  }
  if (film.found) print_note("film_corners", film.told());
  print_size(facts);
  print_progress(0);
  Follow follow(facts.shrink, options);
  Plane panel;
  double told = 0;
  std::int64_t count = 0;
  std::optional<ReadAhead> ahead;
  if (more) ahead.emplace(*frames);
  for (; more; more = ahead->next(frame)) {
    const double share = frames->facts().duration_s > 0
                             ? static_cast<double>(frame.t_us) * 1e-6 / frames->facts().duration_s
                             : 0;
    if (++count % 600 == 0 || share > told + 0.05) print_progress(part * (told = share));
    if (upright) {
      upright->apply(frame.plane, panel);
      std::swap(frame.plane, panel);
    }
    follow.add(std::move(frame));
  }
  ahead.reset();
  const Path found = follow.finish();
  if (found.frames == 0)
    refuse("expected a recording, but no picture in it can be decoded",
           "check that it plays, or record anew");
  if (found.frames == 1)
    refuse("expected a recording, but it is one still picture", "record the screen while dragging");
  if (found.rows.empty() && found.held_frames > 0 && options.filmed)
    refuse(
        "expected a film that shows where the dragged thing lay, but a hand covers it, and its middle is not "
        "known",
        "begin to film before the hand comes, from where it covers less");
  if (found.rows.empty())
    refuse(
        "expected a drag: one thing that moves on its own for half a second or longer, over a sixteenth of "
        "the width or more, while pages and banners move as a whole",
        "record while dragging an icon over the whole screen, or point at it with --follow X,Y@T");
  if (frames->cut() || (frames->facts().duration_s > 0 &&
                        static_cast<double>(found.last_us) * 1e-6 < 0.9 * frames->facts().duration_s - 1)) {
    char text[160];
    std::snprintf(text, sizeof text,
                  "the recording breaks off or is damaged; what was read counts, up to %.3f s of %.3f s",
                  static_cast<double>(found.last_us) * 1e-6, frames->facts().duration_s);
    print_note("cut_at_end", text);
  }
  shown.corners = film.corners;
  if (twice) show(path, found, shown, [&](double share) { print_progress(part + (1 - part) * share); });
  print_path(found);
  std::printf("done\n");
}

int run(int argc, char** argv) {
  if (argc < 2) {
    std::fprintf(stderr,
                 "paneproof-video is started by paneproof: paneproof check RECORDING --panel WIDTHxHEIGHT\n");
    return static_cast<int>(Exit::usage);
  }
  bound_resources();
  try {
    FollowOptions options;
    ShowOptions shown;
    std::string corners;
    for (int i = 2; i + 1 < argc; i += 2) {
      if (std::strcmp(argv[i], "--follow") == 0) options = hint(argv[i + 1]);
      if (std::strcmp(argv[i], "--strips") == 0) shown.strips = argv[i + 1];
      if (std::strcmp(argv[i], "--annotate") == 0) shown.annotate = argv[i + 1];
      if (std::strcmp(argv[i], "--corners") == 0) corners = argv[i + 1];
    }
    std::optional<Corners> quadrilateral;
    if (!corners.empty() && !(quadrilateral = corners_of(corners)))
      refuse(
          "--corners X,Y,X,Y,X,Y,X,Y: the panel's corners in the first picture, px as displayed, from the "
          "top left clockwise",
          "read them off a player");
    follow_file(argv[1], options, shown, quadrilateral);
  } catch (const InputError& error) {
    InputError told = error;
    if (told.place.empty() && told.file != argv[1]) told.place = told.file;  // what is written, not read
    print_error(told);
    return static_cast<int>(error.exit);
  } catch (const std::bad_alloc&) {
    print_error(InputError("", "", "expected a recording that fits into 3 GiB of memory",
                           "record at a smaller size"));
    return static_cast<int>(Exit::bad_data);
  }
  return 0;
}

}  // namespace
}  // namespace paneproof::video

int main(int argc, char** argv) { return paneproof::video::run(argc, argv); }
