#include "analyzer/ledger/sqlite.hpp"

#include "capture/model/input_error.hpp"

namespace paneproof {

void refuse_sqlite(sqlite3* db, const std::string& file) {
  const int code = db ? sqlite3_errcode(db) : SQLITE_NOMEM;
  const std::string why = db ? sqlite3_errmsg(db) : "not enough memory";
  switch (code) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      throw InputError(file, "", "the ledger is being written by another program",
                       "try again when that is done", Exit::io_error);
    case SQLITE_FULL:
      throw InputError(file, "", "cannot write the ledger: the disk is full",
                       "make room on the disk and run again", Exit::io_error);
    case SQLITE_NOTADB:
    case SQLITE_CORRUPT:
      throw InputError(file, "", "expected a ledger, but this file is none or is damaged (" + why + ")",
                       "restore it from a copy, or name another with --ledger");
    case SQLITE_CANTOPEN:
      throw InputError(file, "", "cannot open the ledger", "check the path and its permissions",
                       Exit::cannot_create);
    case SQLITE_READONLY:
      throw InputError(file, "", "the ledger cannot be written here", "check its permissions",
                       Exit::cannot_create);
    default:
      throw InputError(file, "", "cannot read or write the ledger: " + why, "check the disk", Exit::io_error);
  }
}

Query::Query(sqlite3* db, const std::string& file, std::string_view sql) : db_(db), file_(file) {
  check(sqlite3_prepare_v2(db, sql.data(), static_cast<int>(sql.size()), &statement_, nullptr));
}

Query& Query::bind(int at, std::string_view text) {
  check(sqlite3_bind_text(statement_, at, text.data(), static_cast<int>(text.size()), SQLITE_TRANSIENT));
  return *this;
}

Query& Query::bind_blob(int at, std::string_view bytes) {
  check(sqlite3_bind_blob64(statement_, at, bytes.data(), bytes.size(), SQLITE_TRANSIENT));
  return *this;
}

Query& Query::bind(int at, std::int64_t number) {
  check(sqlite3_bind_int64(statement_, at, number));
  return *this;
}

Query& Query::bind_null(int at) {
  check(sqlite3_bind_null(statement_, at));
  return *this;
}

bool Query::step() {
  const int code = sqlite3_step(statement_);
  if (code == SQLITE_ROW) return true;
  if (code != SQLITE_DONE) refuse_sqlite(db_, file_);
  return false;
}

std::string Query::text(int column) const {
  const void* bytes = sqlite3_column_blob(statement_, column);
  const int length = sqlite3_column_bytes(statement_, column);
  return bytes ? std::string(static_cast<const char*>(bytes), static_cast<std::size_t>(length))
               : std::string();
}

void Query::check(int code) const {
  if (code != SQLITE_OK) refuse_sqlite(db_, file_);
}

}  // namespace paneproof
