// The whole way of `paneproof check` on any bytes, packed or not, of any format: read, scale to a fixed
// panel, analyse, judge and print. Every input ends in a verdict or in one line.
#include <nlohmann/json.hpp>

#include "analyzer/measure/analysis.hpp"
#include "analyzer/report/check_result.hpp"
#include "analyzer/report/heatmap.hpp"
#include "analyzer/report/json.hpp"
#include "analyzer/report/terminal.hpp"
#include "capture/log/formats.hpp"
#include "tests/fuzz/expect.hpp"

using namespace paneproof;

namespace {

// A small panel with everything that a profile can say, so that a run is quick.
PanelRequest panel() {
  PanelRequest request;
  request.width_mm = 40;
  request.height_mm = 60;
  request.size_origin = "--panel";
  request.range_x = 1000;
  request.range_y = 1500;
  request.rim_mm = 1;
  request.corner_radius_mm = 3;
  request.mask.push_back({MaskShape::Kind::circle, 20, 4, 3, 3, "camera"});
  return request;
}

void print(const CheckResult& result) {
  expect(nlohmann::json::accept(json_text(result)), "the result is JSON");
  expect(!terminal_summary(result, true).empty(), "there is a summary");
  expect(!heatmap_svg(result).empty(), "there is a picture");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const unsigned char* data, std::size_t size) {
  static const Limits limits = default_limits();
  Notes notes;
  try {
    const auto source = memory_source("fuzz", text(data, size), {.largest_bytes = 1 << 20, .hash = true});
    Recording recording = read_log(*source, {}, notes);
    expect_sound(recording);
    recording.source.sha256 = sha256_of(*source);
    const Trace trace = scale(std::move(recording), panel(), notes);
    AnalysisOptions options;
    options.swept_all = size % 2 == 1;
    const Findings findings = analyse(trace, options);
    const Verdict verdict = judge(findings, limits, {});
    expect(!verdict.reasons.empty(), "a verdict has its reasons");
    print({findings, verdict, trace, notes.all(), limit_lines(limits), {}, options.swept_all, "0"});
  } catch (const InputError& error) {
    expect_sound(error);
  }
  return 0;
}
