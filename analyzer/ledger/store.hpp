// The bench's ledger in one SQLite file: entries that are only ever added, the leaves of a Merkle tree.
//
// An entry's leaf is canonical JSON and says all that matters; every other column is bound to it by a
// digest. Personal words (device id, names) stand beside the leaf, which holds commitments to them only,
// SHA-256 of a 128-bit salt and the word: they can be forgotten while the tree stays what it is.
//
// Durable: write-ahead log, synchronous FULL; what `commit` has returned from survives a crash. Throws
// InputError: 66 when there is no such ledger, 65 when the file is none (or of a newer version), 73 and 74
// when it cannot be made or written.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "analyzer/evidence/judged.hpp"
#include "analyzer/evidence/statement.hpp"

struct sqlite3;

namespace paneproof {

struct Entry {
  std::uint64_t number = 0;
  std::string leaf;       // canonical JSON, as hashed
  std::string hash;       // 32 bytes: leaf_hash(leaf)
  std::string statement;  // compact JWS of evidence; "" for other kinds
  std::string personal;   // canonical JSON {field: {salt, value}}; "" when there is none or it is forgotten
};

class Ledger {
 public:
  enum class Mode { read, write };  // write: made when it is not there
  Ledger(const std::string& file, Mode mode);
  ~Ledger();
  Ledger(const Ledger&) = delete;
  Ledger& operator=(const Ledger&) = delete;

  const std::string& file() const { return file_; }
  std::string id() const;
  TreeHead head() const;
  std::uint64_t size() const;
  std::vector<std::string> hashes() const;
  std::optional<Entry> entry(std::uint64_t number) const;
  std::vector<Entry> entries() const;
  // Those whose leaf holds this text: a digest or a key's name, which no other text can hold by chance.
  std::vector<Entry> entries_naming(const std::string& text) const;
  // The bytes of an embedded file that some entry names; nothing when they are not here.
  std::optional<std::string> part(const std::string& sha256) const;
  std::vector<std::string> part_digests() const;
  // What SQLite's own checks complain of; "" when nothing.
  std::string integrity() const;

  // One writer at a time, over all processes; waits up to half a minute for another. Without commit
  // nothing of what follows stays.
  void begin();
  void commit();
  void roll_back() noexcept;
  // Moves everything from the log into the file, so that what was forgotten is on no page any more.
  void settle();
  // In a transaction. Gives the entry's number.
  std::uint64_t append(const nlohmann::json& leaf, const std::string& statement = "",
                       const std::string& personal = "");
  void keep_part(const std::string& sha256, const std::string& bytes);
  void forget_personal(std::uint64_t number);

 private:
  struct Version {
    std::int64_t schema, application, tables;
  };
  Version version() const;
  void run(const char* sql) const;
  void prepare(Mode mode);
  void migrate();
  std::string file_;
  sqlite3* db_ = nullptr;
};

// $XDG_DATA_HOME/paneproof (or ~/.local/share/paneproof). Throws InputError (73) without a home.
std::string data_folder();
// Makes a folder and those above it, mode 0700, and syncs them. Throws InputError (73).
void make_folder(const std::string& folder);

}  // namespace paneproof
