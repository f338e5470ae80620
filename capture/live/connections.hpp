// The open connections of the server by age, so that none holds a place without a whole request.
#pragma once

#include <chrono>
#include <cstddef>
#include <map>
#include <mutex>

namespace paneproof {

class Connections {
 public:
  using Clock = std::chrono::steady_clock;

  // `most`: past it the oldest without the token is shut down to make room.
  explicit Connections(std::size_t most) : most_(most) {}

  void opened(int socket);
  void closed(int socket);
  // Its request is whole and answered: the next one's time begins.
  void answered(int socket);
  // It showed the token: it does not give way to newcomers.
  void trusted(int socket);
  // Shuts down what has waited longer than `longest` for a whole request.
  void end_late(std::chrono::seconds longest);
  std::size_t open() const;

 private:
  struct Connection {
    Clock::time_point since;
    bool trusted = false, ended = false;
  };
  void make_room();
  mutable std::mutex mutex_;
  std::map<int, Connection> open_;
  std::size_t most_;
};

}  // namespace paneproof
