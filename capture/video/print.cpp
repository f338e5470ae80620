#include "capture/video/print.hpp"

#include <algorithm>
#include <cstdio>

namespace paneproof::video {
namespace {

// No text may break a line or a field.
std::string plain(std::string text) {
  for (char& c : text)
    if (static_cast<unsigned char>(c) < 32) c = ' ';
  return text.substr(0, 600);
}

const char* word(LetGo::Kind kind) {
  switch (kind) {
    case LetGo::Kind::drop:
      return "drop";
    case LetGo::Kind::release:
      return "release";
    case LetGo::Kind::doubt:
      return "doubt";
    case LetGo::Kind::lost:
      return "lost";
    case LetGo::Kind::end:
      break;
  }
  return "end";
}

}  // namespace

void print_size(const StreamFacts& facts) {
  std::printf("size\t%d\t%d\t%s\n", facts.width, facts.height, plain(facts.codec).c_str());
}

void print_progress(double share) {
  std::printf("progress\t%.3f\n", std::clamp(share, 0.0, 1.0));
  std::fflush(stdout);
}

void print_path(const Path& path) {
  std::printf("frames\t%lld\t%lld\t%lld\t%lld\t%lld\t%.2f\t%.2f\n", static_cast<long long>(path.frames),
              static_cast<long long>(path.last_us),
              static_cast<long long>(path.last_held - path.first_held + 1),
              static_cast<long long>(path.held_frames), static_cast<long long>(path.followed_frames),
              path.largest_width, path.largest_height);
  for (const Row& row : path.rows)
    std::printf("row\t%lld\t%d\t%.3f\t%.3f\t%.3f\n", static_cast<long long>(row.t_us), row.contact, row.x,
                row.y, row.sd);
  for (const Ended& e : path.endings)
    std::printf("end\t%s\t%lld\t%d\t%.3f\t%.3f\n", word(e.kind), static_cast<long long>(e.t_us), e.contact,
                e.x, e.y);
}

void print_note(const char* id, const std::string& text) {
  std::printf("note\t%s\t%s\n", id, plain(text).c_str());
}

void print_error(const InputError& error) {
  std::printf("error\t%s\t%s\t%s\t%d\n", plain(error.place).c_str(), plain(error.expected).c_str(),
              plain(error.remedy).c_str(), static_cast<int>(error.exit));
}

}  // namespace paneproof::video
