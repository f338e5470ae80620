#include "capture/live/session.hpp"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <memory>
#include <sstream>

#include "capture/live/chunk.hpp"
#include "capture/live/token.hpp"
#include "capture/model/input_error.hpp"

using namespace paneproof;

namespace {

const std::string screen = R"({"screen":{"width":412,"height":860}})";
const std::string down =
    R"({"type":"pointerdown","pointerId":1,"pointerType":"touch","timeStamp":5,"clientX":1,"clientY":2})";
const std::string device = "00112233445566778899aabbccddeeff";

struct Folder {
  std::filesystem::path path = std::filesystem::temp_directory_path() / ("sweep-" + random_token());
  Folder() { std::filesystem::create_directory(path); }
  ~Folder() { std::filesystem::remove_all(path); }
  std::string log() const { return (path / "kept.jsonl").string(); }
  std::string text() const {
    std::ifstream in(log());
    std::ostringstream out;
    out << in.rdbuf();
    return out.str();
  }
};

}  // namespace

TEST_CASE("a chunk is stored once however often it comes") {
  Folder folder;
  Session session({folder.log(), "J"});
  CHECK(session.take(0, screen).kind == ChunkAnswer::Kind::stored);
  CHECK(session.take(2, down).kind == ChunkAnswer::Kind::out_of_order);
  CHECK(session.take(1, down).kind == ChunkAnswer::Kind::stored);
  const std::string once = folder.text();
  const ChunkAnswer again = session.take(1, down);
  CHECK(again.kind == ChunkAnswer::Kind::known);
  CHECK(again.next == 2);
  CHECK(folder.text() == once);
}

TEST_CASE("a session that was cut off goes on after its last whole chunk") {
  Folder folder;
  std::string token;
  {
    Session session({folder.log(), "J"});
    token = session.token();
    session.admit(token, device);
    session.take(0, screen);
    session.take(1, down);
  }
  const std::string whole = folder.text();
  std::ofstream(folder.log(), std::ios::app) << down << "\n" << down.substr(0, 30);
  Session session({folder.log(), "J"});
  CHECK(session.continued());
  CHECK(session.token() == token);
  CHECK(session.next() == 2);
  CHECK(folder.text() == whole);
  CHECK(session.admit(token, device) == Admission::welcome);
  CHECK(session.admit(token, std::string(32, 'a')) == Admission::other_device);
}

TEST_CASE("a finished sweep's log is not taken for a new one") {
  Folder folder;
  {
    Session session({folder.log(), "J"});
    session.take(0, screen);
    session.close();
    CHECK(session.take(1, down).kind == ChunkAnswer::Kind::broken);
    CHECK(session.admit(session.token(), device) == Admission::over);
  }
  CHECK_THROWS_AS(Session({folder.log(), "J"}), InputError);
}

TEST_CASE("another job's sweep is not gone on with, and one served elsewhere not served twice") {
  Folder folder;
  auto session = std::make_unique<Session>(SessionOptions{folder.log(), "J"});
  CHECK_THROWS_AS(Session({folder.log(), "J"}), InputError);
  session.reset();
  CHECK_THROWS_AS(Session({folder.log(), "K"}), InputError);
}

TEST_CASE("a log that would grow past its bound takes no more") {
  Folder folder;
  Session session({folder.log(), "J", 200});
  CHECK(session.take(0, screen).kind == ChunkAnswer::Kind::stored);
  CHECK(session.take(1, down).kind == ChunkAnswer::Kind::stored);
  CHECK(session.take(2, down).kind == ChunkAnswer::Kind::full);
}

TEST_CASE("only lines that the reader takes are stored") {
  CHECK_FALSE(chunk_fault(screen, 0));
  CHECK_FALSE(chunk_fault(down + "\n" + down + "\n", 1));
  CHECK(chunk_fault(down, 0));  // the screen comes first
  CHECK(chunk_fault("", 1));
  CHECK(chunk_fault(R"({"type":"interruption","kind":"x y"})", 1));
  CHECK(chunk_fault(R"({"screen":{"width":412,"height":860,"unreachable_top":300}})", 1));
  CHECK(chunk_mark(R"({"type":"x","chunk":12})") == 12);
  CHECK_FALSE(chunk_mark(R"({"type":"x","chunk":1)"));
}
