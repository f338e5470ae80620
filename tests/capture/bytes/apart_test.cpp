#include "capture/bytes/apart.hpp"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "capture/model/input_error.hpp"

using paneproof::keep_apart;
namespace fs = std::filesystem;

namespace {

// A folder of its own with one log in it.
struct Bench {
  fs::path folder = fs::temp_directory_path() / "paneproof-apart-test";
  Bench() {
    fs::remove_all(folder);
    fs::create_directories(folder / "inner");
    std::ofstream(folder / "sweep.log") << "the only copy";
  }
  ~Bench() { fs::remove_all(folder); }
  std::string operator/(const char* name) const { return folder / name; }
};

bool refused(const std::vector<std::string>& read, const std::vector<paneproof::Output>& written) {
  try {
    keep_apart(read, written);
  } catch (const paneproof::InputError& error) {
    CHECK(error.exit == paneproof::Exit::usage);
    return true;
  }
  return false;
}

}  // namespace

TEST_CASE("a log is never written over by its own result, by whatever name") {
  const Bench bench;
  fs::create_symlink(bench / "sweep.log", bench / "soft");
  fs::create_hard_link(bench / "sweep.log", bench / "hard");
  for (const char* name : {"sweep.log", "inner/../sweep.log", "soft", "hard"})
    CHECK(refused({bench / "sweep.log"}, {{"--json", bench / name}}));
  CHECK_FALSE(refused({bench / "sweep.log"},
                      {{"--json", bench / "result.json"}, {"--heatmap", bench / "sweep.log.png"}}));
}

TEST_CASE("two results do not go into one file, there or not") {
  const Bench bench;
  CHECK(refused({}, {{"-o", bench / "new"}, {"--truth", bench / "inner/../new"}}));
  CHECK(refused({}, {{"-o", "new here"}, {"--truth", "./new here"}}));
  CHECK_FALSE(refused({}, {{"-o", bench / "new"}, {"--truth", bench / "newer"}}));
}

TEST_CASE("streams, devices and options that are not given are no files") {
  CHECK_FALSE(refused({"-", "", "/dev/null"},
                      {{"--json", "-"}, {"--heatmap", ""}, {"--truth", "/dev/null"}, {"-o", "/dev/null"}}));
}
