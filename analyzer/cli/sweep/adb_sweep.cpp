#include "analyzer/cli/sweep/adb_sweep.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <cstdio>
#include <cstring>

#include "analyzer/cli/sweep/bench_terminal.hpp"
#include "analyzer/cli/sweep/judging.hpp"
#include "capture/live/adb.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

using Clock = std::chrono::steady_clock;

constexpr int wait_ms = 100;
constexpr std::chrono::milliseconds between_maps{300};
constexpr std::size_t largest_log = std::size_t{64} << 20;

// The kept log: new, appended to, and synced before what it holds is shown as proven.
class KeptLog {
 public:
  explicit KeptLog(const std::string& path)
      : path_(path), fd_(::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666)) {
    if (fd_ < 0)
      throw InputError(
          path, "", std::string("cannot create: ") + std::strerror(errno),
          errno == EEXIST ? "a sweep is never written over another: give --keep another name" : "",
          Exit::cannot_create);
  }
  ~KeptLog() { ::close(fd_); }
  KeptLog(const KeptLog&) = delete;
  KeptLog& operator=(const KeptLog&) = delete;

  void add(const std::string& lines) {
    for (std::size_t at = 0; at < lines.size();) {
      const ssize_t wrote = ::write(fd_, lines.data() + at, lines.size() - at);
      if (wrote < 0 && errno == EINTR) continue;
      if (wrote < 0)
        throw InputError(path_, "", std::string("cannot write: ") + std::strerror(errno), "", Exit::io_error);
      at += static_cast<std::size_t>(wrote);
    }
    bytes_ += lines.size();
  }
  void sync() {
    if (::fdatasync(fd_) != 0)
      throw InputError(path_, "", std::string("cannot write: ") + std::strerror(errno), "", Exit::io_error);
  }
  bool full() const { return bytes_ > largest_log; }

 private:
  std::string path_;
  int fd_;
  std::size_t bytes_ = 0;
};

std::string size_words(const std::pair<double, double>& mm) {
  char text[60];
  std::snprintf(text, sizeof text, "%.1fx%.1f", mm.first, mm.second);
  return text;
}

}  // namespace

int run_adb_sweep(const SweepOptions& given) {
  stops_asked();
  BenchTerminal terminal;
  SweepOptions options = given;
  const AdbScreen screen = ask_adb(*options.adb);
  if (options.panel.panel.empty() && options.panel.diagonal.empty() && options.panel.profile.empty() &&
      screen.panel_mm) {
    options.panel.panel = size_words(*screen.panel_mm);
    terminal.say("Size " + options.panel.panel +
                 " mm from the screen's pixels and density: near, not exact. --panel is surer.");
  }
  const Judging judging(options);
  KeptLog log(options.keep);
  log.add(screen.listing);
  log.sync();
  terminal.say("Sweep now: touches of " + screen.node +
               " come over USB. Ctrl-C ends the sweep and judges it.");
  std::optional<Judged> judged;
  {
    AdbStream stream(*options.adb, screen.node);
    auto mapped = Clock::now();
    bool fresh = false, passes = false;
    while (stops_asked() == 0 && !stream.ended() && !log.full() && !(passes && !fresh)) {
      const std::string lines = stream.lines(wait_ms);
      if (!lines.empty()) log.add(lines), fresh = true;
      if (!fresh || Clock::now() - mapped < between_maps) continue;
      log.sync();
      judged = judging.judge();
      mapped = Clock::now();
      fresh = false;
      if (judged) terminal.draw(*judged);
      passes = judged && judged->verdict.outcome == Outcome::pass && !judged->finger_down;
    }
    if (stream.ended()) terminal.say("adb ended: was the cable pulled? What came is kept and judged.");
  }
  log.sync();
  judged = judging.judge();
  if (!judged)
    throw InputError(options.keep, "",
                     "expected a sweep, but no touch came and the panel's size is not known",
                     "give --panel WIDTHxHEIGHT and sweep again");
  terminal.verdict(judging.result(*judged));
  judging.write(*judged);
  return static_cast<int>(judged->verdict.outcome);
}

}  // namespace paneproof
