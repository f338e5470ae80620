#include "capture/bytes/unpack.hpp"

#include <zlib.h>
#include <zstd.h>

#include <utility>
#include <vector>

#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr std::size_t kBlock = 256 * 1024;

// What both kinds share: pull stored bytes, hand out unpacked blocks, survive a broken end.
class Unpacked : public Source {
 public:
  Unpacked(std::unique_ptr<Source> stored, const char* kind)
      : Source(stored->name()), stored_(std::move(stored)), kind_(kind), out_(kBlock) {}

  std::string_view next() override {
    while (!done_) {
      if (in_.empty() && !flushing_) {
        in_ = stored_->read();
        if (in_.empty()) {
          finish(between_ && !stored_->cut());
          break;
        }
      }
      const std::size_t made = step();
      total_ += made;
      if (failed_) finish(false);
      if (made > 0) return {out_.data(), made};
    }
    return {};
  }

  std::string stored_sha256() override { return stored_->stored_sha256(); }

 protected:
  // Unpacks from in_ into out_; gives the number of bytes made. Sets between_ after a whole member,
  // flushing_ when more output waits without input, failed_ on damage, done_ on trailing rubbish.
  virtual std::size_t step() = 0;

  std::string_view in_;
  std::vector<char>& out() { return out_; }
  bool between_ = false, flushing_ = false, failed_ = false, done_ = false;

 private:
  void finish(bool whole) {
    done_ = true;
    if (whole) return;
    if (total_ == 0)
      throw InputError(name(), "",
                       std::string("expected a whole ") + kind_ + " stream, but it is damaged from the start",
                       "copy the file again");
    cut_ = true;
  }

  std::unique_ptr<Source> stored_;
  const char* kind_;
  std::vector<char> out_;
  std::uint64_t total_ = 0;
};

class Gzip : public Unpacked {
 public:
  explicit Gzip(std::unique_ptr<Source> stored) : Unpacked(std::move(stored), "gzip") {
    if (inflateInit2(&stream_, 16 + MAX_WBITS) != Z_OK)
      throw InputError(name(), "", "expected memory for gzip", "", Exit::software);
  }
  ~Gzip() override { inflateEnd(&stream_); }

 private:
  std::size_t step() override {
    stream_.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(in_.data()));
    stream_.avail_in = static_cast<uInt>(in_.size());
    stream_.next_out = reinterpret_cast<Bytef*>(out().data());
    stream_.avail_out = static_cast<uInt>(out().size());
    const bool fresh = between_ && stream_.total_in == 0;
    const int code = inflate(&stream_, Z_NO_FLUSH);
    const std::size_t made = out().size() - stream_.avail_out;
    in_.remove_prefix(in_.size() - stream_.avail_in);
    flushing_ = code == Z_OK && stream_.avail_out == 0;
    if (code == Z_STREAM_END) {
      between_ = true;
      ++members_;
      inflateReset(&stream_);
    } else if (code == Z_OK || code == Z_BUF_ERROR) {
      between_ = between_ && stream_.total_in == 0;
    } else if (members_ > 0 && (fresh || stream_.total_out == 0)) {
      done_ = true;  // padding or rubbish after the last member, as gzip(1) takes it
    } else {
      failed_ = true;
    }
    return made;
  }

  z_stream stream_ = {};
  int members_ = 0;
};

class Zstd : public Unpacked {
 public:
  explicit Zstd(std::unique_ptr<Source> stored)
      : Unpacked(std::move(stored), "zstd"), stream_(ZSTD_createDStream(), ZSTD_freeDStream) {
    if (!stream_) throw InputError(name(), "", "expected memory for zstd", "", Exit::software);
  }

 private:
  std::size_t step() override {
    ZSTD_inBuffer from = {in_.data(), in_.size(), 0};
    ZSTD_outBuffer to = {out().data(), out().size(), 0};
    const std::size_t left = ZSTD_decompressStream(stream_.get(), &to, &from);
    in_.remove_prefix(from.pos);
    if (ZSTD_isError(left)) {
      flushing_ = false;
      failed_ = true;
      return to.pos;
    }
    between_ = left == 0;
    flushing_ = !between_ && to.pos == to.size;
    return to.pos;
  }

  std::unique_ptr<ZSTD_DStream, size_t (*)(ZSTD_DStream*)> stream_;
};

}  // namespace

std::unique_ptr<Source> unpacked(std::unique_ptr<Source> stored) {
  const std::string_view head = stored->head(4);
  using namespace std::string_view_literals;
  // Byte 3 of a gzip member holds flags of which the upper three are reserved and zero.
  if (head.substr(0, 3) == "\x1f\x8b\x08"sv && (head.size() < 4 || (head[3] & 0xe0) == 0))
    return std::make_unique<Gzip>(std::move(stored));
  if (head.substr(0, 4) == "\x28\xb5\x2f\xfd"sv) return std::make_unique<Zstd>(std::move(stored));
  return stored;
}

}  // namespace paneproof
