// paneproof-video: follows what is dragged in a recording and prints its path. Started by paneproof; kept
// apart so that what a hostile file does to a decoder ends here.
#include <cstdio>
#include <cstdlib>

#include "capture/model/input_error.hpp"
#include "capture/video/follow.hpp"

int main(int argc, char** argv) {
  using namespace paneproof::video;
  if (argc < 2) return 64;
  try {
    Frames frames(argv[1], {}, 250);
    Follow follow(frames.facts().shrink, {});
    Frame frame;
    while (frames.next(frame)) follow.add(std::move(frame));
    const Path path = follow.finish();
    static const char* const kinds[] = {"drop", "release", "doubt", "lost", "end"};
    std::printf("size\t%d\t%d\nframes\t%lld\t%lld\t%lld\n", frames.facts().width, frames.facts().height, static_cast<long long>(path.frames), static_cast<long long>(path.last_us), static_cast<long long>(path.held_frames));
    for (const Row& row : path.rows) std::printf("row\t%lld\t%d\t%.3f\t%.3f\t%.3f\n", static_cast<long long>(row.t_us), row.contact, row.x, row.y, row.sd);
    for (const LetGo& e : path.endings) std::printf("end\t%s\t%lld\t%d\t%.3f\t%.3f\n", kinds[static_cast<int>(e.kind)], static_cast<long long>(e.t_us), e.contact, e.x, e.y);
  } catch (const paneproof::InputError& error) {
    std::printf("error\t%s\n", error.what());
    return static_cast<int>(error.exit);
  }
}
