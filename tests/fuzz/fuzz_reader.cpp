// One reader of the table of formats on any bytes: it refuses them with one line or gives a sound
// recording, and the same one wherever blocks end. PANEPROOF_FUZZ_READER is the reader's name.
#include <algorithm>
#include <optional>
#include <string>

#include "capture/log/formats.hpp"
#include "tests/fuzz/expect.hpp"
#include "tests/support/crumbs.hpp"

using namespace paneproof;

namespace {

const Format& reader() {
  const auto& all = formats();
  const auto found = std::find_if(all.begin(), all.end(), [](const Format& format) {
    return std::string_view(format.name) == PANEPROOF_FUZZ_READER;
  });
  expect(found != all.end(), "the target's reader is in the table");
  return *found;
}

struct Outcome {
  std::optional<Recording> recording;
  std::string refusal;
  Notes notes;
};

Outcome read(const Format& format, Source& source) {
  Outcome outcome;
  try {
    outcome.recording = format.read(source, ReadOptions{}, outcome.notes);
    expect_sound(*outcome.recording);
  } catch (const InputError& error) {
    expect_sound(error);
    outcome.refusal = error.what();
  }
  return outcome;
}

bool same_notes(const Notes& a, const Notes& b) {
  return std::equal(a.all().begin(), a.all().end(), b.all().begin(), b.all().end(),
                    [](const Note& p, const Note& q) { return p.id == q.id && p.count == q.count; });
}

// Opening may refuse too: a compressed stream that is damaged from its start.
std::unique_ptr<Source> opened(std::string_view bytes) {
  try {
    return memory_source("fuzz", bytes, {.largest_bytes = 1 << 20});
  } catch (const InputError& error) {
    expect_sound(error);
    return nullptr;
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const unsigned char* data, std::size_t size) {
  static const Format& format = reader();
  const std::string_view bytes = text(data, size);
  (void)format.recognises(bytes);

  const auto whole = opened(bytes);
  if (!whole) return 0;
  const Outcome at_once = read(format, *whole);
  Crumbs crumbs(opened(bytes), 1 + size % 13);
  const Outcome in_crumbs = read(format, crumbs);
  expect(at_once.recording.has_value() == in_crumbs.recording.has_value(), "blocks do not decide a refusal");
  if (!at_once.recording) return 0;
  expect(same(*at_once.recording, *in_crumbs.recording), "blocks do not change a recording");
  expect(same_notes(at_once.notes, in_crumbs.notes), "blocks do not change the notes");
  return 0;
}
