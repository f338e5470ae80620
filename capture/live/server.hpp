// The local web server of one sweep: the page, and the few requests that the page makes.
//
//   GET  /  /sweep.js  /sweep.css      the page; holds nothing secret
//   GET  /sweep/state                  what is stored, the map so far, the verdict   (token)
//   GET  /sweep/picture                the heatmap as SVG, after a verdict           (token)
//   POST /sweep/chunk                  lines of the log, with Paneproof-Chunk: N     (token)
//   POST /sweep/verdict /again /done   the page's own controls                       (token)
//   POST /sweep/aim                    marks and touches of the five-target check    (token)
//
// (token): headers Paneproof-Token and Paneproof-Device. One event-driven thread serves everything. Every
// request must name an advertised host and port, on GET too (DNS rebinding), come from the page's own
// origin, and be whole within request_deadline_s; so must the time between two requests. When there are
// many connections the oldest that never showed the token give way, so silent clients cannot keep the
// device out. Bodies, headers and connections are bounded; memory is.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "capture/live/board.hpp"
#include "capture/live/session.hpp"

namespace paneproof {

inline constexpr int request_deadline_s = 10;
inline constexpr std::size_t most_connections = 1000;

struct ServerOptions {
  std::uint16_t port = 0;                // 0: any that is free
  bool lan = false;                      // all interfaces instead of loopback
  std::vector<std::string> hosts;        // advertised names and addresses, without the port
  std::string key_pem, certificate_pem;  // https when given
};

class LiveServer {
 public:
  // Serves at once. The session and the board must outlive it. Throws InputError (73) when the port is taken.
  LiveServer(Session& session, Board& board, const ServerOptions& options);
  ~LiveServer();
  LiveServer(const LiveServer&) = delete;
  LiveServer& operator=(const LiveServer&) = delete;

  std::uint16_t port() const;

 private:
  class Impl;
  std::unique_ptr<Impl> impl_;
};

// Addresses of this machine that others on its networks can reach, IPv4, the likeliest first.
std::vector<std::string> lan_addresses();

}  // namespace paneproof
