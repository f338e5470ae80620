// What the bench tells the page and what the page asks of the bench: the one thing that the server's thread
// and the bench's share besides the session.
#pragma once

#include <chrono>
#include <condition_variable>
#include <mutex>
#include <string>
#include <utility>

namespace paneproof {

// sweeping: points are taken. judging: the finger is up and the verdict is being made. judged: it is there.
enum class Stage { sweeping, judging, judged, over };

class Board {
 public:
  struct Asked {
    bool verdict = false, again = false, done = false, aim = false, stored = false;
    bool lifted = false;     // what was stored holds the end of a contact
    std::string aim_points;  // JSON list as the page sent it; bounded by the server
  };
  struct Shown {
    Stage stage = Stage::sweeping;
    std::string cells = "null";    // JSON value: the map so far
    std::string verdict = "null";  // JSON value
    std::string aim = "null";      // JSON value: the five-target check
    std::string picture;           // SVG bytes; "" until there is a verdict
    long revision = 0;
  };

  // From the page, any thread.
  template <typename Change>
  void ask(Change change) {
    {
      const std::lock_guard lock(mutex_);
      change(asked_);
    }
    woken_.notify_all();
  }
  // From the bench: what was asked since the last call; waits up to `longest` for something.
  Asked wait(std::chrono::milliseconds longest) {
    std::unique_lock lock(mutex_);
    woken_.wait_for(lock, longest, [&] {
      return asked_.verdict || asked_.again || asked_.done || asked_.aim || asked_.stored;
    });
    return std::exchange(asked_, {});
  }
  template <typename Change>
  void show(Change change) {
    const std::lock_guard lock(mutex_);
    change(shown_);
    ++shown_.revision;
  }
  Shown shown() const {
    const std::lock_guard lock(mutex_);
    return shown_;
  }

 private:
  mutable std::mutex mutex_;
  std::condition_variable woken_;
  Asked asked_;
  Shown shown_;
};

}  // namespace paneproof
