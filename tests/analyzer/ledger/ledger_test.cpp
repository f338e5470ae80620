// The ledger: what it refuses, what its audit finds, and what is left after kill -9 and faults.
#include <signal.h>
#include <sqlite3.h>
#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <random>

#include "analyzer/ledger/audit.hpp"
#include "analyzer/ledger/export.hpp"
#include "analyzer/ledger/key_files.hpp"
#include "analyzer/ledger/record.hpp"
#include "capture/model/input_error.hpp"
#include "tests/analyzer/evidence/example_evidence.hpp"

using namespace paneproof;
namespace fs = std::filesystem;

namespace {

// An empty folder that goes at the end.
struct Folder {
  Folder() {
    char name[] = "/tmp/paneproof-ledger-XXXXXX";
    path = ::mkdtemp(name);
    ::setenv("XDG_DATA_HOME", path.c_str(), 1);
  }
  ~Folder() { fs::remove_all(path); }
  std::string file(const std::string& name) const { return path + "/" + name; }
  std::string path;
};

Evidence fresh_evidence(const Example& example, const std::string& job) {
  const Answer made = answer(example.traces, example.question);
  return make_evidence(made, example.question, example.traces, {{"trace-1.txt", "nobody", 0, 0}},
                       {job, "closed", "KY-1", "L7", "Ana", "a4", "handed in", {}}, example.key.public_key());
}

void change(const std::string& file, const std::string& sql) {
  sqlite3* db = nullptr;
  REQUIRE(sqlite3_open(file.c_str(), &db) == SQLITE_OK);
  INFO(sql);
  CHECK(sqlite3_exec(db, ("DROP TRIGGER leaves_stay; DROP TRIGGER entries_stay; " + sql).c_str(), nullptr,
                     nullptr, nullptr) == SQLITE_OK);
  sqlite3_close(db);
}

// A ledger with two pieces of evidence and a note, and what was handed out of it.
struct Kept {
  explicit Kept(const Folder& folder) : file(folder.file("ledger.sqlite")), example(example_evidence()) {
    Ledger ledger(file, Ledger::Mode::write);
    for (const char* job : {"WO-1", "WO-2"}) {
      Evidence evidence = fresh_evidence(example, job);
      const std::string pdf = folder.file(std::string(job) + ".pdf");
      record_evidence(ledger, evidence, example.key, pdf);
      files.push_back({job, file_bytes(pdf, largest)});
    }
    record_notes(ledger, {{"WO-1", "closed", "charging", "works", "Ana"}});
    head = {"head", ledger.head()};
  }
  static constexpr std::size_t largest = 1 << 24;
  std::vector<std::string> findings(const std::string& of) const {
    return audit(Ledger(of, Ledger::Mode::read), {head}, files);
  }
  std::string file;
  Example example;
  std::vector<HandedOut> files;
  EarlierHead head;
};

}  // namespace

TEST_CASE("a sound ledger is found sound") {
  const Folder folder;
  CHECK(Kept(folder).findings(folder.file("ledger.sqlite")).empty());
}

TEST_CASE("every change of any column is found") {
  const Folder folder;
  const Kept kept(folder);
  for (const char* sql :
       {"UPDATE entries SET leaf = replace(leaf, 'WO-1', 'WO-3') WHERE number = 2",
        "UPDATE entries SET hash = zeroblob(32) WHERE number = 3",
        "UPDATE entries SET number = 9 WHERE number = 4",
        "UPDATE entries SET statement = NULL WHERE number = 2",
        "UPDATE entries SET statement = (SELECT statement FROM entries WHERE number = 3) WHERE number = 2",
        "UPDATE entries SET statement = 'x' WHERE number = 4",
        "UPDATE entries SET personal = NULL WHERE number = 3",
        "UPDATE entries SET personal = NULL, statement = NULL WHERE number = 3",
        "UPDATE entries SET personal = replace(personal, 'Ana', 'Eva') WHERE number = 4",
        "UPDATE entries SET personal = '{}' WHERE number = 0", "DELETE FROM entries WHERE number = 4",
        "DELETE FROM entries WHERE number = 2", "DELETE FROM entries",
        "INSERT INTO entries SELECT 5, leaf, hash, statement, personal FROM entries WHERE number = 3",
        "DELETE FROM parts WHERE sha256 = (SELECT min(sha256) FROM parts)",
        "UPDATE parts SET packed = zeroblob(10) WHERE sha256 = (SELECT min(sha256) FROM parts)",
        "UPDATE parts SET size = size - 1 WHERE sha256 = (SELECT max(sha256) FROM parts)",
        "INSERT INTO parts VALUES('0000000000000000000000000000000000000000000000000000000000000000', 1, "
        "x'00')"}) {
    const std::string copy = folder.file("copy.sqlite");
    fs::copy_file(kept.file, copy, fs::copy_options::overwrite_existing);
    change(copy, sql);
    INFO(sql);
    std::vector<std::string> found;
    try {
      found = kept.findings(copy);
    } catch (const InputError& error) {
      found.push_back(error.what());
    }
    CHECK_FALSE(found.empty());
  }
}

TEST_CASE("a ledger rolled back, made anew or continued otherwise is found from one evidence file") {
  const Folder folder;
  const std::string file = folder.file("ledger.sqlite"), early = folder.file("early.sqlite");
  const Example example = example_evidence();
  const auto add = [&](const std::string& to, const std::string& job) {
    Ledger ledger(to, Ledger::Mode::write);
    Evidence evidence = fresh_evidence(example, job);
    record_evidence(ledger, evidence, example.key, folder.file(job + ".pdf"));
    return HandedOut{job, file_bytes(folder.file(job + ".pdf"), Kept::largest)};
  };
  add(file, "WO-1");
  fs::copy_file(file, early);
  const HandedOut given = add(file, "WO-2");
  const auto findings = [&](const std::string& of) {
    return audit(Ledger(of, Ledger::Mode::read), {}, {given});
  };
  CHECK(findings(file).empty());
  CHECK(findings(early).size() == 1);  // rolled back
  add(early, "WO-3");
  CHECK(findings(early).size() == 1);  // forked
  add(folder.file("other.sqlite"), "WO-2");
  CHECK(findings(folder.file("other.sqlite")).size() == 1);  // made anew
}

TEST_CASE("forgetting removes the words and keeps the chain") {
  const Folder folder;
  const Kept kept(folder);
  {
    Ledger ledger(kept.file, Ledger::Mode::write);
    CHECK(forget_before(ledger, "9999-01-01") == 3);
    CHECK(kept.findings(kept.file).empty());
  }
  CHECK(file_bytes(kept.file, Kept::largest).find("\"Ana\"") == std::string::npos);
}

TEST_CASE("a lost evidence file is made again to the byte") {
  const Folder folder;
  const Kept kept(folder);
  CHECK(reissued(Ledger(kept.file, Ledger::Mode::read), 2) == kept.files[0].bytes);
}

TEST_CASE("what a spreadsheet would run is neutralised") {
  const Folder folder;
  Ledger ledger(folder.file("ledger.sqlite"), Ledger::Mode::write);
  record_notes(ledger, {{"=cmd|'/c x'!A1", "open", "+1", "@a", "a,\"b"}});
  const std::string csv = ledger_csv(ledger);
  CHECK(csv.find(",'=cmd|'/c x'!A1,") != csv.npos);
  CHECK(csv.find(",'+1,'@a,") != csv.npos);
  CHECK(csv.find(",\"a,\"\"b\",") != csv.npos);
}

TEST_CASE("another program's database is refused") {
  const Folder folder;
  const std::string file = folder.file("other.sqlite");
  sqlite3* db = nullptr;
  sqlite3_open(file.c_str(), &db);
  sqlite3_exec(db, "CREATE TABLE t(x)", nullptr, nullptr, nullptr);
  sqlite3_close(db);
  CHECK_THROWS_AS(Ledger(file, Ledger::Mode::write), InputError);
}

TEST_CASE("two writers never write over each other") {
  const Folder folder;
  const std::string file = folder.file("ledger.sqlite");
  std::vector<pid_t> children;
  for (int child = 0; child < 3; ++child)
    if (const pid_t pid = ::fork(); pid == 0) {
      int failed = 0;
      try {
        for (int i = 0; i < 15; ++i) {
          Ledger ledger(file, Ledger::Mode::write);
          record_notes(ledger, {{"WO-1", "open", "charging", "works", ""}});
        }
      } catch (const std::exception&) {
        failed = 1;
      }
      ::_exit(failed);
    } else {
      children.push_back(pid);
    }
  for (const pid_t pid : children) {
    int status = 1;
    ::waitpid(pid, &status, 0);
    CHECK(status == 0);
  }
  const Ledger ledger(file, Ledger::Mode::read);
  CHECK(ledger.size() == 46);
  CHECK(audit(ledger, {}, {}).empty());
}

// Each child writes evidence until it is killed at a random instant; what it acknowledged must be there,
// in the ledger and as a genuine file, and no half file may lie about.
TEST_CASE("kill -9 loses nothing acknowledged and leaves nothing half-written") {
  const unsigned seed = 20260;
  INFO("seed " << seed);
  std::mt19937 random(seed);
  const Folder folder;
  const std::string file = folder.file("ledger.sqlite");
  const Example example = example_evidence();
  const Evidence drawn = fresh_evidence(example, "WO-1");
  std::size_t acknowledged = 0;
  for (int kill = 0; kill < 300; ++kill) {
    int ends[2];
    REQUIRE(::pipe(ends) == 0);
    const std::string prefix = folder.file("k" + std::to_string(kill) + "-");
    const pid_t pid = ::fork();
    if (pid == 0) {
      for (int i = 0;; ++i) {
        Ledger ledger(file, Ledger::Mode::write);
        Evidence evidence = drawn;
        const std::uint64_t number =
            record_evidence(ledger, evidence, example.key, prefix + std::to_string(i) + ".pdf").number;
        (void)!::write(ends[1], &number, sizeof number);
      }
    }
    ::close(ends[1]);
    ::usleep(static_cast<useconds_t>(3000 + random() % 70000));
    ::kill(pid, SIGKILL);
    ::waitpid(pid, nullptr, 0);
    std::uint64_t number = 0;
    const Ledger ledger(file, Ledger::Mode::write);
    for (int i = 0; ::read(ends[0], &number, sizeof number) == sizeof number; ++i, ++acknowledged) {
      REQUIRE(ledger.entry(number));
      REQUIRE(fs::exists(prefix + std::to_string(i) + ".pdf"));
    }
    ::close(ends[0]);
  }
  CHECK(acknowledged > 0);
  std::vector<HandedOut> files;
  for (const auto& each : fs::directory_iterator(folder.path)) {
    const std::string name = each.path().filename();
    if (name.ends_with(".pdf") && files.size() < 40)
      files.push_back({name, file_bytes(each.path(), Kept::largest)});
    // A name that was given but not yet moved into place may stay; it is no evidence file's name.
    CHECK((name.ends_with(".pdf") || name.starts_with("ledger.sqlite") ||
           name.find(".pdf.part-") != name.npos));
  }
  CHECK(audit(Ledger(file, Ledger::Mode::read), {}, files).empty());
}
