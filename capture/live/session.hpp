// One live sweep: who may send, what has been stored, and where it goes on after a stop.
//
// The log (the spool) is JSON Lines as `check` reads it, appended chunk by chunk; a chunk is acknowledged
// only after it is on the disk. Beside it lies NAME.session (mode 0600) with the token, the device, the
// job and the port while the sweep lasts: with it a server that was killed goes on with the same sweep.
// Whatever stands after the last whole chunk was never acknowledged and is cut off then.
//
// Safe to use from the server's thread and the bench's at once.
#pragma once

#include <cstdint>
#include <mutex>
#include <string>
#include <string_view>

namespace paneproof {

struct SessionOptions {
  std::string spool;  // path of the log
  std::string job;
  std::uint64_t largest_bytes = std::uint64_t{16} << 20;  // of the log; half an hour at 120 Hz
};

enum class Admission { welcome, wrong_token, other_device, over };

struct ChunkAnswer {
  enum class Kind { stored, known, out_of_order, faulty, full, broken } kind = Kind::stored;
  std::int64_t next = 0;  // the chunk that is wanted now
  std::string reason;     // of a fault, in a few words
};

class Session {
 public:
  // Starts the sweep, or goes on with one of the same job whose log and .session lie there.
  // Throws InputError: 73 when the log exists and belongs to no sweep that can go on, to another job, or
  // to one that another program serves now; 74 when it cannot be written.
  explicit Session(const SessionOptions& options);
  ~Session();
  Session(const Session&) = delete;
  Session& operator=(const Session&) = delete;

  const std::string& token() const { return token_; }
  bool continued() const { return continued_; }
  // The port of the server that was stopped; 0 when there was none.
  std::uint16_t earlier_port() const { return port_; }
  void serve_at(std::uint16_t port);

  // The first device that shows the token is the sweep's only one. `device` is a number of its own making.
  Admission admit(std::string_view token, std::string_view device);
  // Stores the next chunk; one that is there already is known and not stored again.
  ChunkAnswer take(std::int64_t number, std::string_view body);
  std::int64_t next() const;
  std::uint64_t bytes() const;
  bool bound() const;
  // Nothing is taken any more; the .session file goes, so that the token is worth nothing.
  void close();

 private:
  void open(const SessionOptions& options);
  void recover();
  void remember() const;
  bool recall();

  mutable std::mutex mutex_;
  std::string spool_, job_, token_, device_;
  std::uint64_t largest_ = 0, bytes_ = 0;
  std::int64_t next_ = 0;
  std::uint16_t port_ = 0;
  int fd_ = -1;
  bool continued_ = false, over_ = false, broken_ = false;
};

}  // namespace paneproof
