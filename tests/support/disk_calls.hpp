// Every call of this process that changes a file, and the disks that a power loss may leave behind.
//
// Linking disk_calls.cpp puts it between the program (SQLite included) and the system's write, sync, rename,
// ... While a recording runs, each call is noted with its bytes. A power loss after the first so many calls
// leaves, by POSIX, what was synced; of the rest each write may be there, missing, or torn at a 512-byte
// sector, in any order, and each change of a folder may be there or missing.
#pragma once

#include <cstdint>
#include <map>
#include <random>
#include <string>
#include <vector>

namespace paneproof {

struct DiskCall {
  enum class Kind : std::uint8_t { write, cut, sync, name, move, remove, sync_folder } kind = Kind::write;
  std::size_t file = 0;     // a file is itself by whatever name; 0 for folders
  std::int64_t offset = 0;  // of a write; the size left by a cut
  std::string bytes, path, to;
};

class DiskRecording {
 public:
  DiskRecording();   // starts; one at a time
  ~DiskRecording();  // stops
  DiskRecording(const DiskRecording&) = delete;
  DiskRecording& operator=(const DiskRecording&) = delete;
  const std::vector<DiskCall>& calls() const;
};

using Disk = std::map<std::string, std::string>;  // path to content
// What is on the disk after power was lost behind the first `count` calls.
Disk after_power_loss(const std::vector<DiskCall>& calls, std::size_t count, std::mt19937& random);

}  // namespace paneproof
