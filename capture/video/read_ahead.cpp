#include "capture/video/read_ahead.hpp"

#include <utility>

namespace paneproof::video {
namespace {

constexpr std::size_t most_waiting = 12;

}  // namespace

ReadAhead::ReadAhead(Frames& frames) : frames_(frames), thread_([this] { read(); }) {}

ReadAhead::~ReadAhead() {
  {
    const std::lock_guard lock(mutex_);
    stopped_ = true;
  }
  changed_.notify_all();
  thread_.join();
}

void ReadAhead::read() {
  Frame frame;
  bool more = true;
  while (more) {
    std::exception_ptr failed;
    try {
      more = frames_.next(frame);
    } catch (...) {
      failed = std::current_exception();
      more = false;
    }
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [&] { return stopped_ || waiting_.size() < most_waiting; });
    if (stopped_) return;
    if (more) waiting_.push_back(std::move(frame));
    ended_ = !more, failed_ = failed;
    frame = {};
    if (!spare_.empty()) frame = std::move(spare_.back()), spare_.pop_back();
    const bool first = waiting_.size() == 1 || ended_;
    lock.unlock();
    if (first) changed_.notify_all();
  }
}

// All that wait are taken at once: the fewer times the two threads wait for each other the better.
bool ReadAhead::next(Frame& frame) {
  if (at_ == taken_.size()) {
    taken_.clear(), at_ = 0;
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [&] { return ended_ || !waiting_.empty(); });
    std::swap(taken_, waiting_);
    for (Frame& used : used_) spare_.push_back(std::move(used));
    used_.clear();
    const bool was_full = taken_.size() >= most_waiting;
    lock.unlock();
    if (was_full) changed_.notify_all();
    if (taken_.empty()) {
      if (failed_) std::rethrow_exception(failed_);
      return false;
    }
  }
  std::swap(frame, taken_[at_++]);
  Frame& old = taken_[at_ - 1];
  if (!old.plane.luma.empty()) used_.push_back(std::move(old));
  return true;
}

}  // namespace paneproof::video
