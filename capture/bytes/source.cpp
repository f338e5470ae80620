#include "capture/bytes/source.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <optional>
#include <utility>
#include <vector>

#include "capture/bytes/sha256.hpp"
#include "capture/bytes/unpack.hpp"
#include "capture/bytes/utf8.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr std::size_t kBlock = 256 * 1024;  // stays in the second-level cache

// Stored bytes, hashed on their way when asked.
class Stored : public Source {
 public:
  Stored(std::string name, bool hash) : Source(std::move(name)) {
    if (hash) hash_.emplace();
  }
  std::string_view next() final {
    const std::string_view block = fetch();
    if (hash_) hash_->add(block);
    return block;
  }
  std::string stored_sha256() final {
    if (!hash_) return "";
    while (!next().empty()) {
    }
    return hash_->hex();
  }

 protected:
  virtual std::string_view fetch() = 0;

 private:
  std::optional<Sha256> hash_;
};

class FileBytes : public Stored {
 public:
  FileBytes(std::string name, int fd, bool owned, bool hash)
      : Stored(std::move(name), hash), fd_(fd), owned_(owned), block_(kBlock) {}
  ~FileBytes() override {
    if (owned_) ::close(fd_);
  }

 private:
  std::string_view fetch() override {
    if (ended_) return {};
    for (;;) {
      const ssize_t got = ::read(fd_, block_.data(), block_.size());
      if (got > 0) return {block_.data(), static_cast<std::size_t>(got)};
      if (got < 0 && errno == EINTR) continue;
      if (got < 0)
        throw InputError(name(), "", std::string("cannot read: ") + std::strerror(errno), "", Exit::io_error);
      ended_ = true;
      return {};
    }
  }

  int fd_;
  bool owned_, ended_ = false;
  std::vector<char> block_;
};

class MemoryBytes : public Stored {
 public:
  MemoryBytes(std::string name, std::string_view bytes, bool hash)
      : Stored(std::move(name), hash), left_(bytes) {}

 private:
  std::string_view fetch() override {
    const std::string_view block = left_.substr(0, kBlock);
    left_.remove_prefix(block.size());
    return block;
  }

  std::string_view left_;
};

// Refuses more than `largest` bytes, so that a small file cannot unpack without end.
class Bounded : public Source {
 public:
  Bounded(std::unique_ptr<Source> bytes, std::uint64_t largest)
      : Source(bytes->name()), bytes_(std::move(bytes)), largest_(largest) {}
  std::string_view next() override {
    const std::string_view block = bytes_->read();
    total_ += block.size();
    if (total_ > largest_)
      throw InputError(name(), "", "expected at most " + std::to_string(largest_) + " bytes after unpacking",
                       "give a shorter file; a long log can be cut into sweeps");
    cut_ = bytes_->cut();
    return block;
  }
  std::string stored_sha256() override { return bytes_->stored_sha256(); }

 private:
  std::unique_ptr<Source> bytes_;
  std::uint64_t largest_, total_ = 0;
};

std::unique_ptr<Source> layered(std::unique_ptr<Source> stored, const OpenOptions& options) {
  return std::make_unique<Bounded>(as_utf8(unpacked(std::move(stored))), options.largest_bytes);
}

[[noreturn]] void no_input(const std::string& path, const std::string& why, const char* remedy) {
  throw InputError(path, "", why, remedy, Exit::no_input);
}

}  // namespace

std::string_view Source::head(std::size_t wanted) {
  if (head_given_) head_.clear();
  head_given_ = false;
  while (head_.size() < wanted) {
    const std::string_view block = next();
    if (block.empty()) break;
    head_.append(block);
  }
  return head_;
}

std::string_view Source::read() {
  if (!std::exchange(head_given_, true) && !head_.empty()) return head_;
  return next();
}

std::unique_ptr<Source> open_source(const std::string& path, const OpenOptions& options) {
  if (path == "-")
    return layered(std::make_unique<FileBytes>(path, STDIN_FILENO, false, options.hash), options);
  const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (fd < 0) no_input(path, std::string("cannot open: ") + std::strerror(errno), options.remedy);
  auto bytes = std::make_unique<FileBytes>(path, fd, true, options.hash);
  struct stat facts = {};
  if (::fstat(fd, &facts) == 0 && S_ISDIR(facts.st_mode)) no_input(path, "is a folder", options.remedy);
  return layered(std::move(bytes), options);
}

std::unique_ptr<Source> memory_source(std::string name, std::string_view bytes, const OpenOptions& options) {
  return layered(std::make_unique<MemoryBytes>(std::move(name), bytes, options.hash), options);
}

std::string sha256_of(Source& source) { return source.stored_sha256(); }

}  // namespace paneproof
