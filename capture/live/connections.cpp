#include "capture/live/connections.hpp"

#include <sys/socket.h>

namespace paneproof {

void Connections::opened(int socket) {
  const std::lock_guard lock(mutex_);
  open_[socket] = {Clock::now()};
  if (open_.size() > most_) make_room();
}

// Called before the socket is closed, so no number is shut down that belongs to a new connection.
void Connections::closed(int socket) {
  const std::lock_guard lock(mutex_);
  open_.erase(socket);
}

void Connections::answered(int socket) {
  const std::lock_guard lock(mutex_);
  const auto found = open_.find(socket);
  if (found != open_.end()) found->second.since = Clock::now();
}

void Connections::trusted(int socket) {
  const std::lock_guard lock(mutex_);
  const auto found = open_.find(socket);
  if (found != open_.end()) found->second.trusted = true;
}

void Connections::make_room() {
  auto oldest = open_.end();
  for (auto at = open_.begin(); at != open_.end(); ++at)
    if (!at->second.trusted && !at->second.ended &&
        (oldest == open_.end() || at->second.since < oldest->second.since))
      oldest = at;
  if (oldest == open_.end()) return;
  oldest->second.ended = true;
  ::shutdown(oldest->first, SHUT_RDWR);
}

void Connections::end_late(std::chrono::seconds longest) {
  const std::lock_guard lock(mutex_);
  const auto now = Clock::now();
  for (auto& [socket, connection] : open_) {
    if (connection.ended || now - connection.since < longest) continue;
    connection.ended = true;
    ::shutdown(socket, SHUT_RDWR);
  }
}

std::size_t Connections::open() const {
  const std::lock_guard lock(mutex_);
  return open_.size();
}

}  // namespace paneproof
