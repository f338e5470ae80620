// The house: which folder may include which, and how long a file may be. Reads every source file of
// capture/ and analyzer/ as text.
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;

struct File {
  std::string path;                   // from the root, "capture/log/csv.cpp"
  std::string folder;                 // "capture/log"
  std::vector<std::string> includes;  // our own, from the root
  int lines = 0;
  std::size_t longest = 0;
};

// Each folder, and the folders whose headers it may include besides its own. A folder that is not here
// has no place in the house.
const std::map<std::string, std::set<std::string>>& arrows() {
  static const std::map<std::string, std::set<std::string>> table = [] {
    const std::string c = "capture/", a = "analyzer/";
    std::map<std::string, std::set<std::string>> t;
    t[c + "model"] = {};
    t[c + "bytes"] = {c + "model"};
    t[c + "log"] = {c + "model", c + "bytes"};
    t[c + "video"] = {c + "model", c + "bytes"};
    t[c + "watch"] = {c + "model", c + "bytes"};
    t[c + "rehearse"] = {c + "model", c + "bytes", c + "log"};
    t[c + "live"] = {c + "model", c + "bytes", c + "log"};
    t[a + "measure"] = {c + "model"};
    t[a + "verdict"] = {c + "model", a + "measure"};
    t[a + "report"] = {c + "model", c + "bytes", a + "measure", a + "verdict"};
    t[a + "evidence"] = {c + "model", c + "bytes", c + "log", a + "measure", a + "verdict", a + "report"};
    t[a + "ledger"] = {c + "model", c + "bytes", a + "measure", a + "verdict", a + "report", a + "evidence"};
    t[a + "cli"] = {c + "model", c + "bytes",   c + "log",     c + "rehearse",
                    c + "watch", a + "measure", a + "verdict", a + "report"};
    t[a + "elsewhere"] = {c + "model", a + "cli"};
    t[a + "desk"] = t[a + "cli"];
    t[a + "desk"].insert({a + "cli", a + "evidence", a + "ledger"});
    // The live sweep's program, apart so that no other command loads a web server.
    t[a + "cli/sweep"] = t[a + "cli"];
    t[a + "cli/sweep"].insert({a + "cli", a + "desk", a + "evidence", a + "ledger", c + "live"});
    return t;
  }();
  return table;
}

std::string folder_of(const std::string& path) { return path.substr(0, path.rfind('/')); }

// Of UTF-8: bytes that go on a character count nothing.
std::size_t columns(const std::string& line) {
  return static_cast<std::size_t>(
      std::count_if(line.begin(), line.end(), [](char c) { return (c & 0xC0) != 0x80; }));
}

std::vector<File> files() {
  const fs::path root = PANEPROOF_SOURCE_DIR;
  const std::regex include("^\\s*#\\s*include\\s*\"([^\"]+)\"");
  std::vector<File> found;
  for (const char* part : {"capture", "analyzer"})
    for (const auto& entry : fs::recursive_directory_iterator(root / part)) {
      const std::string name = entry.path().filename().string();
      if (!entry.is_regular_file() || !std::regex_search(name, std::regex("\\.(cpp|hpp|h|in)$"))) continue;
      File file;
      file.path = fs::relative(entry.path(), root).generic_string();
      file.folder = folder_of(file.path);
      std::ifstream in(entry.path());
      for (std::string line; std::getline(in, line);) {
        ++file.lines;
        file.longest = std::max(file.longest, columns(line));
        std::smatch match;
        if (std::regex_search(line, match, include)) file.includes.push_back(match[1]);
      }
      found.push_back(std::move(file));
    }
  return found;
}

// Does the walk from `path` along includes come back to a file it is on?
bool circular(const std::string& path, const std::map<std::string, std::vector<std::string>>& graph,
              std::set<std::string>& done, std::vector<std::string>& on_way) {
  if (std::find(on_way.begin(), on_way.end(), path) != on_way.end()) return on_way.push_back(path), true;
  if (done.count(path)) return false;
  on_way.push_back(path);
  const auto at = graph.find(path);
  if (at != graph.end())
    for (const std::string& next : at->second)
      if (circular(next, graph, done, on_way)) return true;
  on_way.pop_back();
  done.insert(path);
  return false;
}

}  // namespace

TEST_CASE("the sources are found") { CHECK(files().size() > 50); }

TEST_CASE("every folder has its place in the house") {
  for (const File& file : files()) {
    INFO(file.path);
    CHECK(arrows().count(file.folder) == 1);
  }
}

TEST_CASE("no include goes against the arrows") {
  for (const File& file : files()) {
    const auto allowed = arrows().find(file.folder);
    if (allowed == arrows().end()) continue;
    for (const std::string& include : file.includes) {
      const std::string to = folder_of(include);
      if (to != file.folder && !allowed->second.count(to)) FAIL_CHECK(file.path << " includes " << include);
    }
  }
}

TEST_CASE("every include names a file from the root") {
  for (const File& file : files())
    for (const std::string& include : file.includes)
      if (!fs::exists(fs::path(PANEPROOF_SOURCE_DIR) / include))
        FAIL_CHECK(file.path << " includes " << include);
}

TEST_CASE("no file includes itself by a detour") {
  std::map<std::string, std::vector<std::string>> graph;
  for (const File& file : files()) graph[file.path] = file.includes;
  std::set<std::string> done;
  for (const auto& [path, includes] : graph) {
    std::vector<std::string> way;
    if (!circular(path, graph, done, way)) continue;
    std::string told;
    for (const std::string& step : way) told += step + " -> ";
    FAIL_CHECK(told << "...");
  }
}

TEST_CASE("no file is longer than 400 lines") {
  for (const File& file : files())
    if (file.lines > 400) FAIL_CHECK(file.path << " has " << file.lines << " lines");
}

TEST_CASE("no line is longer than 110 columns") {
  for (const File& file : files())
    if (file.longest > 110) FAIL_CHECK(file.path << " has a line of " << file.longest << " columns");
}

TEST_CASE("one table of folders holds no circle") {
  for (const auto& [folder, allowed] : arrows())
    for (const std::string& to : allowed) {
      INFO(folder << " and " << to);
      REQUIRE(arrows().count(to) == 1);
      CHECK(arrows().at(to).count(folder) == 0);
    }
}
