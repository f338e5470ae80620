#include "tests/support/disk_calls.hpp"

#include <dlfcn.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>

namespace paneproof {
namespace {

struct Running {
  std::vector<DiskCall> calls;
  struct Known {
    std::size_t file = 0;
    std::int64_t size = 0;
  };
  std::map<ino_t, Known> files;
  std::size_t count = 0;
};
Running* running = nullptr;

std::string path_of(int fd) {
  char path[4096];
  const ssize_t length = ::readlink(("/proc/self/fd/" + std::to_string(fd)).c_str(), path, sizeof path);
  return {path, length > 0 ? static_cast<std::size_t>(length) : 0};
}

// The file behind the descriptor; nullptr when it is none. A file met for the first time is noted with its
// name.
Running::Known* file_of(int fd) {
  struct stat facts = {};
  if (::fstat(fd, &facts) != 0 || !S_ISREG(facts.st_mode)) return nullptr;
  Running::Known& known = running->files[facts.st_ino];
  if (known.file == 0 ||
      (facts.st_size == 0 && known.size > 0)) {  // numbers of files that are gone come again
    known = {++running->count, 0};
    if (facts.st_nlink > 0)
      running->calls.push_back({DiskCall::Kind::name, known.file, 0, "", path_of(fd), ""});
  }
  return &known;
}

void note_write(int fd, const void* bytes, ssize_t count, off64_t at) {
  if (!running || count <= 0) return;
  if (Running::Known* known = file_of(fd)) {
    known->size = std::max<std::int64_t>(known->size, at + count);
    running->calls.push_back({DiskCall::Kind::write,
                              known->file,
                              at,
                              {static_cast<const char*>(bytes), static_cast<std::size_t>(count)},
                              "",
                              ""});
  }
}

void note_cut(int fd, off64_t size) {
  if (!running) return;
  if (Running::Known* known = file_of(fd)) {
    known->size = size;
    running->calls.push_back({DiskCall::Kind::cut, known->file, size, "", "", ""});
  }
}

void note_sync(int fd) {
  if (!running) return;
  struct stat facts = {};
  if (::fstat(fd, &facts) == 0 && S_ISDIR(facts.st_mode))
    running->calls.push_back({DiskCall::Kind::sync_folder, 0, 0, "", path_of(fd), ""});
  else if (const Running::Known* known = file_of(fd))
    running->calls.push_back({DiskCall::Kind::sync, known->file, 0, "", "", ""});
}

std::string folder_of(const std::string& path) { return path.substr(0, path.rfind('/')); }

// ---- what is left ----

using Kind = DiskCall::Kind;

void put(std::string& content, std::int64_t offset, const std::string& bytes, std::size_t from,
         std::size_t to) {
  const auto at = static_cast<std::size_t>(offset);
  if (content.size() < at + to) content.resize(at + to, '\0');
  content.replace(at + from, to - from, bytes, from, to - from);
}

void apply(std::string& content, const DiskCall& call) {
  if (call.kind == Kind::cut)
    content.resize(static_cast<std::size_t>(call.offset), '\0');
  else
    put(content, call.offset, call.bytes, 0, call.bytes.size());
}

// Some sectors of a write reach the disk, others do not.
void tear(std::string& content, const DiskCall& call, std::mt19937& random) {
  constexpr std::size_t sector = 512;
  for (std::size_t from = 0; from < call.bytes.size();) {
    const std::size_t to =
        std::min(call.bytes.size(), (static_cast<std::size_t>(call.offset) + from) / sector * sector +
                                        sector - static_cast<std::size_t>(call.offset));
    if (random() % 2) put(content, call.offset, call.bytes, from, to);
    from = to;
  }
}

void lose(std::string& content, std::vector<const DiskCall*> unsynced, std::mt19937& random) {
  const unsigned mood = random() % 4;  // all there, all gone, or mixed
  // A file is cut in order; the writes between two cuts come in any.
  for (auto begin = unsynced.begin(); begin != unsynced.end();) {
    auto end =
        std::find_if(begin, unsynced.end(), [](const DiskCall* call) { return call->kind == Kind::cut; });
    std::shuffle(begin, end, random);
    begin = end == unsynced.end() ? end : end + 1;
  }
  for (const DiskCall* call : unsynced) {
    const unsigned fate = mood == 0 ? 0 : mood == 1 ? 1 : random() % 3;
    if (fate == 0 || (fate == 2 && call->kind == Kind::cut))
      apply(content, *call);
    else if (fate == 2)
      tear(content, *call, random);
  }
}

}  // namespace

DiskRecording::DiskRecording() { running = new Running; }
DiskRecording::~DiskRecording() {
  delete running;
  running = nullptr;
}
const std::vector<DiskCall>& DiskRecording::calls() const { return running->calls; }

Disk after_power_loss(const std::vector<DiskCall>& calls, std::size_t count, std::mt19937& random) {
  std::map<std::size_t, std::string> contents;
  std::map<std::size_t, std::vector<const DiskCall*>> unsynced;
  std::map<std::string, std::size_t> names;
  std::vector<const DiskCall*> moves;  // of folders, not synced
  const auto settle = [&](const DiskCall& call) {
    if (call.kind == Kind::name) names[call.path] = call.file;
    if (call.kind == Kind::remove) names.erase(call.path);
    if (call.kind == Kind::move && names.count(call.path)) {
      names[call.to] = names[call.path];
      names.erase(call.path);
    }
  };
  for (std::size_t i = 0; i < count; ++i) {
    const DiskCall& call = calls[i];
    if (call.kind == Kind::write || call.kind == Kind::cut)
      unsynced[call.file].push_back(&call);
    else if (call.kind == Kind::sync) {
      for (const DiskCall* each : unsynced[call.file]) apply(contents[call.file], *each);
      unsynced.erase(call.file);
    } else if (call.kind == Kind::sync_folder) {
      std::vector<const DiskCall*> others;
      for (const DiskCall* each : moves)
        if (folder_of(each->path) == call.path)
          settle(*each);
        else
          others.push_back(each);
      moves = others;
    } else {
      moves.push_back(&call);
    }
  }
  const unsigned mood = random() % 4;
  for (const DiskCall* each : moves)
    if (mood == 0 || (mood > 1 && random() % 2)) settle(*each);
  for (auto& [file, lost] : unsynced) lose(contents[file], lost, random);
  Disk disk;
  for (const auto& [path, file] : names) disk[path] = contents[file];
  return disk;
}

}  // namespace paneproof

// ---- between the program and the system ----

#define REAL(type, name, ...) \
  static const auto real = reinterpret_cast<type (*)(__VA_ARGS__)>(::dlsym(RTLD_NEXT, #name))
using paneproof::note_cut, paneproof::note_sync, paneproof::note_write, paneproof::running,
    paneproof::DiskCall;

extern "C" {
ssize_t write(int fd, const void* bytes, size_t count) {
  REAL(ssize_t, write, int, const void*, size_t);
  const off64_t at = running ? ::lseek64(fd, 0, SEEK_CUR) : 0;
  const ssize_t wrote = real(fd, bytes, count);
  note_write(fd, bytes, wrote, at);
  return wrote;
}
ssize_t pwrite64(int fd, const void* bytes, size_t count, off64_t at) {
  REAL(ssize_t, pwrite64, int, const void*, size_t, off64_t);
  const ssize_t wrote = real(fd, bytes, count, at);
  note_write(fd, bytes, wrote, at);
  return wrote;
}
int fsync(int fd) {
  REAL(int, fsync, int);
  note_sync(fd);
  return running ? 0 : real(fd);
}
int fdatasync(int fd) {
  REAL(int, fdatasync, int);
  note_sync(fd);
  return running ? 0 : real(fd);
}
int ftruncate64(int fd, off64_t size) noexcept {
  REAL(int, ftruncate64, int, off64_t);
  note_cut(fd, size);
  return real(fd, size);
}
int ftruncate(int fd, off_t size) noexcept { return ftruncate64(fd, size); }
int rename(const char* from, const char* to) noexcept {
  REAL(int, rename, const char*, const char*);
  const int code = real(from, to);
  if (running && code == 0) running->calls.push_back({DiskCall::Kind::move, 0, 0, "", from, to});
  return code;
}
int linkat(int a, const char* from, int b, const char* to, int flags) noexcept {
  REAL(int, linkat, int, const char*, int, const char*, int);
  const int code = real(a, from, b, to, flags);
  struct stat facts = {};
  if (running && code == 0 && ::stat(to, &facts) == 0)
    running->calls.push_back({DiskCall::Kind::name, running->files[facts.st_ino].file, 0, "", to, ""});
  return code;
}
int link(const char* from, const char* to) noexcept { return linkat(AT_FDCWD, from, AT_FDCWD, to, 0); }
int unlink(const char* path) noexcept {
  REAL(int, unlink, const char*);
  struct stat facts = {};
  if (running && ::stat(path, &facts) == 0 && facts.st_nlink == 1) running->files.erase(facts.st_ino);
  const int code = real(path);
  if (running && code == 0) running->calls.push_back({DiskCall::Kind::remove, 0, 0, "", path, ""});
  return code;
}
}
