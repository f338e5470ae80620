#include "capture/bytes/atomic_file.hpp"

#include <sys/stat.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "capture/model/input_error.hpp"

using namespace paneproof;
namespace fs = std::filesystem;

namespace {

struct Folder {
  fs::path path;
  Folder() {
    std::string name = (fs::temp_directory_path() / "paneproof-atomic-XXXXXX").string();
    path = mkdtemp(name.data());
  }
  ~Folder() { fs::remove_all(path); }
  std::size_t files() const {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(path), fs::directory_iterator()));
  }
};

std::string content(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::stringstream out;
  out << in.rdbuf();
  return out.str();
}

Exit exit_writing(const std::string& path, const std::string& bytes) {
  try {
    write_file(path, bytes);
  } catch (const InputError& error) {
    return error.exit;
  }
  return Exit::pass;
}

}  // namespace

TEST_CASE("a committed file is whole and alone in its folder") {
  const Folder folder;
  const std::string big(300000, 'x');
  write_file(folder.path / "a", big);
  CHECK(content(folder.path / "a") == big);
  write_file(folder.path / "a", "new");
  CHECK(content(folder.path / "a") == "new");
  CHECK(folder.files() == 1);
}

TEST_CASE("what is not committed leaves the old file and nothing else") {
  const Folder folder;
  write_file(folder.path / "a", "old");
  {
    AtomicFile file(folder.path / "a");
    file.write(std::string(200000, 'x'));
  }
  CHECK(content(folder.path / "a") == "old");
  CHECK(folder.files() == 1);
}

TEST_CASE("a link stays and its target is replaced, with its mode") {
  const Folder folder;
  write_file(folder.path / "real", "old");
  ::chmod((folder.path / "real").c_str(), 0640);
  fs::create_symlink("real", folder.path / "link");
  write_file(folder.path / "link", "new");
  CHECK(fs::is_symlink(folder.path / "link"));
  CHECK(content(folder.path / "real") == "new");
  CHECK(fs::status(folder.path / "real").permissions() == static_cast<fs::perms>(0640));
}

TEST_CASE("a folder that is not there is exit 73, a full disk 74") {
  const Folder folder;
  CHECK(exit_writing(folder.path / "none" / "a", "x") == Exit::cannot_create);
  CHECK(exit_writing(folder.path, "x") == Exit::cannot_create);
  CHECK(exit_writing("/dev/full", "x") == Exit::io_error);
  CHECK(exit_writing("/dev/full", std::string(1000000, 'x')) == Exit::io_error);
  CHECK(fs::is_character_file("/dev/full"));
}
