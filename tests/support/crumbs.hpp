// A source that hands out another's bytes in small pieces, so that every line, tag and record straddles
// two blocks somewhere. What a reader gives must not depend on where blocks end.
#pragma once

#include <algorithm>
#include <memory>
#include <string_view>
#include <utility>

#include "capture/bytes/source.hpp"

namespace paneproof {

class Crumbs : public Source {
 public:
  // size: of a piece in bytes, at least 1.
  Crumbs(std::unique_ptr<Source> whole, std::size_t size)
      : Source(whole->name()), whole_(std::move(whole)), size_(size) {}

  std::string_view next() override {
    if (left_.empty()) left_ = whole_->read();
    cut_ = whole_->cut();
    const std::string_view piece = left_.substr(0, size_);
    left_.remove_prefix(piece.size());
    return piece;
  }

 private:
  std::unique_ptr<Source> whole_;
  std::size_t size_;
  std::string_view left_;
};

}  // namespace paneproof
