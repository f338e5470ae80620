#include "capture/live/session.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "capture/bytes/lines.hpp"
#include "capture/bytes/source.hpp"
#include "capture/live/chunk.hpp"
#include "capture/live/token.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

std::string state_path(const std::string& spool) { return spool + ".session"; }

void sync_folder_of(const std::string& path) {
  const std::size_t slash = path.rfind('/');
  const std::string folder = slash == std::string::npos ? "." : slash == 0 ? "/" : path.substr(0, slash);
  const int fd = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (fd < 0) return;
  (void)::fsync(fd);
  ::close(fd);
}

bool write_all(int fd, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t wrote = ::write(fd, bytes.data(), bytes.size());
    if (wrote < 0 && errno == EINTR) continue;
    if (wrote <= 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(wrote));
  }
  return true;
}

// Written beside, for its owner alone, and renamed.
void write_private(const std::string& path, std::string_view bytes) {
  const std::string beside = path + ".part";
  ::unlink(beside.c_str());
  const int fd = ::open(beside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0600);
  const bool written = fd >= 0 && write_all(fd, bytes) && ::fsync(fd) == 0;
  const int reason = errno;
  if (fd >= 0) ::close(fd);
  if (written && ::rename(beside.c_str(), path.c_str()) == 0) return sync_folder_of(path);
  ::unlink(beside.c_str());
  throw InputError(path, "", std::string("cannot write: ") + std::strerror(reason), "", Exit::io_error);
}

}  // namespace

Session::Session(const SessionOptions& options)
    : spool_(options.spool), job_(options.job), largest_(options.largest_bytes) {
  struct stat facts = {};
  const bool there = ::stat(spool_.c_str(), &facts) == 0;
  continued_ = recall();
  if (there && !continued_)
    throw InputError(spool_, "",
                     "expected a name that is not taken yet: a sweep is never written over another",
                     "move that file away or give --keep another name", Exit::cannot_create);
  if (!continued_) token_ = random_token();
  fd_ = ::open(spool_.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0666);
  if (fd_ < 0)
    throw InputError(spool_, "", std::string("cannot create: ") + std::strerror(errno), "",
                     Exit::cannot_create);
  if (::flock(fd_, LOCK_EX | LOCK_NB) != 0)
    throw InputError(spool_, "",
                     "expected a sweep that nobody else serves, but another paneproof has this one",
                     "stop that one first", Exit::cannot_create);
  if (continued_)
    recover();
  else
    remember();
  sync_folder_of(spool_);
}

Session::~Session() {
  if (fd_ >= 0) ::close(fd_);
}

// Cuts off what was never acknowledged, and finds the chunk that is wanted next.
void Session::recover() {
  const auto source = open_source(spool_, {.largest_bytes = largest_ * 2});
  Lines lines(*source);
  std::uint64_t read = 0;
  bytes_ = 0;
  while (lines.next() && lines.ended()) {
    read += lines.text().size() + 1;
    const auto mark = chunk_mark(lines.text());
    if (!mark) continue;
    if (*mark != next_)
      throw InputError(spool_, "line " + std::to_string(lines.number()),
                       "chunk " + std::to_string(next_) + ", but the file was changed",
                       "keep that file as it is and give --keep another name");
    next_ = *mark + 1;
    bytes_ = read;
  }
  if (::ftruncate(fd_, static_cast<off_t>(bytes_)) != 0 || ::fsync(fd_) != 0)
    throw InputError(spool_, "", std::string("cannot write: ") + std::strerror(errno), "", Exit::io_error);
}

void Session::remember() const {
  write_private(state_path(spool_), "paneproof sweep 1\n" + token_ + "\n" +
                                        (device_.empty() ? "-" : device_) + "\n" + std::to_string(port_) +
                                        "\n" + job_ + "\n");
}

bool Session::recall() {
  if (::access(state_path(spool_).c_str(), F_OK) != 0) return false;
  const auto source = open_source(state_path(spool_), {.largest_bytes = 4096});
  Lines lines(*source);
  std::string part[5];
  for (std::string& text : part)
    if (lines.next()) text = lines.text();
  if (part[0] != "paneproof sweep 1" || !is_token(part[1]))
    throw InputError(state_path(spool_), "", "expected the state of a sweep that was stopped",
                     "move it away to start anew");
  if (part[4] != job_)
    throw InputError(spool_, "",
                     "expected a sweep of job " + printable(job_) + ", but it is of " + printable(part[4]),
                     "give that --job to go on with it, or --keep another name", Exit::cannot_create);
  token_ = part[1];
  device_ = part[2] == "-" ? "" : part[2];
  port_ = static_cast<std::uint16_t>(std::strtoul(part[3].c_str(), nullptr, 10));
  return true;
}

void Session::serve_at(std::uint16_t port) {
  const std::lock_guard lock(mutex_);
  port_ = port;
  remember();
}

Admission Session::admit(std::string_view token, std::string_view device) {
  const std::lock_guard lock(mutex_);
  if (!same_secret(token, token_) || !is_token(device)) return Admission::wrong_token;
  if (over_) return Admission::over;
  if (device_.empty()) {
    device_ = device;
    remember();
  }
  return same_secret(device, device_) ? Admission::welcome : Admission::other_device;
}

ChunkAnswer Session::take(std::int64_t number, std::string_view body) {
  using Kind = ChunkAnswer::Kind;
  const std::lock_guard lock(mutex_);
  if (number < next_) return {Kind::known, next_, ""};
  if (number > next_) return {Kind::out_of_order, next_, ""};
  if (broken_ || over_) return {Kind::broken, next_, "the sweep takes no more"};
  if (const auto fault = chunk_fault(body, number)) return {Kind::faulty, next_, *fault};
  const std::string stored = marked_chunk(body, number);
  if (bytes_ + stored.size() > largest_) return {Kind::full, next_, "the sweep is as long as it may be"};
  if (!write_all(fd_, stored) || ::fdatasync(fd_) != 0) {
    const std::string reason = std::strerror(errno);
    // After a failed sync nobody knows what the disk holds; only a start anew reads it back.
    broken_ = ::ftruncate(fd_, static_cast<off_t>(bytes_)) != 0;
    return {Kind::broken, next_, "cannot write: " + reason};
  }
  bytes_ += stored.size();
  ++next_;
  return {Kind::stored, next_, ""};
}

std::int64_t Session::next() const {
  const std::lock_guard lock(mutex_);
  return next_;
}

std::uint64_t Session::bytes() const {
  const std::lock_guard lock(mutex_);
  return bytes_;
}

bool Session::bound() const {
  const std::lock_guard lock(mutex_);
  return !device_.empty();
}

void Session::close() {
  const std::lock_guard lock(mutex_);
  over_ = true;
  ::unlink(state_path(spool_).c_str());
  sync_folder_of(spool_);
}

}  // namespace paneproof
