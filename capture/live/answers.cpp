#include "capture/live/answers.hpp"

#include <charconv>
#include <utility>

#include "capture/live/page.hpp"

namespace paneproof {
namespace {

const char* word_of(Stage stage) {
  return stage == Stage::sweeping  ? "sweeping"
         : stage == Stage::judging ? "judging"
         : stage == Stage::judged  ? "judged"
                                   : "over";
}

}  // namespace

Reply refusal(unsigned status, const std::string& why) { return {status, "{\"refused\":\"" + why + "\"}\n"}; }

Reply Answers::to(std::string_view path, std::string_view chunk_number, const std::string& body) {
  const auto file = [](const PageFile& f) { return Reply{200, std::string(f.text), std::string(f.type)}; };
  if (path == "/") return file(page_html());
  if (path == "/sweep.js") return file(page_js());
  if (path == "/sweep.css") return file(page_css());
  if (path == "/sweep/state") return state();
  if (path == "/sweep/picture") return picture();
  if (path == "/sweep/chunk") return chunk(chunk_number, body);
  board_.ask([&](Board::Asked& asked) {
    if (path == "/sweep/verdict") asked.verdict = true;
    if (path == "/sweep/again") asked.again = true;
    if (path == "/sweep/done") asked.done = true;
    if (path == "/sweep/aim") asked.aim = true, asked.aim_points = body;
  });
  return {200, "{\"heard\":true}\n"};
}

Reply Answers::state() const {
  const Board::Shown shown = board_.shown();
  return {200, "{\"next\":" + std::to_string(session_.next()) + ",\"stage\":\"" + word_of(shown.stage) +
                   "\",\"revision\":" + std::to_string(shown.revision) + ",\"map\":" + shown.cells +
                   ",\"verdict\":" + shown.verdict + ",\"aim\":" + shown.aim + "}\n"};
}

Reply Answers::picture() const {
  Board::Shown shown = board_.shown();
  if (shown.picture.empty()) return refusal(404, "none yet");
  return {200, std::move(shown.picture), "image/svg+xml"};
}

Reply Answers::chunk(std::string_view number_text, const std::string& body) {
  std::int64_t number = -1;
  const auto [end, error] =
      std::from_chars(number_text.data(), number_text.data() + number_text.size(), number);
  if (error != std::errc() || end != number_text.data() + number_text.size() || number < 0)
    return refusal(400, "chunk number");
  const ChunkAnswer taken = session_.take(number, body);
  const std::string next = "\"next\":" + std::to_string(taken.next) + "}\n";
  switch (taken.kind) {
    case ChunkAnswer::Kind::stored:
      board_.ask([&](Board::Asked& asked) {
        asked.stored = true;
        asked.lifted |= body.find("\"pointerup\"") != std::string::npos;
      });
      return {200, "{\"stored\":true," + next};
    case ChunkAnswer::Kind::known:
      return {200, "{\"stored\":true,\"known\":true," + next};
    case ChunkAnswer::Kind::out_of_order:
      return {409, "{\"refused\":\"order\"," + next};
    case ChunkAnswer::Kind::faulty:
      return {400, "{\"refused\":\"chunk\"," + next};
    case ChunkAnswer::Kind::full:
      return {413, "{\"refused\":\"full\"," + next};
    case ChunkAnswer::Kind::broken:
      break;
  }
  return {503, "{\"refused\":\"disk\"," + next};
}

}  // namespace paneproof
