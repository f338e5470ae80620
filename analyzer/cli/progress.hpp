// A bar on the terminal while many logs are checked; silent when standard error is no terminal.
#pragma once

#include <cstddef>
#include <mutex>

namespace paneproof {

class Progress {
 public:
  explicit Progress(std::size_t total);
  ~Progress();  // wipes the bar
  void one_done();

 private:
  void draw();
  std::mutex mutex_;
  std::size_t total_, done_ = 0;
  bool shown_;
};

// The same for one long file: a share of it.
class ProgressBar {
 public:
  ProgressBar();
  ~ProgressBar();
  void show(double share);

 private:
  bool shown_, drawn_ = false;
};

}  // namespace paneproof
