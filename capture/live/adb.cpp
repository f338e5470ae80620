#include "capture/live/adb.hpp"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cstdio>
#include <cstring>
#include <vector>

#include "capture/model/input_error.hpp"

extern char** environ;

namespace paneproof {
namespace {

constexpr std::size_t most_answer = 1 << 20;
constexpr int answer_ms = 20000;
constexpr double mm_per_inch = 25.4;

struct Started {
  int process = -1, pipe = -1;
};

// adb with its output in a pipe and no input; its complaints come with the output when `both`.
Started start(const std::string& serial, std::vector<std::string> words, bool both) {
  std::vector<std::string> all = {"adb"};
  if (!serial.empty()) all.insert(all.end(), {"-s", serial});
  all.insert(all.end(), words.begin(), words.end());
  std::vector<char*> argv;
  for (std::string& word : all) argv.push_back(word.data());
  argv.push_back(nullptr);
  int ends[2];
  if (::pipe2(ends, O_CLOEXEC) != 0)
    throw InputError("adb", "", std::string("cannot be started: ") + std::strerror(errno), "",
                     Exit::software);
  posix_spawn_file_actions_t actions;
  posix_spawnattr_t attributes;
  posix_spawn_file_actions_init(&actions);
  posix_spawnattr_init(&attributes);
  posix_spawn_file_actions_addopen(&actions, 0, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_adddup2(&actions, ends[1], 1);
  if (both) posix_spawn_file_actions_adddup2(&actions, ends[1], 2);
  // A group of its own: Ctrl-C at the bench ends the sweep, and the sweep then ends adb.
  posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETPGROUP);
  pid_t process = -1;
  const int error = ::posix_spawnp(&process, "adb", &actions, &attributes, argv.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  posix_spawnattr_destroy(&attributes);
  ::close(ends[1]);
  if (error != 0) {
    ::close(ends[0]);
    throw InputError("adb", "", std::string("cannot be started: ") + std::strerror(error),
                     "install the stock adb (Debian: adb)", Exit::no_input);
  }
  return {process, ends[0]};
}

void stop(int process) {
  ::kill(-process, SIGTERM);
  for (int i = 0; i < 40; ++i) {
    if (::waitpid(process, nullptr, WNOHANG) == process) return;
    ::usleep(25000);
  }
  ::kill(-process, SIGKILL);
  ::waitpid(process, nullptr, 0);
}

std::string answer(const std::string& serial, const std::vector<std::string>& words) {
  const Started adb = start(serial, words, true);
  std::string text;
  bool whole = false;
  const auto until = std::chrono::steady_clock::now() + std::chrono::milliseconds(answer_ms);
  while (text.size() < most_answer && std::chrono::steady_clock::now() < until) {
    pollfd wait = {adb.pipe, POLLIN, 0};
    if (::poll(&wait, 1, 200) <= 0) continue;
    char bytes[4096];
    const ssize_t got = ::read(adb.pipe, bytes, sizeof bytes);
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) {
      whole = true;
      break;
    }
    text.append(bytes, static_cast<std::size_t>(got));
  }
  ::close(adb.pipe);
  int status = 0;
  if (!whole)
    stop(adb.process);
  else
    ::waitpid(adb.process, &status, 0);
  text.erase(std::remove(text.begin(), text.end(), '\r'), text.end());
  if (!whole)
    throw InputError("adb", "", "expected an answer within 20 s",
                     "unlock the device, allow USB debugging, try again", Exit::no_input);
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0)
    throw InputError("adb", "", "says: " + printable(text.substr(0, text.find('\n')), 200),
                     "connect one device, allow USB debugging on it, or give its serial", Exit::no_input);
  return text;
}

// The parts of `getevent -lp`, one a device.
std::vector<std::string> parts_of(const std::string& listing) {
  std::vector<std::string> parts;
  for (std::size_t at = listing.find("add device "); at != std::string::npos;) {
    const std::size_t next = listing.find("add device ", at + 1);
    parts.push_back(listing.substr(at, next == std::string::npos ? next : next - at));
    at = next;
  }
  return parts;
}

bool is_touchscreen(const std::string& part) {
  return part.find("ABS_MT_POSITION_X") != std::string::npos &&
         part.find("INPUT_PROP_POINTER") == std::string::npos;
}

// The last line of `words` that holds two numbers, or one, after its colon: an override comes after the
// physical.
std::optional<std::pair<double, double>> size_px(const std::string& words) {
  const std::size_t at = words.rfind("size:");
  int width = 0, height = 0;
  if (at == std::string::npos || std::sscanf(words.c_str() + at, "size: %dx%d", &width, &height) != 2)
    return std::nullopt;
  return std::pair<double, double>(width, height);
}

}  // namespace

AdbScreen ask_adb(const std::string& serial) {
  std::vector<std::string> screens;
  for (const std::string& part : parts_of(answer(serial, {"shell", "getevent", "-lp"})))
    if (is_touchscreen(part)) screens.push_back(part);
  if (screens.empty())
    throw InputError("adb", "", "expected a touchscreen in getevent -lp, but there is none",
                     "is this the right device?", Exit::no_input);
  if (screens.size() > 1)
    throw InputError("adb", "", "expected one touchscreen, but there are " + std::to_string(screens.size()),
                     "record with getevent and use paneproof check --device");
  AdbScreen screen;
  screen.listing = screens.front();
  if (screen.listing.back() != '\n') screen.listing += '\n';
  const std::size_t node = screen.listing.find("/dev/input/event");
  if (node == std::string::npos)
    throw InputError("adb", "", "expected the touchscreen's node in getevent -lp", "");
  screen.node = screen.listing.substr(node, screen.listing.find_first_not_of("0123456789", node + 16) - node);
  // Axes with a resolution tell the size themselves, and better than a class of densities.
  const std::string axis = screen.listing.substr(screen.listing.find("ABS_MT_POSITION_X"));
  const std::size_t resolution = axis.substr(0, axis.find('\n')).find("resolution ");
  if (resolution != std::string::npos && axis[resolution + 11] != '0') return screen;
  try {
    const auto px = size_px(answer(serial, {"shell", "wm", "size"}));
    const std::string density_words = answer(serial, {"shell", "wm", "density"});
    const std::size_t at = density_words.find("Physical density:");  // an override is a matter of taste
    int density = 0;
    if (px && at != std::string::npos &&
        std::sscanf(density_words.c_str() + at, "Physical density: %d", &density) == 1 && density > 0)
      screen.panel_mm = std::pair(px->first / density * mm_per_inch, px->second / density * mm_per_inch);
  } catch (const InputError&) {
    // A device without a window manager: the size has to be given.
  }
  return screen;
}

AdbStream::AdbStream(const std::string& serial, const std::string& node) {
  // -tt: through a terminal of the device, so that lines come one by one and not by the block.
  const Started adb = start(serial, {"shell", "-tt", "getevent", "-lt", node}, false);
  process_ = adb.process;
  pipe_ = adb.pipe;
}

AdbStream::~AdbStream() {
  if (pipe_ >= 0) ::close(pipe_);
  if (process_ >= 0) stop(process_);
}

std::string AdbStream::lines(int longest_ms) {
  pollfd wait = {pipe_, POLLIN, 0};
  if (ended_ || ::poll(&wait, 1, longest_ms) <= 0) return "";
  char bytes[65536];
  const ssize_t got = ::read(pipe_, bytes, sizeof bytes);
  if (got < 0) return "";
  if (got == 0) ended_ = true;
  for (ssize_t i = 0; i < got; ++i)
    if (bytes[i] != '\r') part_ += bytes[i];
  const std::size_t end = part_.rfind('\n');
  if (end == std::string::npos) {
    if (part_.size() > most_answer) part_.clear();
    return "";
  }
  std::string whole = part_.substr(0, end + 1);
  part_.erase(0, end + 1);
  return whole;
}

}  // namespace paneproof
