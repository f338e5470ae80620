// A prepared SQLite statement that throws InputError for what goes wrong.
#pragma once

#include <sqlite3.h>

#include <string>
#include <string_view>

namespace paneproof {

// Turns an SQLite error into an InputError that names the ledger's file.
[[noreturn]] void refuse_sqlite(sqlite3* db, const std::string& file);

class Query {
 public:
  Query(sqlite3* db, const std::string& file, std::string_view sql);
  ~Query() { sqlite3_finalize(statement_); }
  Query(const Query&) = delete;
  Query& operator=(const Query&) = delete;

  Query& bind(int at, std::string_view text);
  Query& bind_blob(int at, std::string_view bytes);
  Query& bind(int at, std::int64_t number);
  Query& bind_null(int at);
  bool step();                         // true: a row
  std::string text(int column) const;  // "" for NULL; also a blob's bytes
  std::int64_t number(int column) const { return sqlite3_column_int64(statement_, column); }

 private:
  void check(int code) const;
  sqlite3* db_;
  const std::string& file_;
  sqlite3_stmt* statement_ = nullptr;
};

}  // namespace paneproof
