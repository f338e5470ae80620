// Frames read by a thread of its own, some pictures ahead of who asks for them: with two cores one decodes
// while the other follows. Memory is bounded by the pictures waiting.
#pragma once

#include <condition_variable>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

#include "capture/video/frames.hpp"

namespace paneproof::video {

class ReadAhead {
 public:
  // `frames` outlives this, and is not to be asked meanwhile for more than its facts.
  explicit ReadAhead(Frames& frames);
  ~ReadAhead();
  ReadAhead(const ReadAhead&) = delete;
  ReadAhead& operator=(const ReadAhead&) = delete;

  // As Frames::next, and throws what it threw. The memory of the old picture in `frame` serves again.
  bool next(Frame& frame);

 private:
  void read();

  Frames& frames_;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::vector<Frame> waiting_, spare_;  // shared, in order
  bool ended_ = false, stopped_ = false;
  std::exception_ptr failed_;
  std::vector<Frame> taken_, used_;  // of who asks
  std::size_t at_ = 0;
  std::thread thread_;
};

}  // namespace paneproof::video
