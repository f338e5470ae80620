#include "capture/bytes/atomic_file.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <memory>

#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr std::size_t kBuffer = 64 * 1024;
constexpr int kNames = 100;

std::string folder_of(const std::string& path) {
  const std::size_t slash = path.rfind('/');
  if (slash == std::string::npos) return ".";
  return slash == 0 ? "/" : path.substr(0, slash);
}

// The place a chain of links leads to, so that the link stays and its target is replaced.
std::string resolved(const std::string& path) {
  const std::unique_ptr<char, void (*)(void*)> real(::realpath(path.c_str(), nullptr), std::free);
  return real ? std::string(real.get()) : path;
}

std::string beside(const std::string& path, int attempt) {
  return path + ".part-" + std::to_string(::getpid()) + "-" + std::to_string(attempt);
}

}  // namespace

AtomicFile::AtomicFile(const std::string& path) : name_(path) {
  if (path == "-") {
    fd_ = STDOUT_FILENO;
    owned_ = false;
    return;
  }
  struct stat facts = {};
  if (::stat(path.c_str(), &facts) == 0 && !S_ISREG(facts.st_mode)) {
    fd_ = S_ISDIR(facts.st_mode) ? (errno = EISDIR, -1) : ::open(path.c_str(), O_WRONLY | O_CLOEXEC);
  } else {
    path_ = resolved(path);
    make();
    if (fd_ >= 0 && facts.st_mode != 0) (void)::fchmod(fd_, facts.st_mode & 07777);
  }
  if (fd_ < 0)
    throw InputError(name_, "", std::string("cannot create: ") + std::strerror(errno), "",
                     Exit::cannot_create);
}

void AtomicFile::make() {
#ifdef O_TMPFILE
  fd_ = ::open(folder_of(path_).c_str(), O_TMPFILE | O_WRONLY | O_CLOEXEC, 0666);
  if (fd_ >= 0) return;
#endif
  for (int attempt = 0; attempt < kNames && fd_ < 0; ++attempt) {
    temporary_ = beside(path_, attempt);
    fd_ = ::open(temporary_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd_ < 0 && errno != EEXIST) break;
  }
  if (fd_ < 0) temporary_.clear();
}

AtomicFile::~AtomicFile() {
  if (owned_ && fd_ >= 0) ::close(fd_);
  if (!temporary_.empty()) ::unlink(temporary_.c_str());
}

void AtomicFile::write(std::string_view bytes) {
  if (buffer_.size() + bytes.size() > kBuffer) flush();
  if (bytes.size() > kBuffer)
    put(bytes);
  else
    buffer_.append(bytes);
}

void AtomicFile::flush() {
  put(buffer_);
  buffer_.clear();
}

void AtomicFile::put(std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t wrote = ::write(fd_, bytes.data(), bytes.size());
    if (wrote < 0 && errno == EINTR) continue;
    if (wrote < 0) broken("cannot write");
    bytes.remove_prefix(static_cast<std::size_t>(wrote));
  }
}

void AtomicFile::secure() {
  flush();
  if (!path_.empty() && ::fsync(fd_) != 0) broken("cannot write");
}

void AtomicFile::commit() {
  secure();
  if (path_.empty()) return;
  for (int attempt = 0; temporary_.empty(); ++attempt) {
    const std::string unnamed = "/proc/self/fd/" + std::to_string(fd_);
    const std::string name = beside(path_, attempt);
    if (::linkat(AT_FDCWD, unnamed.c_str(), AT_FDCWD, name.c_str(), AT_SYMLINK_FOLLOW) == 0)
      temporary_ = name;
    else if (errno != EEXIST || attempt == kNames)
      broken("cannot name the written file");
  }
  if (::close(fd_) != 0) {
    fd_ = -1;
    broken("cannot write");
  }
  fd_ = -1;
  if (::rename(temporary_.c_str(), path_.c_str()) != 0) broken("cannot put the file in its place");
  temporary_.clear();
  const int folder = ::open(folder_of(path_).c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (folder >= 0) {
    const bool failed =
        ::fsync(folder) != 0 && errno != EINVAL;  // some file systems cannot; the file itself is synced
    ::close(folder);
    if (failed) broken("cannot write the folder");
  }
}

void AtomicFile::broken(const char* what) const {
  throw InputError(name_, "", std::string(what) + ": " + std::strerror(errno),
                   errno == ENOSPC ? "make room on the disk and run again" : "", Exit::io_error);
}

void write_file(const std::string& path, std::string_view bytes) {
  AtomicFile file(path);
  file.write(bytes);
  file.commit();
}

}  // namespace paneproof
