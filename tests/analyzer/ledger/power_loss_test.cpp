// Power losses: a bench's work is run once with every file-changing call noted, and then thousands of disks
// are made that a power loss somewhere in it may have left. What was acknowledged must be on each of them.
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "analyzer/ledger/audit.hpp"
#include "analyzer/ledger/key_files.hpp"
#include "analyzer/ledger/record.hpp"
#include "capture/model/input_error.hpp"
#include "tests/analyzer/evidence/example_evidence.hpp"
#include "tests/support/disk_calls.hpp"

using namespace paneproof;
namespace fs = std::filesystem;

namespace {

// In memory where the system allows: thousands of disks are written and synced.
struct Place {
  Place()
      : path((fs::exists("/dev/shm") ? "/dev/shm" : fs::temp_directory_path().string()) +
             std::string("/paneproof-power-XXXXXX")) {
    path = fs::canonical(::mkdtemp(path.data()));
    ::setenv("XDG_DATA_HOME", path.c_str(), 1);
    fs::create_directories(path + "/paneproof/known-keys");
  }
  ~Place() { fs::remove_all(path); }
  std::string ledger() const { return path + "/paneproof/ledger.sqlite"; }
  std::string key() const { return path + "/paneproof/signing-key.pem"; }
  std::string path;
};

// What the bench was told, and behind how many calls.
struct Told {
  std::size_t calls = 0;
  TreeHead head;
  std::string pdf;         // its path; "" for what makes no file
  bool forgotten = false;  // Ana's name is gone
};

struct Work {
  std::vector<DiskCall> calls;
  std::vector<Told> told;
  std::vector<Entry> entries;                // of the whole ledger
  std::map<std::string, std::string> files;  // evidence by path
};

Evidence drawn(const Example& example, const std::string& job, const std::string& by) {
  return make_evidence(answer(example.traces, example.question), example.question, example.traces,
                       {{"trace-1.txt", "nobody", 0, 0}}, {job, "closed", "", "", by, "a4", "handed in", {}},
                       example.key.public_key());
}

Work work_at(const Place& place) {
  Work work;
  const Example example = example_evidence();
  std::vector<Evidence> evidence;
  for (const char* job : {"WO-1", "WO-2", "WO-3", "WO-4"})
    evidence.push_back(drawn(example, job, evidence.size() < 2 ? "Ana" : "Eva"));
  const DiskRecording recording;
  const auto tell = [&](const Ledger& ledger, const std::string& pdf = "", bool forgotten = false) {
    work.told.push_back({recording.calls().size(), ledger.head(), pdf,
                         forgotten || (!work.told.empty() && work.told.back().forgotten)});
  };
  const auto record = [&](Ledger& ledger, std::size_t i) {
    const std::string pdf = place.path + "/" + evidence[i].statement.job + ".pdf";
    record_evidence(ledger, evidence[i], example.key, pdf);
    tell(ledger, pdf);
    work.files[pdf] = file_bytes(pdf, 1 << 24);
  };
  save_key(place.key(), SigningKey::random(), "", false);
  {
    Ledger ledger(place.ledger(), Ledger::Mode::write);
    record(ledger, 0);
  }
  {
    Ledger ledger(place.ledger(), Ledger::Mode::write);
    record_notes(
        ledger, {{"WO-1", "closed", "charging", "works", "Ana"}, {"WO-1", "closed", "speaker", "works", ""}});
    tell(ledger);
    const SigningKey next = SigningKey::random();
    record_key(ledger, next.public_key(), example.key.public_key().thumbprint());
    save_key(place.key(), next, "", true);
    tell(ledger);
    record(ledger, 1);
  }
  {
    Ledger ledger(place.ledger(), Ledger::Mode::write);
    forget_before(ledger, "9999-01-01");
    tell(ledger, "", true);
    record(ledger, 2);
    record(ledger, 3);
    work.entries = ledger.entries();
  }
  work.calls = recording.calls();
  return work;
}

void write_disk(const Place& place, const Disk& disk) {
  fs::remove_all(place.path);
  fs::create_directories(place.path + "/paneproof/known-keys");
  for (const auto& [path, content] : disk) {
    if (path.ends_with("-shm")) continue;  // of running programs only
    std::ofstream(path, std::ios::binary) << content;
    fs::permissions(path, fs::perms::owner_read | fs::perms::owner_write);
  }
}

// What is wrong after that power loss; "" when nothing is.
std::string wrong_after(const Place& place, const Work& work, std::size_t count) {
  const bool first_key = fs::exists(place.key());
  if (first_key) {
    const std::vector<PublicKey> known = known_keys();
    const SigningKey key = load_key(place.key(), [] { return std::string(); });
    if (std::find(known.begin(), known.end(), key.public_key()) == known.end())
      return "the signing key is not among the known ones";
  }
  const Told* last = nullptr;
  for (const Told& told : work.told)
    if (told.calls <= count) last = &told;
  Ledger ledger(place.ledger(), Ledger::Mode::write);
  const std::vector<Entry> entries = ledger.entries();
  if (last && entries.size() < last->head.size) return "an acknowledged entry is lost";
  std::vector<EarlierHead> heads;
  if (last) heads.push_back({"head", last->head});
  if (const auto findings = audit(ledger, heads, {}); !findings.empty()) return findings.front();
  for (const Told& told : work.told) {
    if (told.pdf.empty()) continue;
    const bool there = fs::exists(told.pdf);
    if (told.calls <= count && !there) return "an acknowledged file is lost";
    if (there && file_bytes(told.pdf, 1 << 24) != work.files.at(told.pdf))
      return "a file stands in its place and is not whole";
    const std::size_t number = told.head.size - 1;
    if (there && (entries.size() <= number || entries[number].leaf != work.entries[number].leaf))
      return "a file stands in its place and its entry is not in the ledger";
  }
  if (last && last->forgotten)
    for (const char* of : {"", "-wal"})
      if (const std::string file = place.ledger() + of;
          fs::exists(file) && file_bytes(file, 1 << 26).find("\"Ana\"") != std::string::npos)
        return "forgotten words are on the disk";
  record_notes(ledger, {{"WO-9", "return", "charging", "works", ""}});
  const auto findings = audit(ledger, heads, {});
  return findings.empty() ? "" : "after it: " + findings.front();
}

}  // namespace

// PANEPROOF_POWER_LOSSES=20000 makes more of them.
TEST_CASE("power may go at any call, and nothing acknowledged is lost") {
  const char* asked = std::getenv("PANEPROOF_POWER_LOSSES");
  const int losses = asked ? std::atoi(asked) : 2000;
  const unsigned seed = 20261125;
  INFO("seed " << seed);
  std::mt19937 random(seed);
  const Place place;
  const Work work = work_at(place);
  REQUIRE(std::any_of(work.calls.begin(), work.calls.end(), [](const DiskCall& call) {
    return call.path.ends_with("ledger.sqlite-wal");
  }));  // SQLite's calls are seen
  std::map<std::string, int> wrong;
  for (int i = 0; i < losses; ++i) {
    const std::size_t count = random() % (work.calls.size() + 1);
    write_disk(place, after_power_loss(work.calls, count, random));
    std::string found;
    try {
      found = wrong_after(place, work, count);
    } catch (const InputError& error) {
      found = error.what();
    }
    if (!found.empty())
      ++wrong[found + " (loss " + std::to_string(i) + ", call " + std::to_string(count) + ")"];
  }
  for (const auto& [what, times] : wrong) UNSCOPED_INFO(times << " x " << what);
  CHECK(wrong.empty());
}

// The test of the test: a disk that says that it has synced and has not loses what was acknowledged.
TEST_CASE("a disk that does not sync is found out") {
  std::mt19937 random(1);
  const Place place;
  Work work = work_at(place);
  std::erase_if(work.calls, [](const DiskCall& call) { return call.kind == DiskCall::Kind::sync; });
  for (Told& told : work.told) told.calls = 0;
  int found = 0;
  for (int i = 0; i < 20; ++i) {
    write_disk(place, after_power_loss(work.calls, work.calls.size(), random));
    try {
      found += !wrong_after(place, work, work.calls.size()).empty();
    } catch (const InputError&) {
      ++found;
    }
  }
  CHECK(found > 10);
}
