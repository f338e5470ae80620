// Bytes of a file, of standard input or of memory, as blocks. Compressed (gzip, zstd) and UTF-16
// input arrives as plain UTF-8 bytes; size after unpacking is bounded.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

namespace paneproof {

class Source {
 public:
  virtual ~Source() = default;
  // The next block; empty at the end. Valid until the next call. Throws InputError (74, or 65 for a
  // damaged compressed stream with nothing before the damage).
  virtual std::string_view next() = 0;

  // The first bytes without consuming them: at least `wanted` unless the input is shorter.
  std::string_view head(std::size_t wanted = 65536);
  // The next block, from what `head` holds first.
  std::string_view read();

  const std::string& name() const { return name_; }  // as the user named it
  // True when the stream broke off (a truncated gzip, say) and what came before it counts.
  bool cut() const { return cut_; }
  // See sha256_of. Layers hand the question down to the stored bytes.
  virtual std::string stored_sha256() { return ""; }

 protected:
  explicit Source(std::string name) : name_(std::move(name)) {}
  bool cut_ = false;

 private:
  std::string name_;
  std::string head_;
  bool head_given_ = true;
};

struct OpenOptions {
  std::uint64_t largest_bytes = std::uint64_t{4} << 30;  // after unpacking
  // What to do where there is no such file.
  const char* remedy = "give a log file, or - for standard input";
  bool hash = false;  // SHA-256 of the bytes as they are in the file, while reading
};

// Opens a file, or standard input for "-", and sees through compression and UTF-16.
// Throws InputError: 66 when there is no such file or it cannot be read (a folder, no permission).
std::unique_ptr<Source> open_source(const std::string& path, const OpenOptions& options = {});

// The same over bytes in memory, which must outlive the source.
std::unique_ptr<Source> memory_source(std::string name, std::string_view bytes,
                                      const OpenOptions& options = {});

// SHA-256 (hex) of all bytes as stored; "" unless opened with hash. Ask after reading: what has not been
// read yet is read (and hashed) here, so nothing can be read from the source afterwards.
std::string sha256_of(Source& source);

}  // namespace paneproof
