#include "analyzer/cli/sweep/wired_sweep.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <cstdio>
#include <cstring>
#include <memory>

#include "analyzer/cli/sweep/bench_terminal.hpp"
#include "analyzer/cli/sweep/judging.hpp"
#include "capture/live/adb.hpp"
#include "capture/live/evdev.hpp"
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

// Where the lines come from.
class Wire {
 public:
  virtual ~Wire() = default;
  virtual std::string head() = 0;  // the log's first lines, once
  virtual std::string lines(int longest_ms) = 0;
  virtual bool ended() const { return false; }
  virtual bool plugged() const { return true; }
};

class AdbWire : public Wire {
 public:
  AdbWire(const std::string& serial, AdbScreen screen) : serial_(serial), screen_(std::move(screen)) {}
  std::string head() override {
    stream_ = std::make_unique<AdbStream>(serial_, screen_.node);
    return screen_.listing;
  }
  std::string lines(int longest_ms) override { return stream_->lines(longest_ms); }
  bool ended() const override { return stream_->ended(); }

 private:
  std::string serial_;
  AdbScreen screen_;
  std::unique_ptr<AdbStream> stream_;
};

class EvdevWire : public Wire {
 public:
  explicit EvdevWire(const std::string& node) : stream_(node) {}
  std::string head() override { return stream_.description(); }
  std::string lines(int longest_ms) override { return stream_.lines(longest_ms); }
  bool plugged() const override { return stream_.plugged(); }
  bool tells_size() const { return stream_.tells_size(); }

 private:
  EvdevStream stream_;
};

std::unique_ptr<Wire> adb_wire(SweepOptions& options, BenchTerminal& terminal) {
  AdbScreen screen = ask_adb(*options.adb);
  if (options.panel.panel.empty() && options.panel.diagonal.empty() && options.panel.profile.empty() &&
      screen.panel_mm) {
    options.panel.panel = size_words(*screen.panel_mm);
    terminal.say("Size " + options.panel.panel +
                 " mm from the screen's pixels and density: near, not exact. --panel is surer.");
  }
  return std::make_unique<AdbWire>(*options.adb, std::move(screen));
}

std::unique_ptr<Wire> evdev_wire(const SweepOptions& options) {
  auto wire = std::make_unique<EvdevWire>(options.device);
  if (!wire->tells_size() && options.panel.panel.empty() && options.panel.diagonal.empty() &&
      options.panel.profile.empty())
    throw InputError(options.device, "",
                     "expected the size of the panel, which this touchscreen does not tell",
                     "give --panel WIDTHxHEIGHT", Exit::usage);
  return wire;
}

// Tells when the device is unplugged, and when it is back.
void tell_plug(const Wire& wire, bool& was_plugged, BenchTerminal& terminal) {
  if (wire.plugged() == was_plugged) return;
  was_plugged = wire.plugged();
  terminal.say(
      was_plugged
          ? "The touchscreen is back: the sweep goes on."
          : "The touchscreen was unplugged. Plug it in again to go on, or Ctrl-C to judge what came.");
}

}  // namespace

int run_wired_sweep(SweepOptions& options) {
  stops_asked();
  BenchTerminal terminal;
  const std::unique_ptr<Wire> wire = options.adb ? adb_wire(options, terminal) : evdev_wire(options);
  const Judging judging(options);
  KeptLog log(options.keep);
  log.add(wire->head());
  log.sync();
  terminal.say(std::string("Sweep now: touches come ") +
               (options.adb ? "over USB" : "from " + printable(options.device)) +
               ". Ctrl-C ends the sweep and judges it.");
  std::optional<Judged> judged;
  auto mapped = Clock::now();
  bool fresh = false, passes = false, plugged = true;
  while (stops_asked() == 0 && !wire->ended() && !log.full() && !(passes && !fresh)) {
    const std::string lines = wire->lines(wait_ms);
    if (!lines.empty()) log.add(lines), fresh = true;
    tell_plug(*wire, plugged, terminal);
    if (!fresh || Clock::now() - mapped < between_maps) continue;
    log.sync();
    judged = judging.judge();
    mapped = Clock::now();
    fresh = false;
    if (judged) terminal.draw(*judged);
    passes = judged && judged->verdict.outcome == Outcome::pass && !judged->finger_down;
  }
  if (wire->ended()) terminal.say("adb ended: was the cable pulled? What came is kept and judged.");
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
