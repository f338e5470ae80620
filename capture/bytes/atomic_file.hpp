// A file that is there whole or not at all: written beside its place, synced, then renamed over it.
// Left without commit (an error, a stop) nothing stays. Where the system has unnamed files, even a
// killed run leaves nothing behind.
//
// "-" is standard output. A place that is there but no plain file (a device, a pipe) is written directly.
#pragma once

#include <string>
#include <string_view>

namespace paneproof {

class AtomicFile {
 public:
  // Throws InputError 73 when the file cannot be made there.
  explicit AtomicFile(const std::string& path);
  ~AtomicFile();
  AtomicFile(const AtomicFile&) = delete;
  AtomicFile& operator=(const AtomicFile&) = delete;

  // Throws InputError 74 when the bytes cannot be stored (a full disk).
  void write(std::string_view bytes);
  // Brings what was written to the disk, still without its name. Throws InputError 74.
  void secure();
  // Puts the file in its place; the folder entry is synced too. Throws InputError 74. Once only.
  void commit();

 private:
  void make();
  void flush();
  void put(std::string_view bytes);
  [[noreturn]] void broken(const char* what) const;

  std::string name_;       // as the user named it
  std::string path_;       // links followed; "" when written directly
  std::string temporary_;  // "" while it has no name
  std::string buffer_;
  int fd_ = -1;
  bool owned_ = true;
};

// Writes the whole file at once.
void write_file(const std::string& path, std::string_view bytes);

}  // namespace paneproof
