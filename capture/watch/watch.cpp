#include "capture/watch/watch.hpp"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <charconv>
#include <cstring>
#include <filesystem>
#include <utility>
#include <vector>

#include "capture/model/input_error.hpp"

extern char** environ;

namespace paneproof {
namespace {

constexpr int silent_ms = 120'000;
constexpr std::size_t most_rows = 4'000'000, longest_line = 4096;

// The program, running, with its output to be read.
class Child {
 public:
  Child(const std::string& program, const std::vector<std::string>& arguments) {
    int ends[2];
    if (pipe2(ends, O_CLOEXEC) != 0)
      throw InputError("", "", "expected a pipe to the video program", "close other programs",
                       Exit::software);
    out_ = ends[0];
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_adddup2(&actions, ends[1], STDOUT_FILENO);
    posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
    std::vector<char*> argv{const_cast<char*>(program.c_str())};
    for (const std::string& argument : arguments) argv.push_back(const_cast<char*>(argument.c_str()));
    argv.push_back(nullptr);
    const int code = posix_spawn(&pid_, program.c_str(), &actions, nullptr, argv.data(), environ);
    posix_spawn_file_actions_destroy(&actions);
    ::close(ends[1]);
    if (code != 0) {
      ::close(out_);
      throw InputError("", "", "expected the program paneproof-video beside paneproof, to read recordings",
                       "install it there", Exit::software);
    }
  }
  ~Child() {
    ::close(out_);
    if (pid_ > 0) kill(pid_, SIGKILL), waitpid(pid_, nullptr, 0);
  }
  Child(const Child&) = delete;
  Child& operator=(const Child&) = delete;

  // The next line without its end; false at the end of the output, or when it fell silent.
  bool line(std::string& text) {
    for (;;) {
      const std::size_t end = held_.find('\n', from_);
      if (end != std::string::npos) {
        text.assign(held_, from_, end - from_);
        from_ = end + 1;
        return true;
      }
      held_.erase(0, from_);
      from_ = 0;
      if (held_.size() > longest_line) return false;
      pollfd wait{out_, POLLIN, 0};
      const int ready = poll(&wait, 1, silent_ms);
      if (ready < 0 && errno == EINTR) continue;
      if (ready <= 0) return silent_ = true, false;
      std::array<char, 65536> block;
      const ssize_t got = read(out_, block.data(), block.size());
      if (got < 0 && errno == EINTR) continue;
      if (got <= 0) return false;
      held_.append(block.data(), static_cast<std::size_t>(got));
    }
  }
  bool silent() const { return silent_; }
  int finish() {
    int status = 0;
    const pid_t pid = std::exchange(pid_, -1);
    while (waitpid(pid, &status, 0) < 0 && errno == EINTR) {
    }
    return status;
  }

 private:
  pid_t pid_ = -1;
  int out_ = -1;
  std::string held_;
  std::size_t from_ = 0;
  bool silent_ = false;
};

std::vector<std::string_view> fields(std::string_view line) {
  std::vector<std::string_view> all;
  for (std::size_t from = 0;;) {
    const std::size_t tab = line.find('\t', from);
    all.push_back(line.substr(from, tab == std::string_view::npos ? tab : tab - from));
    if (tab == std::string_view::npos) return all;
    from = tab + 1;
  }
}

template <class Number>
bool number(std::string_view text, Number& value) {
  return std::from_chars(text.data(), text.data() + text.size(), value).ec == std::errc{};
}

struct Line {
  std::vector<std::string_view> field;
  bool whole = true;
  template <class Number>
  Number at(std::size_t place) {
    Number value{};
    if (place >= field.size() || !number(field[place], value)) whole = false;
    return value;
  }
};

// Takes the program's lines (what each means: capture/video/print.cpp).
class Taker {
 public:
  Taker(const std::string& path, const WatchOptions& options, Notes& notes)
      : path_(path), options_(options), notes_(notes) {}

  void take(std::string_view text) {
    Line line{fields(text)};
    const std::string_view kind = line.field.front();
    if (kind == "progress") {
      const double share = line.at<double>(1);
      if (options_.progress && line.whole) options_.progress(share);
    } else if (kind == "size") {
      recording_.axes.x = Axis{0, line.at<double>(1), std::nullopt};
      recording_.axes.y = Axis{0, line.at<double>(2), std::nullopt};
      recording_.source.device = line.field.size() > 3 ? printable(line.field[3], 60) : "";
    } else if (kind == "frames") {
      facts_.frames = line.at<std::int64_t>(1), facts_.duration_us = line.at<std::int64_t>(2);
      facts_.span_frames = line.at<std::int64_t>(3), facts_.held_frames = line.at<std::int64_t>(4);
      facts_.followed_frames = line.at<std::int64_t>(5);
      facts_.half_width = line.at<double>(6) / 2, facts_.half_height = line.at<double>(7) / 2;
    } else if (kind == "row") {
      row(line);
    } else if (kind == "end") {
      let_go(line);
    } else if (kind == "note" && line.field.size() == 3) {
      notes_.add(std::string(line.field[1]), printable(line.field[2], 300));
    } else if (kind == "error" && line.field.size() == 5) {
      int exit = 65;
      number(line.field[4], exit);
      const bool known = exit == 65 || exit == 66 || exit == 73 || exit == 74;
      throw InputError(path_, std::string(line.field[1]), std::string(line.field[2]),
                       std::string(line.field[3]), static_cast<Exit>(known ? exit : 65));
    } else if (kind == "done") {
      done_ = true;
    }
    if (!line.whole)
      throw InputError(path_, "", "expected a path from the video program that can be read",
                       "install paneproof and paneproof-video of one version", Exit::software);
  }
  bool done() const { return done_; }

  Recording finish() {
    recording_.axes.square_units = true;
    recording_.axes.origin = "recording";
    recording_.source.format = "recording";
    recording_.source.events = facts_.frames;
    recording_.source.duration_us = facts_.duration_us;
    recording_.source.limited_by_source = true;
    recording_.source.recording = facts_;
    return std::move(recording_);
  }

 private:
  void row(Line& line) {
    const auto t_us = line.at<std::int64_t>(1);
    const auto number = line.at<std::uint32_t>(2);
    const double x = line.at<double>(3), y = line.at<double>(4), sd = line.at<double>(5);
    if (recording_.reports.size() >= most_rows || number == 0) line.whole = false;
    if (!line.whole) return;
    std::vector<Contact>& contacts = recording_.contacts;
    if (numbers_.empty() || numbers_.back() != number) {
      numbers_.push_back(number);
      contacts.push_back(
          {static_cast<std::uint32_t>(recording_.reports.size()), 0, 0, Ending::open, Tool::finger});
    }
    ++contacts.back().count;
    recording_.reports.push_back(
        {t_us, x, y, static_cast<std::uint32_t>(contacts.size() - 1), static_cast<float>(sd)});
  }
  void let_go(Line& line) {
    static constexpr std::pair<std::string_view, LetGo::Kind> kinds[] = {{"drop", LetGo::Kind::drop},
                                                                         {"release", LetGo::Kind::release},
                                                                         {"doubt", LetGo::Kind::doubt},
                                                                         {"lost", LetGo::Kind::lost},
                                                                         {"end", LetGo::Kind::end}};
    LetGo ending;
    for (const auto& [word, kind] : kinds)
      if (line.field.size() > 1 && line.field[1] == word) ending.kind = kind;
    ending.t_us = line.at<std::int64_t>(2);
    const auto number = line.at<std::uint32_t>(3);
    ending.x = line.at<double>(4), ending.y = line.at<double>(5);
    for (std::size_t i = 0; i < numbers_.size(); ++i)
      if (numbers_[i] == number) {
        ending.contact = static_cast<std::uint32_t>(i);
        recording_.contacts[i].ending = ending.kind == LetGo::Kind::end    ? Ending::open
                                        : ending.kind == LetGo::Kind::lost ? Ending::broken
                                                                           : Ending::lifted;
        recording_.let_gos.push_back(ending);
      }
  }

  const std::string& path_;
  const WatchOptions& options_;
  Notes& notes_;
  Recording recording_;
  RecordingFacts facts_;
  std::vector<std::uint32_t> numbers_;
  bool done_ = false;
};

std::string program() {
  std::error_code error;
  const std::filesystem::path self = std::filesystem::read_symlink("/proc/self/exe", error);
  return (error ? std::filesystem::path(".") : self.parent_path()) / "paneproof-video";
}

}  // namespace

Recording watch(const std::string& path, const WatchOptions& options, Notes& notes) {
  std::vector<std::string> arguments{path};
  const auto add = [&](const char* option, const std::string& value) {
    if (!value.empty()) arguments.push_back(option), arguments.push_back(value);
  };
  add("--follow", options.follow);
  add("--strips", options.strips);
  add("--annotate", options.annotate);
  add("--corners", options.corners);
  Child child(program(), arguments);
  Taker taker(path, options, notes);
  for (std::string line; child.line(line);) taker.take(line);
  if (child.silent())
    throw InputError(path, "",
                     "expected a recording that is decoded in bounded time, but nothing came for two minutes",
                     "check that it plays, or record anew");
  const int status = child.finish();
  if (taker.done() && WIFEXITED(status) && WEXITSTATUS(status) == 0) return taker.finish();
  throw InputError(path, "",
                   "expected a recording that can be decoded, but the decoder broke off (it may use 3 GiB of "
                   "memory and an hour)",
                   "check that it plays, or record anew");
}

}  // namespace paneproof
