// What the page is answered to a request that was let in: the page's own files, the state of the sweep, and
// what became of a chunk. The server (server.hpp) decides who is let in, and carries it.
#pragma once

#include <string>
#include <string_view>

#include "capture/live/board.hpp"
#include "capture/live/session.hpp"

namespace paneproof {

struct Reply {
  unsigned status = 200;
  std::string body;
  std::string type = "application/json";
};

Reply refusal(unsigned status, const std::string& why);

class Answers {
 public:
  // Both must outlive it.
  Answers(Session& session, Board& board) : session_(session), board_(board) {}

  // path: one of those at the head of server.hpp. chunk_number: as the page wrote it; read for /sweep/chunk
  // alone.
  Reply to(std::string_view path, std::string_view chunk_number, const std::string& body);

 private:
  Reply state() const;
  Reply picture() const;
  Reply chunk(std::string_view number_text, const std::string& body);

  Session& session_;
  Board& board_;
};

}  // namespace paneproof
