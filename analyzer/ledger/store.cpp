#include "analyzer/ledger/store.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>
#include <zlib.h>

#include <array>
#include <cerrno>
#include <cstdlib>
#include <cstring>

#include "analyzer/evidence/base64url.hpp"
#include "analyzer/evidence/canonical_json.hpp"
#include "analyzer/ledger/merkle.hpp"
#include "analyzer/ledger/sqlite.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr int application = 0x70706c67;  // "pplg": tells the file from other SQLite files
constexpr int patience_ms = 30000;
constexpr std::int64_t largest_part = std::int64_t{1} << 30;

// Migrations in order: a ledger of version n has run the first n.
constexpr std::array<const char*, 1> migrations = {
    "CREATE TABLE entries(number INTEGER PRIMARY KEY CHECK(number >= 0), leaf TEXT NOT NULL, hash BLOB NOT "
    "NULL CHECK(length(hash) = 32),"
    " statement TEXT, personal TEXT) STRICT;"
    "CREATE TABLE parts(sha256 TEXT PRIMARY KEY CHECK(length(sha256) = 64), size INTEGER NOT NULL, packed "
    "BLOB NOT NULL) STRICT, WITHOUT ROWID;"
    "CREATE TRIGGER entries_stay BEFORE DELETE ON entries BEGIN SELECT RAISE(ABORT, 'entries are never "
    "deleted'); END;"
    "CREATE TRIGGER leaves_stay BEFORE UPDATE OF number, leaf, hash ON entries BEGIN SELECT RAISE(ABORT, "
    "'entries are never changed'); END;",
};

void sync_folder(const std::string& folder) {
  const int fd = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (fd < 0) return;
  const bool failed = ::fsync(fd) != 0 && errno != EINVAL;
  const int why = errno;
  ::close(fd);
  if (failed)
    throw InputError(folder, "", std::string("cannot write: ") + std::strerror(why), "check the disk",
                     Exit::io_error);
}

std::string folder_of(const std::string& path) {
  const std::size_t slash = path.rfind('/');
  return slash == std::string::npos ? "." : slash == 0 ? "/" : path.substr(0, slash);
}

Entry entry_of(const Query& row) {
  return {static_cast<std::uint64_t>(row.number(0)), row.text(1), row.text(2), row.text(3), row.text(4)};
}

}  // namespace

std::string data_folder() {
  const char *data = std::getenv("XDG_DATA_HOME"), *home = std::getenv("HOME");
  if (data && *data == '/')
    return std::string(data) +
           "/paneproof";  // a relative one is to be ignored (XDG base directory specification)
  if (home && *home) return std::string(home) + "/.local/share/paneproof";
  throw InputError("", "HOME", "expected a home folder to keep keys and the ledger in",
                   "set HOME or XDG_DATA_HOME", Exit::cannot_create);
}

void make_folder(const std::string& folder) {
  struct stat facts = {};
  if (folder.empty() || (::stat(folder.c_str(), &facts) == 0 && S_ISDIR(facts.st_mode))) return;
  make_folder(folder_of(folder) == "." ? "" : folder_of(folder));
  if (::mkdir(folder.c_str(), 0700) != 0 && errno != EEXIST)
    throw InputError(folder, "", std::string("cannot make the folder: ") + std::strerror(errno), "",
                     Exit::cannot_create);
  sync_folder(folder_of(folder));
}

Ledger::Ledger(const std::string& file, Mode mode) : file_(file) {
  if (mode == Mode::write) make_folder(folder_of(file) == "." ? "" : folder_of(file));
  struct stat facts = {};
  if (mode == Mode::read && ::stat(file.c_str(), &facts) != 0)
    throw InputError(file, "", "no ledger here",
                     "paneproof check --evidence makes one; --ledger FILE names another", Exit::no_input);
  const int flags = SQLITE_OPEN_READWRITE | (mode == Mode::write ? SQLITE_OPEN_CREATE : 0);
  int code = sqlite3_open_v2(file.c_str(), &db_, flags, nullptr);
  if (code != SQLITE_OK && mode == Mode::read) {
    sqlite3_close(db_);
    code = sqlite3_open_v2(file.c_str(), &db_, SQLITE_OPEN_READONLY, nullptr);
  }
  try {
    if (code != SQLITE_OK) refuse_sqlite(db_, file_);
    prepare(mode);
    if (mode == Mode::write) sync_folder(folder_of(file));
  } catch (...) {
    sqlite3_close(db_);
    throw;
  }
}

Ledger::~Ledger() { sqlite3_close(db_); }

void Ledger::run(const char* sql) const {
  if (sqlite3_exec(db_, sql, nullptr, nullptr, nullptr) != SQLITE_OK) refuse_sqlite(db_, file_);
}

void Ledger::prepare(Mode mode) {
  sqlite3_extended_result_codes(db_, 0);
  sqlite3_busy_timeout(db_, patience_ms);
  sqlite3_db_config(db_, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
  sqlite3_db_config(db_, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
  run("PRAGMA foreign_keys = ON; PRAGMA synchronous = FULL; PRAGMA cell_size_check = ON; PRAGMA "
      "secure_delete = ON;");
  if (mode == Mode::write) {
    // Two programs that make one ledger at the same time: the second waits here and then finds it made.
    for (int attempt = 0;; ++attempt) {
      const int code = sqlite3_exec(db_, "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;", nullptr,
                                    nullptr, nullptr);
      if (code == SQLITE_OK) break;
      if (code != SQLITE_BUSY || attempt == 300) refuse_sqlite(db_, file_);
      ::usleep(20000);
    }
  }
  const auto [now, made_by, tables] = version();
  if ((tables > 0 || now > 0) && made_by != application)
    throw InputError(file_, "", "expected a ledger, but this is another program's database",
                     "name another file with --ledger");
  if (now > static_cast<std::int64_t>(migrations.size()))
    throw InputError(file_, "", "this ledger was made by a newer paneproof", "use that version");
  if (now == static_cast<std::int64_t>(migrations.size())) return;
  if (mode == Mode::read)
    throw InputError(file_, "", "no ledger in this file yet", "paneproof check --evidence makes one",
                     Exit::no_input);
  migrate();
}

Ledger::Version Ledger::version() const {
  // Gone before anything is written: a reader that stays would keep a writer from starting.
  Query row(db_, file_,
            "SELECT (SELECT user_version FROM pragma_user_version), (SELECT application_id FROM "
            "pragma_application_id),"
            " (SELECT count(*) FROM sqlite_schema)");
  row.step();
  return {row.number(0), row.number(1), row.number(2)};
}

void Ledger::migrate() {
  begin();
  try {
    const auto now = static_cast<std::size_t>(version().schema);
    for (std::size_t next = now; next < migrations.size(); ++next) run(migrations[next]);
    if (now == 0)
      append({{"kind", "ledger"},
              {"ledger", hex(random_bytes(16))},
              {"stated_time", time_now()},
              {"version", program_version()}});
    run(("PRAGMA application_id = " + std::to_string(application) +
         "; PRAGMA user_version = " + std::to_string(migrations.size()))
            .c_str());
    commit();
  } catch (...) {
    roll_back();
    throw;
  }
}

std::string Ledger::id() const {
  const auto first = entry(0);
  if (!first) throw InputError(file_, "", "expected a ledger's first entry", "restore it from a copy");
  const auto leaf = strict_json(first->leaf, file_);
  if (!leaf.is_object() || !leaf.contains("ledger") || !leaf["ledger"].is_string())
    throw InputError(file_, "entry 0", "expected the ledger's id", "restore it from a copy");
  return leaf["ledger"];
}

TreeHead Ledger::head() const {
  GrowingTree tree;
  Query rows(db_, file_, "SELECT hash FROM entries ORDER BY number");
  while (rows.step()) tree.add(rows.text(0));
  return {id(), tree.size(), hex(tree.root())};
}

std::uint64_t Ledger::size() const {
  Query row(db_, file_, "SELECT count(*) FROM entries");
  row.step();
  return static_cast<std::uint64_t>(row.number(0));
}

std::vector<std::string> Ledger::hashes() const {
  std::vector<std::string> all;
  Query rows(db_, file_, "SELECT hash FROM entries ORDER BY number");
  while (rows.step()) all.push_back(rows.text(0));
  return all;
}

std::optional<Entry> Ledger::entry(std::uint64_t number) const {
  Query row(db_, file_, "SELECT number, leaf, hash, statement, personal FROM entries WHERE number = ?");
  row.bind(1, static_cast<std::int64_t>(number));
  return row.step() ? std::optional<Entry>(entry_of(row)) : std::nullopt;
}

std::vector<Entry> Ledger::entries() const {
  std::vector<Entry> all;
  Query rows(db_, file_, "SELECT number, leaf, hash, statement, personal FROM entries ORDER BY number");
  while (rows.step()) all.push_back(entry_of(rows));
  return all;
}

std::vector<Entry> Ledger::entries_naming(const std::string& text) const {
  std::vector<Entry> all;
  Query rows(
      db_, file_,
      "SELECT number, leaf, hash, statement, personal FROM entries WHERE instr(leaf, ?) > 0 ORDER BY number");
  rows.bind(1, text);
  while (rows.step()) all.push_back(entry_of(rows));
  return all;
}

std::optional<std::string> Ledger::part(const std::string& sha256) const {
  Query row(db_, file_, "SELECT size, packed FROM parts WHERE sha256 = ?");
  row.bind(1, sha256);
  if (!row.step() || row.number(0) < 0 || row.number(0) > largest_part) return std::nullopt;
  const std::string packed = row.text(1);
  std::string bytes(static_cast<std::size_t>(row.number(0)) + 1, '\0');
  uLongf length = bytes.size();
  if (uncompress(reinterpret_cast<Bytef*>(bytes.data()), &length,
                 reinterpret_cast<const Bytef*>(packed.data()), packed.size()) != Z_OK)
    return std::nullopt;
  bytes.resize(length);
  return length == static_cast<uLongf>(row.number(0)) && sha256_hex(bytes) == sha256
             ? std::optional<std::string>(bytes)
             : std::nullopt;
}

std::vector<std::string> Ledger::part_digests() const {
  std::vector<std::string> all;
  Query rows(db_, file_, "SELECT sha256 FROM parts ORDER BY sha256");
  while (rows.step()) all.push_back(rows.text(0));
  return all;
}

std::string Ledger::integrity() const {
  Query rows(db_, file_, "PRAGMA integrity_check(1)");
  if (rows.step() && rows.text(0) != "ok") return rows.text(0);
  Query links(db_, file_, "PRAGMA foreign_key_check");
  return links.step() ? "a row refers to one that is not there" : "";
}

void Ledger::begin() { run("BEGIN IMMEDIATE"); }
void Ledger::commit() { run("COMMIT"); }
void Ledger::settle() { run("PRAGMA wal_checkpoint(TRUNCATE)"); }
void Ledger::roll_back() noexcept { sqlite3_exec(db_, "ROLLBACK", nullptr, nullptr, nullptr); }

std::uint64_t Ledger::append(const nlohmann::json& leaf, const std::string& statement,
                             const std::string& personal) {
  const std::uint64_t number = size();
  const std::string text = canonical_json(leaf);
  Query insert(db_, file_,
               "INSERT INTO entries(number, leaf, hash, statement, personal) VALUES(?, ?, ?, ?, ?)");
  insert.bind(1, static_cast<std::int64_t>(number)).bind(2, text).bind_blob(3, leaf_hash(text));
  statement.empty() ? insert.bind_null(4) : insert.bind(4, statement);
  personal.empty() ? insert.bind_null(5) : insert.bind(5, personal);
  insert.step();
  return number;
}

void Ledger::keep_part(const std::string& sha256, const std::string& bytes) {
  uLongf length = compressBound(bytes.size());
  std::string packed(length, '\0');
  if (compress2(reinterpret_cast<Bytef*>(packed.data()), &length,
                reinterpret_cast<const Bytef*>(bytes.data()), bytes.size(), 6) != Z_OK)
    throw std::bad_alloc();
  Query insert(db_, file_, "INSERT OR IGNORE INTO parts(sha256, size, packed) VALUES(?, ?, ?)");
  insert.bind(1, sha256)
      .bind(2, static_cast<std::int64_t>(bytes.size()))
      .bind_blob(3, std::string_view(packed).substr(0, length));
  insert.step();
}

void Ledger::forget_personal(std::uint64_t number) {
  Query update(db_, file_, "UPDATE entries SET personal = NULL, statement = NULL WHERE number = ?");
  update.bind(1, static_cast<std::int64_t>(number));
  update.step();
}

}  // namespace paneproof
