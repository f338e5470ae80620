#include "capture/bytes/utf8.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace paneproof {
namespace {

using Unit = std::uint32_t;

Unit unit_at(std::string_view bytes, std::size_t at, bool big) {
  const auto first = static_cast<unsigned char>(bytes[at]);
  const auto second = static_cast<unsigned char>(bytes[at + 1]);
  return big ? Unit{first} << 8 | second : Unit{second} << 8 | first;
}

void append_utf8(std::string& out, Unit point) {
  const auto tail = [&](int shift) { out += static_cast<char>(0x80 | (point >> shift & 0x3f)); };
  if (point < 0x80) {
    out += static_cast<char>(point);
  } else if (point < 0x800) {
    out += static_cast<char>(0xc0 | point >> 6);
    tail(0);
  } else if (point < 0x10000) {
    out += static_cast<char>(0xe0 | point >> 12);
    tail(6), tail(0);
  } else {
    out += static_cast<char>(0xf0 | point >> 18);
    tail(12), tail(6), tail(0);
  }
}

class Utf16 : public Source {
 public:
  Utf16(std::unique_ptr<Source> bytes, bool big)
      : Source(bytes->name()), bytes_(std::move(bytes)), big_(big) {}

  std::string_view next() override {
    out_.clear();
    while (out_.empty()) {
      const std::string_view block = bytes_->read();
      if (block.empty()) return finish();
      decode(block);
    }
    return out_;
  }

  std::string stored_sha256() override { return bytes_->stored_sha256(); }

 private:
  void decode(std::string_view block) {
    if (odd_) {
      const char pair[2] = {*odd_, block[0]};
      odd_.reset();
      add(unit_at({pair, 2}, 0, big_));
      block.remove_prefix(1);
    }
    std::size_t at = 0;
    for (; at + 1 < block.size(); at += 2) add(unit_at(block, at, big_));
    if (at < block.size()) odd_ = block[at];
  }

  void add(Unit unit) {
    const bool low = unit >= 0xdc00 && unit < 0xe000;
    if (high_ != 0) {
      append_utf8(out_, low ? 0x10000 + ((high_ - 0xd800) << 10) + (unit - 0xdc00) : 0xfffd);
      high_ = 0;
      if (low) return;
    }
    if (unit >= 0xd800 && unit < 0xdc00)
      high_ = unit;
    else if (std::exchange(first_, false) && unit == 0xfeff)
      return;
    else
      append_utf8(out_, low ? 0xfffd : unit);
  }

  std::string_view finish() {
    cut_ = cut_ || bytes_->cut() || odd_.has_value() || high_ != 0;
    return {};
  }

  std::unique_ptr<Source> bytes_;
  bool big_, first_ = true;
  Unit high_ = 0;
  std::optional<char> odd_;
  std::string out_;
};

class WithoutMark : public Source {
 public:
  explicit WithoutMark(std::unique_ptr<Source> bytes) : Source(bytes->name()), bytes_(std::move(bytes)) {}
  std::string_view next() override {
    std::string_view block = bytes_->read();
    if (std::exchange(first_, false)) {
      block.remove_prefix(3);  // the mark is in the head, which comes as one block
      if (block.empty()) block = bytes_->read();
    }
    cut_ = bytes_->cut();
    return block;
  }
  std::string stored_sha256() override { return bytes_->stored_sha256(); }

 private:
  std::unique_ptr<Source> bytes_;
  bool first_ = true;
};

// Marked text never holds U+0000; the first units of a binary dump do.
bool no_zero_unit(std::string_view head) {
  const std::size_t end = std::min<std::size_t>(head.size() & ~std::size_t{1}, 64);
  for (std::size_t at = 0; at < end; at += 2)
    if (head[at] == 0 && head[at + 1] == 0) return false;
  return true;
}

// Does the first line (at least four characters) read as plain text in UTF-16 of this order?
bool plain_line(std::string_view head, bool big) {
  std::size_t count = 0;
  for (std::size_t at = 0; at + 1 < head.size(); at += 2, ++count) {
    const Unit unit = unit_at(head, at, big);
    if (unit == '\n') break;
    if (!(unit == '\t' || unit == '\r' || (unit >= 0x20 && unit < 0x7f))) return false;
  }
  return count >= 4;
}

}  // namespace

std::unique_ptr<Source> as_utf8(std::unique_ptr<Source> bytes) {
  using namespace std::string_view_literals;
  const std::string_view head = bytes->head(4096);
  if (head.substr(0, 2) == "\xff\xfe"sv && no_zero_unit(head))
    return std::make_unique<Utf16>(std::move(bytes), false);
  if (head.substr(0, 2) == "\xfe\xff"sv && no_zero_unit(head))
    return std::make_unique<Utf16>(std::move(bytes), true);
  if (head.substr(0, 3) == "\xef\xbb\xbf"sv && head.substr(0, 16).find('\0') == head.npos)
    return std::make_unique<WithoutMark>(std::move(bytes));
  if (plain_line(head, false)) return std::make_unique<Utf16>(std::move(bytes), false);
  if (plain_line(head, true)) return std::make_unique<Utf16>(std::move(bytes), true);
  return bytes;
}

}  // namespace paneproof
